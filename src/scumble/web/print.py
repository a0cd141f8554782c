"""The page Print: what is to be printed, the look at it, the file, and the profiles handed in for it."""

from __future__ import annotations

import gzip
from collections.abc import Callable
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.jobs.charts.desk import PrintDesk
from scumble.jobs.charts.page import page_pdf, page_svg, show_print
from scumble.jobs.charts.query import PrintQuery
from scumble.web.faults import HTML, REFUSAL
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render
from scumble.web.room import is_own_page
from scumble.web.tasks import tasks_of
from scumble.web.uploads import receive_upload

router = APIRouter()

MOST_PROFILE_BYTES = 8_000_000
"""Largest profile that is taken in."""

SQUEEZE = 3
"""How hard pages are packed on their way: most of the gain at a tenth of the time of the hardest."""

SVG: dict[str, Any] = {"content": {"image/svg+xml": {}}, "description": "One page, as it will be printed."}
PDF: dict[str, Any] = {"content": {"application/pdf": {}}, "description": "The chart, true to scale."}


def desk_of(request: Request) -> PrintDesk:
    """What the pages keep at hand for printing, made when it is first asked for."""
    state = request.app.state
    if not hasattr(state, "print_desk"):
        state.print_desk = PrintDesk()
    desk: PrintDesk = state.print_desk
    return desk


@router.get("/print", response_class=HTMLResponse, responses={422: HTML}, summary="Print")
def print_page(
    request: Request,
    query: Annotated[PrintQuery, Query()],
    whole: Annotated[bool, Query(description="draw a large chart before answering")] = False,
) -> HTMLResponse:
    """Charts, handouts, labels and sheets to paint on, seen before they are printed."""
    page = show_print(request.app.state.shelf, desk_of(request), query, whole=whole)
    return render(request, "print.html", status=422 if page.wrong else 200, page=page)


@router.get(
    "/print/page-{number}.svg",
    response_class=Response,
    responses={200: SVG, 422: HTML},
    summary="Look at a page before it is printed",
)
def look_at_page(request: Request, number: int, query: Annotated[PrintQuery, Query()]) -> Response:
    """One page of the chart: the same shapes as in the file, in the colours that its printer can give it."""
    svg = page_svg(request.app.state.shelf, desk_of(request), query, number).encode()
    headers = {"Vary": "Accept-Encoding"}
    if "gzip" in request.headers.get("accept-encoding", ""):
        svg, headers["Content-Encoding"] = gzip.compress(svg, SQUEEZE, mtime=0), "gzip"
    return Response(svg, media_type="image/svg+xml", headers=headers)


@router.get(
    "/print/chart.pdf", response_class=Response, responses={200: PDF, 422: HTML}, summary="The file to print"
)
def file_to_print(request: Request, query: Annotated[PrintQuery, Query()]) -> Response:
    """The chart as a PDF with its fonts and its colour profile in it."""
    content, name = page_pdf(request.app.state.shelf, desk_of(request), query)
    said = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type="application/pdf", headers=said)


@router.post("/print/draw", responses={422: REFUSAL}, summary="Draw a large chart in the background")
def draw_in_background(request: Request, query: Annotated[PrintQuery, Query()]) -> dict[str, str]:
    """Begin to draw; the task's key is answered, and the chart is at hand when the task is done."""
    shelf, desk = request.app.state.shelf, desk_of(request)

    def work(progress: Callable[[float, str], None]) -> int:
        chart = desk.chart(shelf, query, lambda words, share: progress(share, words))
        return len(chart.sheets)

    return {"task": tasks_of(request).start("Draw the chart", work, kind="print")}


@router.post(
    "/print/profile",
    **leads_on(),
    summary="Hand in the profile of a printer",
)
def hand_in_profile(
    request: Request, profile: UploadFile, query: Annotated[str, Form(max_length=8000)] = ""
) -> RedirectResponse:
    """Take in an ICC profile; it stays in memory until the program ends, and never touches the disk."""
    handed_in = receive_upload(profile, most_bytes=MOST_PROFILE_BYTES)
    kept = desk_of(request).keep_profile(handed_in.content)
    address = f"/print?{query}&profile={kept.key}" if query else f"/print?profile={kept.key}"
    return lead_to(address if is_own_page(address) else "/print")
