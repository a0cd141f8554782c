"""The page One subject, two ways: its colours go in, and what covering and glazing take and give comes out."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, UploadFile
from starlette.responses import HTMLResponse, Response

from scumble.jobs.match.subject_page import SubjectFound, SubjectQuery, begin_subject
from scumble.web.begun import BEGINS, BegunPage, TaskKey, Work, picture_of
from scumble.web.faults import HTML
from scumble.web.kept import FOR_AN_HOUR, answer_kept

router = APIRouter()

PAGE = BegunPage("subject.html", "/subject", SubjectQuery)

PNG: dict[str, Any] = {"content": {"image/png": {}}, "description": "The picture in few colours."}


@router.get("/subject", response_class=HTMLResponse, responses={422: HTML}, summary="One subject, two ways")
def subject_page(request: Request, task: TaskKey = "") -> HTMLResponse:
    """The form, and what came of it; work that goes on is found again by its address."""
    return PAGE.show(request, task)


@router.post("/subject", **BEGINS, summary="Paint a subject both ways")
def ask_for_subject(
    request: Request, query: Annotated[SubjectQuery, Form()], picture: UploadFile | None = None
) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""

    def prepare() -> Work:
        content, name = picture_of(picture)
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
    found = PAGE.found(
        request, task, SubjectFound, wanted="a subject that was painted both ways", hint="Ask for it anew."
    )
    return answer_kept(request, found.repaint(seen), "image/png", rule=FOR_AN_HOUR)
