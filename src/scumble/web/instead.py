"""Two pages beside Match: what stands in for a tube, and what to add to a batch that is mixed already."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import HTMLResponse, Response

from scumble.jobs.match.instead_page import BatchQuery, InsteadQuery, begin_batch, begin_instead
from scumble.web.begun import BEGINS, BegunPage, TaskKey
from scumble.web.faults import HTML

router = APIRouter()

INSTEAD = BegunPage("instead.html", "/instead", InsteadQuery)
BATCH = BegunPage("batch.html", "/batch", BatchQuery)


@router.get("/instead", response_class=HTMLResponse, responses={422: HTML}, summary="In place of a tube")
def instead_page(
    request: Request, task: TaskKey = "", paint: Annotated[str, Query(max_length=200)] = ""
) -> Response:
    """The form, and what stands in for a tube; a paint in the address is looked for at once."""
    if paint and not task:
        return ask_for_instead(request, InsteadQuery(paint=paint))
    return INSTEAD.show(request, task)


@router.post("/instead", **BEGINS, summary="Look for what stands in for a tube")
def ask_for_instead(request: Request, query: Annotated[InsteadQuery, Form()]) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""
    shelf = request.app.state.shelf
    return INSTEAD.answer(request, f"In place of {query.paint}", query, lambda: begin_instead(shelf, query))


@router.get("/batch", response_class=HTMLResponse, responses={422: HTML}, summary="Adjust a batch")
def batch_page(request: Request, task: TaskKey = "") -> HTMLResponse:
    """The form, and what to add to a batch."""
    return BATCH.show(request, task)


@router.post("/batch", **BEGINS, summary="Look for what to add to a batch")
def ask_for_batch(request: Request, query: Annotated[BatchQuery, Form()]) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""
    shelf = request.app.state.shelf
    return BATCH.answer(request, "Adjust a batch", query, lambda: begin_batch(shelf, query))
