"""The page One subject, two ways: its colours go in, and what covering and glazing take and give comes out."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import InputError
from scumble.jobs.match.subject_page import SubjectFound, SubjectQuery, begin_subject
from scumble.web.begun import BegunPage, Outcome, Work
from scumble.web.faults import HTML
from scumble.web.tasks import tasks_of
from scumble.web.uploads import receive_upload

router = APIRouter()

PAGE = BegunPage("subject.html", "/subject", SubjectQuery)

PNG: dict[str, Any] = {"content": {"image/png": {}}, "description": "The picture in few colours."}

TaskKey = Annotated[str, Query(max_length=40, description="work that was begun")]


@router.get("/subject", response_class=HTMLResponse, responses={422: HTML}, summary="One subject, two ways")
def subject_page(request: Request, task: TaskKey = "") -> HTMLResponse:
    """The form, and what came of it; work that goes on is found again by its address."""
    return PAGE.show(request, task)


@router.post(
    "/subject",
    response_class=RedirectResponse,
    status_code=303,
    responses={422: HTML},
    summary="Paint a subject both ways",
)
def ask_for_subject(
    request: Request, query: Annotated[SubjectQuery, Form()], picture: UploadFile | None = None
) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""

    def prepare() -> Work:
        upload = receive_upload(picture) if picture is not None and picture.filename else None
        content, name = (upload.content, upload.name) if upload else (b"", "")
        return begin_subject(request.app.state.shelf, query, content, name)

    return PAGE.answer(request, "One subject, two ways", query, prepare)


@router.get(
    "/subject/{seen}.png",
    response_class=Response,
    responses={200: PNG, 422: HTML},
    summary="The subject repainted",
)
def repainted(request: Request, seen: str, task: TaskKey) -> Response:
    """The subject's picture as it is wanted, covered or glazed."""
    outcome = tasks_of(request).find(task).result
    found = outcome.found if isinstance(outcome, Outcome) else None
    if not isinstance(found, SubjectFound):
        raise InputError("task", task, "a subject that was painted both ways", "Ask for it anew.")
    return Response(found.repaint(seen), media_type="image/png")
