"""Pictures that pages show: strips drawn from optics, and card photographs as they came."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from scumble.errors import InputError
from scumble.jobs.shelf_pictures import draw_of_paint, fetch_card_picture
from scumble.web.faults import HTML, show_fault

router = APIRouter()

FOR_GOOD = "private, max-age=31536000, immutable"
"""Cache rule of a drawing that was asked for by the stamp it has now: versions are never overwritten."""

SHOWN_TYPES = frozenset({"image/jpeg", "image/png"})
"""Kinds of picture that browsers show."""

SVG = {"content": {"image/svg+xml": {}}, "description": "An SVG document."}
PHOTOGRAPH = {
    "content": {"image/jpeg": {}, "image/png": {}},
    "description": "The picture as it came.",
}


@router.get(
    "/paints/{key}/{drawing}.svg",
    response_class=Response,
    responses={200: SVG, 404: HTML, 422: HTML},
    summary="Drawing",
)
def drawing_of_paint(
    request: Request,
    key: str,
    drawing: Literal["hanging", "lying", "narrow", "steps"],
    v: Annotated[str, Query(description="stamp of the version, for caching")] = "",
) -> Response:
    """A strip, hanging or lying, or the steps into white alone."""
    try:
        svg, stamp = draw_of_paint(request.app.state.shelf, key, drawing)
    except InputError as error:
        return show_fault(request, 404, "No such tube", str(error))
    rule = FOR_GOOD if v == stamp else "no-cache"
    return Response(svg, media_type="image/svg+xml", headers={"Cache-Control": rule, "ETag": f'"{stamp}"'})


@router.get(
    "/paints/{key}/card",
    response_class=Response,
    responses={200: PHOTOGRAPH, 404: HTML, 422: HTML},
    summary="Card photograph",
)
def card_photograph(request: Request, key: str) -> Response:
    """The photograph that a paint's card was read from."""
    try:
        picture = fetch_card_picture(request.app.state.shelf, key)
    except InputError as error:
        return show_fault(request, 404, "No such tube", str(error))
    if picture is None or picture.media_type not in SHOWN_TYPES:
        return show_fault(request, 404, "No picture", "There is no picture of this card that can be shown.")
    return Response(picture.content, media_type=picture.media_type)
