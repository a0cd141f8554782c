"""The pages: Shelf and Paint."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import InputError
from scumble.jobs.show_paint import show_paint
from scumble.jobs.show_shelf import show_shelf
from scumble.web.faults import HTML, show_fault
from scumble.web.render import render

router = APIRouter()

LONGEST_FIND = 200
"""Letters that are read of what is looked for."""


@router.get("/", response_class=HTMLResponse, responses={422: HTML}, summary="Shelf")
def shelf_page(
    request: Request,
    order: Annotated[str, Query(description="hue, opacity, strength or name")] = "hue",
    find: Annotated[str, Query(description="words a strip must answer to")] = "",
) -> HTMLResponse:
    """The shelf as a wall of painted strips."""
    page = show_shelf(request.app.state.shelf, order=order, find=find.strip()[:LONGEST_FIND])
    return render(request, "shelf.html", page=page)


@router.get("/paints/{key}", response_class=HTMLResponse, responses={404: HTML, 422: HTML}, summary="Paint")
def paint_page(request: Request, key: str) -> Response:
    """One tube: its strip, how it behaves, its card, and where each number comes from."""
    try:
        page = show_paint(request.app.state.shelf, key)
    except InputError as error:
        return show_fault(request, 404, "No such tube", str(error))
    if page.key != key:
        return RedirectResponse(f"/paints/{quote(page.key)}", status_code=308)
    return render(request, "paint.html", page=page)
