"""The page To buy: wanted colours go in, the tubes that reach them come out, and what the shelf cannot reach."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import CardError, InputError
from scumble.jobs.supply_page import SHOWN_GAPS, SupplyFound, SupplyQuery, begin_supply, class_sheet
from scumble.jobs.task import State, Task
from scumble.web.faults import HTML
from scumble.web.render import render
from scumble.web.tasks import tasks_of
from scumble.web.uploads import receive_upload

router = APIRouter()

KIND = "supply"

PDF: dict[str, Any] = {
    "content": {"application/pdf": {}},
    "description": "What to buy, for whom, and for what.",
}


@router.get("/supply", response_class=HTMLResponse, responses={422: HTML}, summary="To buy")
def supply_page(
    request: Request, task: Annotated[str, Query(max_length=40, description="work that was begun")] = ""
) -> HTMLResponse:
    """The form, and what came of it; work that goes on is found again by its address."""
    begun = tasks_of(request).find(task) if task else None
    found = begun.result if begun is not None and isinstance(begun.result, SupplyFound) else None
    asked = found.asked if found else SupplyQuery()
    return render(
        request,
        "supply.html",
        asked=asked,
        found=found,
        begun=begun,
        wrong=_wrong(begun),
        labels=_labels(request),
        shown_gaps=SHOWN_GAPS,
    )


@router.post(
    "/supply",
    response_class=RedirectResponse,
    status_code=303,
    responses={422: HTML},
    summary="Choose what to buy, or look for gaps",
)
def ask_for_supply(
    request: Request, query: Annotated[SupplyQuery, Form()], picture: UploadFile | None = None
) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""
    try:
        upload = receive_upload(picture) if picture is not None and picture.filename else None
        content, name = (upload.content, upload.name) if upload else (b"", "")
        work = begin_supply(request.app.state.shelf, query, content, name)
    except (InputError, CardError) as error:
        return render(
            request,
            "supply.html",
            status=422,
            asked=query,
            found=None,
            begun=None,
            wrong=str(error),
            labels=_labels(request),
            shown_gaps=SHOWN_GAPS,
        )
    title = "What the shelf cannot reach" if query.ask == "gaps" else "What to buy"
    return RedirectResponse(
        f"/supply?task={tasks_of(request).start(title, work, kind=KIND)}", status_code=303
    )


@router.get(
    "/supply/sheet.pdf", response_class=Response, responses={200: PDF, 422: HTML}, summary="The class sheet"
)
def sheet_to_print(
    request: Request,
    task: Annotated[str, Query(max_length=40)],
    page: Annotated[str, Query(max_length=30)] = "A4",
) -> Response:
    """The chosen tubes with amounts, cost and the colours they reach, as a PDF."""
    found = tasks_of(request).find(task).result
    if not isinstance(found, SupplyFound):
        raise InputError("task", task, "a supply list that was worked out", "Choose the tubes first.")
    said = {"Content-Disposition": 'attachment; filename="what-to-buy.pdf"'}
    return Response(class_sheet(found, page=page), media_type="application/pdf", headers=said)


def _wrong(begun: Task | None) -> str:
    if begun is None or begun.state is not State.FAILED:
        return "It was stopped." if begun is not None and begun.state is State.CANCELLED else ""
    return begun.error


def _labels(request: Request) -> list[str]:
    return [entry.label for entry in request.app.state.shelf.load_entries()]
