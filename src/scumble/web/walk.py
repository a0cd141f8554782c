"""The walk through the pages: offered once, taken at one's own pace, remembered by the browser."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse

from scumble.errors import StoreError
from scumble.jobs.walk import Stop, walk_stops
from scumble.web.doors import DOORS, is_open
from scumble.web.leads import lead_to, leads_on
from scumble.web.room import YEAR_S, is_own_page

router = APIRouter()

COOKIE = "walk"
DONE = "done"


@dataclass(frozen=True, slots=True)
class Walk:
    """Where somebody is on the walk.

    Parameters
    ----------
    number, count : int
        Of the stop, counted from 1; 0 while the walk is only offered.
    stop : Stop or None
        The stop itself.
    is_here : bool
        Whether this page is the stop.
    """

    number: int
    count: int
    stop: Stop | None
    is_here: bool


def stops_of(request: Request) -> tuple[Stop, ...]:
    """The stops whose pages this house has."""
    stops = walk_stops(request.app.state.shelf)
    return tuple(
        stop
        for stop in stops
        if stop.path.startswith("/paints/") or any(stop.path == door.path for door in DOORS)
    )


def walk_of(request: Request) -> Walk | None:
    """Where this browser is on the walk: offered on the shelf to who has not met it, nothing to who ended it."""
    kept = request.cookies.get(COOKIE, "")
    path = request.url.path
    if kept == DONE or (not kept and path != "/"):
        return None
    try:
        stops = stops_of(request)
    except StoreError:
        return None
    if not kept:
        return Walk(0, len(stops), None, True) if len(stops) > 1 else None
    if not kept.isascii() or not kept.isdigit() or not 1 <= int(kept) <= len(stops):
        return None
    stop = stops[int(kept) - 1]
    door = next((door for door in DOORS if door.path == stop.path), None)
    here = path == stop.path if door is None or stop.path == "/" else is_open(door, path)
    return Walk(int(kept), len(stops), stop, here)


@router.post("/walk", **leads_on(), summary="Walk on, or end the walk")
def walk_on(
    request: Request,
    to: Annotated[Literal["begin", "next", "back", "end"], Form()],
    here: Annotated[str, Form(max_length=8000)] = "/",
) -> RedirectResponse:
    """Go to a stop and remember it; the end is remembered too, so that the walk is not offered again."""
    stops = stops_of(request)
    kept = request.cookies.get(COOKIE, "")
    number = int(kept) if kept.isascii() and kept.isdigit() else 0
    number = {"begin": 1, "next": number + 1, "back": max(number - 1, 1), "end": len(stops) + 1}[to]
    if number > len(stops):
        answer = lead_to(here if is_own_page(here) else "/")
        value = DONE
    else:
        answer = lead_to(stops[number - 1].path)
        value = str(number)
    answer.set_cookie(COOKIE, value, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer
