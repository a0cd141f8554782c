"""The page To buy: wanted colours go in, the tubes that reach them come out, and what the shelf cannot reach."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.responses import HTMLResponse, Response

from scumble.jobs.match.supply_page import SupplyFound, SupplyQuery, begin_supply, class_sheet
from scumble.web.begun import BEGINS, BegunPage, TaskKey, Work, picture_of
from scumble.web.faults import HTML

router = APIRouter()

PAGE = BegunPage("supply.html", "/supply", SupplyQuery)

PDF: dict[str, Any] = {
    "content": {"application/pdf": {}},
    "description": "What to buy, for whom, and for what.",
}


@router.get("/supply", response_class=HTMLResponse, responses={422: HTML}, summary="To buy")
def supply_page(request: Request, task: TaskKey = "") -> HTMLResponse:
    """The form, and what came of it; work that goes on is found again by its address."""
    return PAGE.show(request, task)


@router.post("/supply", **BEGINS, summary="Choose what to buy, or look for gaps")
def ask_for_supply(
    request: Request, query: Annotated[SupplyQuery, Form()], picture: UploadFile | None = None
) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""

    def prepare() -> Work:
        content, name = picture_of(picture)
        return begin_supply(request.app.state.shelf, query, content, name)

    title = "What the shelf cannot reach" if query.ask == "gaps" else "What to buy"
    return PAGE.answer(request, title, query, prepare)


@router.get(
    "/supply/sheet.pdf", response_class=Response, responses={200: PDF, 422: HTML}, summary="The class sheet"
)
def sheet_to_print(
    request: Request, task: TaskKey, page: Annotated[str, Query(max_length=30)] = "A4"
) -> Response:
    """The chosen tubes with amounts, cost and the colours they reach, as a PDF."""
    found = PAGE.found(
        request, task, SupplyFound, wanted="a supply list that was worked out", hint="Choose the tubes first."
    )
    said = {"Content-Disposition": 'attachment; filename="what-to-buy.pdf"'}
    return Response(class_sheet(found, page=page), media_type="application/pdf", headers=said)
