"""The pages as one application."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from starlette.middleware.trustedhost import TrustedHostMiddleware

import scumble
from scumble.jobs.page_shelf import open_page_shelf
from scumble.web import bench, match, pages, painting, pictures, room
from scumble.web import print as printing
from scumble.web.faults import handle_faults
from scumble.web.guard import Guard

STATIC = Path(__file__).parent / "static"

LOCAL_HOSTS = ("127.0.0.1", "localhost")
"""Names under which the pages answer unless told otherwise; a page from elsewhere cannot reach them by another."""


def create_app(shelf_path: Path | str, *, hosts: Sequence[str] = LOCAL_HOSTS) -> FastAPI:
    """Make the application for one shelf.

    Parameters
    ----------
    shelf_path : Path or str
        The shelf's file; an empty one is made where there is none.
    hosts : sequence of str
        Host names it answers to.

    Raises
    ------
    StoreError
        If the shelf cannot be opened.
    """
    shelf = open_page_shelf(shelf_path)

    @asynccontextmanager
    async def close_at_the_end(_: FastAPI) -> AsyncIterator[None]:
        yield
        shelf.close()

    app = FastAPI(
        title="Scumble",
        summary="What each paint of the shelf does in a film.",
        version=scumble.__version__,
        docs_url=None,
        redoc_url=None,
        lifespan=close_at_the_end,
    )
    app.state.shelf = shelf
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    for part in (pages, pictures, bench, painting, match, printing, room):
        app.include_router(part.router)
    handle_faults(app)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=list(hosts))
    app.add_middleware(Guard)
    return app
