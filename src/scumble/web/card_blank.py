"""Blank cards: printed as PDF, looked at as SVG."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from scumble.jobs.cards.print_card import picture_card, print_card
from scumble.jobs.charts.print_strips import print_strips
from scumble.web.faults import HTML
from scumble.web.kept import FOR_AN_HOUR, answer_kept

router = APIRouter()

PDF: dict[str, Any] = {"content": {"application/pdf": {}}, "description": "Cards to print, true to scale."}
SVG: dict[str, Any] = {"content": {"image/svg+xml": {}}, "description": "A card as it is printed."}

Layout = Literal["full", "quick", "white"]


@router.get(
    "/cards/blank/strips.pdf",
    response_class=Response,
    responses={200: PDF, 422: HTML},
    summary="Blank strips to paint by hand",
)
def blank_strips(page: Annotated[str, Query(max_length=10)] = "A4") -> Response:
    """Strips from masstone to undertone, to keep as a painted chart or to mark up by hand."""
    said = {"Content-Disposition": f'attachment; filename="strips-{page}.pdf"'}
    return Response(print_strips(page=page), media_type="application/pdf", headers=said)


@router.get(
    "/cards/blank/{layout}.pdf",
    response_class=Response,
    responses={200: PDF, 422: HTML},
    summary="Blank cards",
)
def blank_card(
    layout: Layout, page: Annotated[str, Query(max_length=10)] = "A4", count: Annotated[int, Query()] = 0
) -> Response:
    """Cards to print and paint on, each with a serial of its own."""
    content = print_card(layout=layout, page=page, count=count or None)
    name = f"sample-card-{layout}.pdf"
    said = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"}
    return Response(content, media_type="application/pdf", headers=said)


@router.get(
    "/cards/blank/{layout}.svg", response_class=Response, responses={200: SVG}, summary="Look at a blank card"
)
def look_at_blank(request: Request, layout: Layout) -> Response:
    """The card as it is printed, for the screen."""
    return answer_kept(request, picture_card(layout=layout), "image/svg+xml", rule=FOR_AN_HOUR)
