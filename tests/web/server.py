"""The application behind a real socket of this computer, for as long as a test needs it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread

import uvicorn
from fastapi import FastAPI

from scumble.web.serve import HOST, listen


@contextmanager
def serving(app: FastAPI) -> Iterator[str]:
    """Address under which the application answers inside the block."""
    listener = listen(0)
    # A connection that lay idle on a busy computer is not closed under the hand of who takes it up again.
    settings = uvicorn.Config(
        app, log_level="critical", server_header=False, timeout_graceful_shutdown=1, timeout_keep_alive=600
    )
    server = uvicorn.Server(settings)
    thread = Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not server.started and time.monotonic() < until:
        time.sleep(0.01)
    assert server.started, "the server did not start"
    try:
        yield f"http://{HOST}:{listener.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(10)
        listener.close()
