"""Serve the pages on this computer."""

from __future__ import annotations

import socket
import webbrowser
from pathlib import Path
from threading import Timer

import uvicorn

from scumble.errors import InputError
from scumble.web.app import LOCAL_HOSTS, create_app
from scumble.web.kiosk import new_code

HOST = "127.0.0.1"

STREAMS_END_S = 2
"""How long pages that follow a task may hold up the end."""


def serve(
    shelf_path: Path, *, port: int = 8017, browser: bool = True, counter: bool = False, at: str = HOST
) -> None:
    """Serve until interrupted; only this computer can reach it, or at the counter a tablet of the shop.

    Parameters
    ----------
    shelf_path : Path
        The shelf's file.
    port : int
        0 takes a free one.
    browser : bool
        Whether to open the page in a browser.
    counter : bool
        Whether customers sit before it: everything but the counter is then behind a code that is printed here.
    at : str
        Address of this computer to answer at; another than its own loop only for the counter.

    Raises
    ------
    InputError
        If the port is taken, or the pages would be open to others without the counter's lock.
    StoreError
        If the shelf cannot be opened.
    """
    if at != HOST and not counter:
        raise InputError("at", at, HOST, "Only the counter may be seen from another device: add --counter.")
    listener = listen(port, at)
    address = f"http://{at}:{listener.getsockname()[1]}/{'counter' if counter else ''}"
    code = new_code() if counter else ""
    settings = uvicorn.Config(
        create_app(shelf_path, hosts=(*LOCAL_HOSTS, at), counter_code=code),
        log_level="warning",
        server_header=False,
        timeout_graceful_shutdown=STREAMS_END_S,
    )
    server = uvicorn.Server(settings)
    print(f"Scumble is open at {address} (Ctrl-C closes it).", flush=True)
    if counter:
        print(f"Everything but the counter is locked; staff unlock it with {code}.", flush=True)
    if browser:
        opening = Timer(0.6, webbrowser.open, [address])
        opening.daemon = True
        opening.start()
    server.run(sockets=[listener])


def listen(port: int, at: str = HOST) -> socket.socket:
    """A socket of this computer, reached by itself alone unless another of its addresses is given.

    Raises
    ------
    InputError
        If the port is taken or is none, or the address is not one of this computer.
    """
    # Named as TCP, or asyncio leaves small answers waiting 40 ms for company (Nagle's algorithm).
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((at, port))
    except (OSError, OverflowError) as error:
        listener.close()
        said = getattr(error, "strerror", None) or str(error)
        if at != HOST:
            raise InputError("at", at, "an address of this computer and a free port", f"{said}.") from None
        raise InputError("port", port, "a free port from 1 to 65535", f"{said}. Try --port 0.") from None
    return listener
