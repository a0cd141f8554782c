"""The page Layers, the answers it asks for while films are changed, and what is saved from it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.jobs.bench.build import Tubes
from scumble.jobs.bench.fan import Fan, FanAsk, fan_out
from scumble.jobs.bench.look_at_layering import Answer, Ask, look
from scumble.jobs.bench.page import (
    Choice,
    change_bench,
    example_query,
    list_choices,
    move_saved,
    save_bench,
    show_bench,
)
from scumble.jobs.bench.request import BenchQuery, clean_address, parse_address
from scumble.web.faults import HTML, REFUSAL
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render

router = APIRouter()

ELSEWHERE: dict[str, Any] = {"description": "To the layering that was asked for."}


@router.get(
    "/layers",
    response_class=HTMLResponse,
    responses={303: ELSEWHERE, 422: HTML},
    summary="Layers",
)
def layers_page(request: Request, query: Annotated[BenchQuery, Query()]) -> Response:
    """The layer bench: a ground, the films on it, and what they look like."""
    shelf = request.app.state.shelf
    if query.do:
        return lead_to(f"/layers?{change_bench(query)}")
    if not request.url.query and (example := example_query(shelf)):
        return lead_to(f"/layers?{example}")
    return render(request, "bench.html", page=show_bench(shelf, query))


@router.post("/layers/look", responses={422: REFUSAL}, summary="Look at a layering")
def look_at_layering(request: Request, ask: Ask) -> Answer:
    """What a layering looks like, as data, while its films are changed."""
    shelf = request.app.state.shelf
    return look(shelf, Tubes(shelf), ask)[0]


@router.post("/layers/fan", responses={422: REFUSAL}, summary="A film from thin to thick")
def fan_of_film(request: Request, ask: FanAsk) -> Fan:
    """Screen colours of a layering while one of its films thickens, to show at once while it is dragged."""
    shelf = request.app.state.shelf
    return fan_out(shelf, Tubes(shelf), ask)


@router.get("/layers/paints", summary="Paints to choose from")
def paints_to_choose(request: Request) -> list[Choice]:
    """Every paint of the shelf with its colours and the words it is found by."""
    return list_choices(request.app.state.shelf)


@router.post(
    "/layers/saved",
    **leads_on(),
    summary="Save a layering, bin it, or fetch it back",
)
def save_layering(
    request: Request,
    do: Annotated[Literal["save", "bin", "restore"], Form()],
    name: Annotated[str, Form(max_length=200)],
    query: Annotated[str, Form(max_length=8000)] = "",
    back: Annotated[Literal["layers", "painting"], Form(description="page to go back to")] = "layers",
) -> RedirectResponse:
    """Keep a layering on the shelf under a name; what is binned can be fetched back."""
    shelf = request.app.state.shelf
    if do == "save":
        save_bench(shelf, name, parse_address(query))
    else:
        move_saved(shelf, name, binned=do == "bin")
    return lead_to(f"/{back}?{clean_address(query)}#saved")
