"""The pages that show tubes: Shelf, Paint, and a few side by side."""

from __future__ import annotations

from dataclasses import fields
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from pydantic import BaseModel, Field
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.jobs.proofs.keep import swatch_names
from scumble.jobs.shelf.hung_shelf import MOST_NEW, hang_waiting, look_at_wall
from scumble.jobs.shelf.shelf_filter import ShelfFilter
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.jobs.task import Tasks
from scumble.jobs.tube.show_beside import show_beside
from scumble.jobs.tube.show_paint import show_paint
from scumble.web.faults import HTML, missing
from scumble.web.render import render
from scumble.web.tasks import tasks_of

router = APIRouter()

LONGEST_FIND = 200
"""Letters that are read of what is looked for."""

HANG = "hang"
"""Kind of the task that works out new tubes."""


class WallQuery(BaseModel):
    """What the wall is asked for in its address."""

    order: str = Field("hue", description="hue, opacity, strength, name or price")
    find: str = Field("", description="words a strip must answer to")
    page: int = Field(1, ge=1, le=100_000, description="which page of the wall")
    hue: str = Field("", description="family of hue of the masstone")
    mark: str = Field("", description="mark of transparency")
    strength: str = Field("", description="tinting strength in a word")
    lasting: str = Field("", description="lasting, fleeting or not rated")
    binder: str = Field("", description="what holds the pigment")
    caution: str = Field("", description="a caution family, or none known")
    stock: str = Field("", description="at hand, none left or orderable")
    most_price: str = Field("", max_length=20, description="highest price of a tube")

    def narrowed(self) -> ShelfFilter:
        """The filter it asks for."""
        return ShelfFilter(**{name.name: getattr(self, name.name) for name in fields(ShelfFilter)})


@router.get("/", response_class=HTMLResponse, responses={422: HTML}, summary="Shelf")
def shelf_page(request: Request, asked: Annotated[WallQuery, Query()]) -> HTMLResponse:
    """The shelf as a wall of painted strips."""
    shelf, tasks = request.app.state.shelf, tasks_of(request)
    find = asked.find.strip()[:LONGEST_FIND]
    wanted, busy = asked.narrowed(), waiting_task(tasks)
    many = busy or len(look_at_wall(shelf).waiting) > MOST_NEW
    page = show_shelf(
        shelf, order=asked.order, find=find, wanted=wanted, page=asked.page, most_new=0 if many else None
    )
    if page.waiting and not busy:
        busy = tasks.start(
            "Working out new tubes", lambda tell: bool(hang_waiting(shelf, progress=tell)), kind=HANG
        )
    return render(request, "shelf.html", page=page, task=busy)


def waiting_task(tasks: Tasks) -> str:
    """The task that hangs new tubes just now, empty if there is none."""
    return next((task.key for task in tasks.of_kind(HANG) if not task.state.is_over), "")


@router.get("/beside", response_class=HTMLResponse, responses={422: HTML}, summary="Side by side")
def beside_page(
    request: Request, paint: Annotated[list[str] | None, Query(description="keys of the tubes")] = None
) -> HTMLResponse:
    """A few tubes side by side: strips, figures, and in what they differ."""
    page = show_beside(request.app.state.shelf, paint or [])
    return render(request, "beside.html", page=page)


@router.get("/paints/{key}", response_class=HTMLResponse, responses={404: HTML, 422: HTML}, summary="Paint")
def paint_page(
    request: Request,
    key: str,
    against: Annotated[
        str, Query(max_length=LONGEST_FIND, description="tube to compare its strength with")
    ] = "",
) -> Response:
    """One tube: its strip, how it behaves, its card, and where each number comes from."""
    with missing("No such tube"):
        page = show_paint(request.app.state.shelf, key, against=against)
    if page.key != key:
        return RedirectResponse(f"/paints/{quote(page.key)}", status_code=308)
    return render(request, "paint.html", page=page, swatches=swatch_names())
