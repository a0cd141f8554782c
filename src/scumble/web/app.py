"""The pages as one application."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from starlette.middleware.gzip import DEFAULT_EXCLUDED_CONTENT_TYPES, GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware

import scumble
from scumble.jobs.shelf.hung_shelf import look_at_wall
from scumble.jobs.shelf.known_facts import look_at_facts
from scumble.jobs.shelf.page_shelf import open_page_shelf
from scumble.jobs.task import Tasks
from scumble.web import (
    bench,
    card_blank,
    card_colour,
    cards,
    counter,
    instead,
    match,
    pages,
    painting,
    patterns,
    pictures,
    plan,
    proofs,
    room,
    subject,
    supply,
    tasks,
    teach,
    travel,
    tube,
    walk,
)
from scumble.web import print as printing
from scumble.web.body_limit import BodyLimit
from scumble.web.faults import handle_faults
from scumble.web.guard import Guard
from scumble.web.head import Head
from scumble.web.kiosk import CounterLock, Kiosk

STATIC = Path(__file__).parent / "static"

SENT_AS_THEY_ARE = (*DEFAULT_EXCLUDED_CONTENT_TYPES, "application/octet-stream", "application/json")
"""Kinds of answer that are not packed: packed already, streamed, or wanted at once while a film is dragged."""

LOCAL_HOSTS = ("127.0.0.1", "localhost")
"""Names under which the pages answer unless told otherwise; a page from elsewhere cannot reach them by another."""


def create_app(
    shelf_path: Path | str, *, hosts: Sequence[str] = LOCAL_HOSTS, counter_code: str = ""
) -> FastAPI:
    """Make the application for one shelf.

    Parameters
    ----------
    shelf_path : Path or str
        The shelf's file; an empty one is made where there is none.
    hosts : sequence of str
        Host names it answers to.
    counter_code : str
        Code that staff type; with one, only the pages at the counter are open to whoever has not typed it.

    Raises
    ------
    StoreError
        If the shelf cannot be opened.
    """
    shelf = open_page_shelf(shelf_path)

    @asynccontextmanager
    async def close_at_the_end(_: FastAPI) -> AsyncIterator[None]:
        # A long shelf takes a moment to read; whoever comes first finds it read.
        app.state.tasks.start(
            "Look at the shelf", lambda _tell: bool(look_at_facts(shelf, look_at_wall(shelf))), kind="wall"
        )
        yield
        app.state.tasks.close()
        if hasattr(app.state, "card_desk"):
            app.state.card_desk.close()
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
    app.state.shelf_place = shelf_path
    app.state.tasks = Tasks()
    app.state.counter_lock = CounterLock(counter_code)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    for part in (
        pages,
        pictures,
        tube,
        travel,
        card_blank,
        card_colour,
        cards,
        bench,
        painting,
        match,
        supply,
        subject,
        plan,
        instead,
        printing,
        proofs,
        teach,
        counter,
        patterns,
        walk,
        room,
        tasks,
    ):
        app.include_router(part.router)
    handle_faults(app)
    app.add_middleware(Kiosk, lock=app.state.counter_lock)
    app.add_middleware(BodyLimit)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=list(hosts))
    app.add_middleware(
        GZipMiddleware, minimum_size=2048, compresslevel=4, exclude_content_types=SENT_AS_THEY_ARE
    )
    app.add_middleware(Head)
    app.add_middleware(Guard)
    return app
