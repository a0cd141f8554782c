"""Pictures that pages show: strips drawn from optics, and card photographs as they came."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from scumble.errors import InputError
from scumble.jobs.shelf.shelf_pictures import draw_of_paint, fetch_card_picture, fetch_shown_picture
from scumble.web.faults import HTML, show_fault

router = APIRouter()

FOR_GOOD = "private, max-age=31536000, immutable"
"""Cache rule of a drawing that was asked for by the stamp it has now: versions are never overwritten."""

SVG = {"content": {"image/svg+xml": {}}, "description": "An SVG document."}
PHOTOGRAPH = {
    "content": {kind: {} for kind in ("image/jpeg", "image/png", "image/tiff", "image/heic", "image/x-raw")},
    "description": "The picture as it came.",
}
SHOWN = {
    "content": {"image/jpeg": {}, "image/png": {}},
    "description": "The picture as a page shows it.",
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
    if picture is None:
        return show_fault(request, 404, "No picture", "There is no picture of this card.")
    return Response(picture.content, media_type=picture.media_type)


@router.get(
    "/paints/{key}/card.jpg",
    response_class=Response,
    responses={200: SHOWN, 404: HTML, 422: HTML},
    summary="Card photograph, to be shown",
)
def shown_photograph(
    request: Request,
    key: str,
    v: Annotated[str, Query(description="stamp of the version, for caching")] = "",
) -> Response:
    """The same as every browser shows it: a small copy of HEIC, TIFF, camera raw and very large files."""
    try:
        shown = fetch_shown_picture(request.app.state.shelf, key)
    except InputError as error:
        return show_fault(request, 404, "No such tube", str(error))
    if shown is None:
        return show_fault(request, 404, "No picture", "There is no picture of this card that can be shown.")
    rule = "private, max-age=3600" if v else "no-cache"
    return Response(shown.content, media_type=shown.media_type, headers={"Cache-Control": rule})
