"""Pictures that pages show: strips drawn from optics, and card photographs as they came."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from scumble.jobs.shelf.shelf_pictures import draw_of_paint, fetch_card_picture, fetch_shown_picture
from scumble.web.faults import HTML, MissingError, missing
from scumble.web.kept import ASK_AGAIN, FOR_AN_HOUR, FOR_GOOD, answer_kept

router = APIRouter()

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
    with missing("No such tube"):
        svg, stamp = draw_of_paint(request.app.state.shelf, key, drawing)
    rule = FOR_GOOD if v == stamp else ASK_AGAIN
    return answer_kept(request, svg, "image/svg+xml", rule=rule, stamp=stamp)


@router.get(
    "/paints/{key}/card",
    response_class=Response,
    responses={200: PHOTOGRAPH, 404: HTML, 422: HTML},
    summary="Card photograph",
)
def card_photograph(request: Request, key: str) -> Response:
    """The photograph that a paint's card was read from."""
    with missing("No such tube"):
        picture = fetch_card_picture(request.app.state.shelf, key)
    if picture is None:
        raise MissingError("No picture", "There is no picture of this card.")
    return answer_kept(request, picture.content, picture.media_type)


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
    with missing("No such tube"):
        shown = fetch_shown_picture(request.app.state.shelf, key)
    if shown is None:
        raise MissingError("No picture", "There is no picture of this card that can be shown.")
    return answer_kept(request, shown.content, shown.media_type, rule=FOR_AN_HOUR if v else ASK_AGAIN)
