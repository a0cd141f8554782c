"""Serve the pages on this computer."""

from __future__ import annotations

import socket
import webbrowser
from pathlib import Path
from threading import Timer

import uvicorn

from scumble.errors import InputError
from scumble.web.app import create_app

HOST = "127.0.0.1"

STREAMS_END_S = 2
"""How long pages that follow a task may hold up the end."""


def serve(shelf_path: Path, *, port: int = 8017, browser: bool = True) -> None:
    """Serve until interrupted; only this computer can reach it.

    Parameters
    ----------
    shelf_path : Path
        The shelf's file.
    port : int
        0 takes a free one.
    browser : bool
        Whether to open the page in a browser.

    Raises
    ------
    InputError
        If the port is taken.
    StoreError
        If the shelf cannot be opened.
    """
    listener = listen(port)
    address = f"http://{HOST}:{listener.getsockname()[1]}/"
    settings = uvicorn.Config(
        create_app(shelf_path),
        log_level="warning",
        server_header=False,
        timeout_graceful_shutdown=STREAMS_END_S,
    )
    server = uvicorn.Server(settings)
    print(f"Scumble is open at {address} (Ctrl-C closes it).", flush=True)
    if browser:
        opening = Timer(0.6, webbrowser.open, [address])
        opening.daemon = True
        opening.start()
    server.run(sockets=[listener])


def listen(port: int) -> socket.socket:
    """A socket of this computer alone.

    Raises
    ------
    InputError
        If the port is taken or is none.
    """
    # Named as TCP, or asyncio leaves small answers waiting 40 ms for company (Nagle's algorithm).
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((HOST, port))
    except (OSError, OverflowError) as error:
        listener.close()
        said = getattr(error, "strerror", None) or str(error)
        raise InputError("port", port, "a free port from 1 to 65535", f"{said}. Try --port 0.") from None
    return listener
