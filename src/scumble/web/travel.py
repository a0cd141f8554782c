"""The shelf in and out: a file dropped, looked at row by row and taken in whole; and everything to take away."""

from __future__ import annotations

from typing import Annotated, Literal
from urllib.parse import quote

from fastapi import APIRouter, Form, Request, UploadFile
from starlette.responses import HTMLResponse, Response

from scumble.errors import InputError
from scumble.jobs.shelf.export_shelf import card_bytes, optics_bytes, shelf_bytes
from scumble.jobs.shelf.travel_desk import COLUMNS, MOST_SHOWN, TravelDesk
from scumble.jobs.task import Progress, Task
from scumble.web.faults import HTML, missing
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render
from scumble.web.tasks import tasks_of
from scumble.web.uploads import receive_upload

router = APIRouter()

MOST_LIST_BYTES = 64_000_000

AT_ONCE_S = 1.5
"""How long a page waits for its rows before it shows progress instead."""

FILE = {"content": {"application/octet-stream": {}}, "description": "The file."}

MEDIA = {
    "json": "application/json",
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "cgats": "text/plain; charset=utf-8",
    "cxf": "application/xml",
}


def desk_of(request: Request) -> TravelDesk:
    """The files that wait in the running program."""
    state = request.app.state
    if not hasattr(state, "travel_desk"):
        state.travel_desk = TravelDesk()
    desk: TravelDesk = state.travel_desk
    return desk


@router.get("/import", response_class=HTMLResponse, summary="Take a list in")
def import_page(request: Request) -> HTMLResponse:
    """Where a list or a whole shelf is dropped."""
    return render(request, "import.html", file=None, columns=COLUMNS)


@router.post(
    "/import",
    **leads_on(413),
    summary="Drop a list",
)
def drop_list(request: Request, file: UploadFile) -> Response:
    """Lay a list on the desk and look at its rows; nothing is saved yet."""
    upload = receive_upload(file, most_bytes=MOST_LIST_BYTES)
    waiting = desk_of(request).put(upload.name, upload.content)
    return _work(request, waiting.key, preview=True)


@router.get("/import/{key}", response_class=HTMLResponse, responses={404: HTML}, summary="A list looked at")
def list_page(request: Request, key: str) -> Response:
    """What would become of every row, or became."""
    with missing("This list is gone"):
        waiting = desk_of(request).find(key)
    task = _task_of(request, waiting.task)
    wrong = task.error if task is not None else ""
    running = task is not None and not task.state.is_over
    return render(
        request, "import.html", file=waiting, columns=COLUMNS, error=wrong, running=running, most=MOST_SHOWN
    )


@router.post(
    "/import/{key}",
    **leads_on(),
    summary="Look again or take in",
)
def work_on_list(
    request: Request,
    key: str,
    move: Annotated[Literal["look", "take"], Form()],
    column: Annotated[list[str] | None, Form()] = None,
) -> Response:
    """Look at the rows again under other columns, or take them all in."""
    if column is not None:
        desk_of(request).choose(key, tuple(column))
    return _work(request, key, preview=move == "look")


@router.get("/export", response_class=HTMLResponse, summary="Take the shelf out")
def export_page(request: Request) -> HTMLResponse:
    """Everything that can be taken away."""
    return render(request, "export.html", count=len(request.app.state.shelf.load_entries()))


@router.get("/export/shelf.{kind}", response_class=Response, responses={200: FILE}, summary="Shelf file")
def shelf_file(request: Request, kind: Literal["json", "csv", "xlsx"]) -> Response:
    """The shelf as one file."""
    return _attachment(shelf_bytes(request.app.state.shelf, kind), f"shelf.{kind}", kind)


@router.get(
    "/export/{key}/card.{kind}",
    response_class=Response,
    responses={200: FILE, 422: HTML},
    summary="Card file",
)
def card_file(request: Request, key: str, kind: Literal["csv", "cgats", "cxf"]) -> Response:
    """The readings of a paint's card."""
    content, _ = card_bytes(request.app.state.shelf, key, kind)
    return _attachment(content, f"{key}-card.{kind}", kind)


@router.get(
    "/export/{key}/optics.{kind}",
    response_class=Response,
    responses={200: FILE, 422: HTML},
    summary="Optics file",
)
def optics_file(request: Request, key: str, kind: Literal["cgats", "cxf"]) -> Response:
    """A paint's optics with their doubt."""
    return _attachment(optics_bytes(request.app.state.shelf, key, kind), f"{key}-optics.{kind}", kind)


def _work(request: Request, key: str, *, preview: bool) -> Response:
    desk, tasks, shelf = desk_of(request), tasks_of(request), request.app.state.shelf
    name = desk.find(key).name

    def work(tell: Progress) -> dict[str, int]:
        return desk.take(key, shelf, preview=preview, tell=tell)

    task = tasks.start(f"{'Look at' if preview else 'Take in'} {name}", work, kind="list")
    desk.begin(key, task)
    tasks.wait(task, timeout_s=AT_ONCE_S)
    return lead_to(f"/import/{key}")


def _task_of(request: Request, key: str) -> Task | None:
    try:
        return tasks_of(request).find(key)
    except InputError:
        return None


def _attachment(content: bytes, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name, safe='')}"}
    return Response(content, media_type=MEDIA[kind], headers=headers)
