"""The page *On a painting*: a photograph that stays in the browser, and the tables that lay films over it."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, UploadFile
from starlette.responses import HTMLResponse, Response

from scumble.jobs.bench.build import Tubes
from scumble.jobs.bench.painting import (
    NODES,
    PaintingAsk,
    PointAnswer,
    PointAsk,
    convert_photograph,
    draw_table,
    look_at_point,
)
from scumble.jobs.bench.painting_page import PaintingQuery, change_painting, example_films, show_painting
from scumble.web.faults import HTML, REFUSAL
from scumble.web.leads import lead_to
from scumble.web.render import render
from scumble.web.uploads import receive_upload

router = APIRouter()

ELSEWHERE: dict[str, Any] = {"description": "To the films that were asked for."}
PICTURE: dict[str, Any] = {"content": {"image/jpeg": {}}, "description": "The photograph, upright, in sRGB."}
TABLE: dict[str, Any] = {
    "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    "description": f"{NODES} x {NODES} x {NODES} nodes, blue slowest, each three half floats: sRGB.",
}


@router.get(
    "/painting",
    response_class=HTMLResponse,
    responses={303: ELSEWHERE, 422: HTML},
    summary="On a painting",
)
def painting_page(request: Request, query: Annotated[PaintingQuery, Query()]) -> Response:
    """Films of the shelf over the photograph of a painting."""
    shelf = request.app.state.shelf
    if query.do:
        changed = change_painting(shelf, query)
        return lead_to(f"/painting?{changed}&manner={query.manner}")
    if not request.url.query and (example := example_films(shelf)):
        return lead_to(f"/painting?{example}")
    return render(request, "painting.html", page=show_painting(shelf, query))


@router.post(
    "/painting/table",
    response_class=Response,
    responses={200: TABLE, 422: REFUSAL},
    summary="Table from a photograph's colours to what films make of them",
)
def table_of_films(request: Request, ask: PaintingAsk) -> Response:
    """What each colour of a photograph becomes; the photograph itself is not sent."""
    shelf = request.app.state.shelf
    table = draw_table(shelf, Tubes(shelf), ask)
    return Response(table, media_type="application/octet-stream")


@router.post(
    "/painting/picture",
    response_class=Response,
    responses={200: PICTURE, 413: REFUSAL, 422: REFUSAL},
    summary="A photograph that browsers do not open, as one that they do",
)
def open_photograph(file: UploadFile) -> Response:
    """HEIC, TIFF and camera raw as a JPEG; nothing of it is kept."""
    return Response(convert_photograph(receive_upload(file).content), media_type="image/jpeg")


@router.post("/painting/point", responses={422: REFUSAL}, summary="What films make of one colour")
def look_at_colour(request: Request, ask: PointAsk) -> PointAnswer:
    """One colour of the photograph before and after, in words and with its interval."""
    shelf = request.app.state.shelf
    return look_at_point(shelf, Tubes(shelf), ask)
