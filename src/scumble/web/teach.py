"""The pages of Teach: a round of questions, what was foretold, and where a round begins."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import HTMLResponse, Response

from scumble.errors import InputError
from scumble.jobs.teach.done_page import show_done
from scumble.jobs.teach.keep import keep_answer, next_address
from scumble.jobs.teach.lesson_page import LessonQuery, lesson_pdf, show_lesson
from scumble.jobs.teach.record import KEPT, show_record, show_teacher
from scumble.jobs.teach.round_page import begin_round, show_question
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.teach.start_page import show_start
from scumble.web.faults import HTML, show_fault
from scumble.web.leads import ELSEWHERE, lead_to, leads_on
from scumble.web.render import render

router = APIRouter()

PDF: dict[str, Any] = {"content": {"application/pdf": {}}, "description": "True to scale."}


@router.get("/teach", response_class=HTMLResponse, summary="Teach")
def teach_page(
    request: Request,
    who: Annotated[int, Query(ge=0, description="number of the trainee who is chosen")] = 0,
    erased: Annotated[bool, Query(description="somebody was erased just now")] = False,
) -> HTMLResponse:
    """Where a round begins: who answers, what it is about, and how."""
    page = show_start(request.app.state.shelf, who=who)
    return render(request, "teach.html", page=page, erased=erased, kept=KEPT)


@router.get(
    "/teach/round",
    response_class=HTMLResponse,
    responses={303: ELSEWHERE, 422: HTML},
    summary="A question, before or after it is answered",
)
def round_page(request: Request, query: Annotated[RoundQuery, Query()]) -> Response:
    """A question of a round; an address without one leads to the next."""
    shelf = request.app.state.shelf
    try:
        if not query.round:
            return lead_to(begin_round(query))
        if not query.ask:
            return lead_to(next_address(shelf, query))
        return render(request, "teach_round.html", page=show_question(shelf, query))
    except InputError as error:
        return show_fault(request, 422, "This can't be asked", str(error))


@router.post(
    "/teach/round",
    **leads_on(),
    summary="Answer a question",
)
def answer_question(request: Request, query: Annotated[RoundQuery, Form()]) -> Response:
    """Take an answer, keep it for the trainee it is of, and lead to the film."""
    keep_answer(request.app.state.shelf, query)
    return lead_to(f"{query.address()}#verdict")


@router.get("/teach/done", response_class=HTMLResponse, responses={422: HTML}, summary="The end of a round")
def done_page(request: Request, query: Annotated[RoundQuery, Query()]) -> HTMLResponse:
    """What was foretold in a round, and what was not."""
    return render(request, "teach_done.html", page=show_done(request.app.state.shelf, query))


@router.get(
    "/teach/lesson",
    response_class=HTMLResponse,
    responses={303: ELSEWHERE, 422: HTML},
    summary="A lesson",
)
def lesson_page(request: Request, query: Annotated[LessonQuery, Query()]) -> Response:
    """How a lesson is given, with its questions to look through before it is printed."""
    if query.seed < 0:
        return lead_to(f"/teach/lesson?{query.with_seed()}")
    page = show_lesson(request.app.state.shelf, query)
    return render(request, "teach_lesson.html", page=page)


@router.get(
    "/teach/lesson.pdf",
    response_class=Response,
    responses={200: PDF, 422: HTML},
    summary="A lesson, to be printed",
)
def lesson_file(request: Request, query: Annotated[LessonQuery, Query()]) -> Response:
    """Plan, questions with boxes to paint in, and answers on pages of their own."""
    content, name = lesson_pdf(request.app.state.shelf, query)
    disposition = f'attachment; filename="{name}"'
    return Response(content, media_type="application/pdf", headers={"Content-Disposition": disposition})


@router.post(
    "/teach/trainees",
    **leads_on(),
    summary="Begin a trainee's record",
)
def add_trainee(request: Request, name: Annotated[str, Form(max_length=200)]) -> Response:
    """Keep a name or initials; what that trainee answers is kept from then on."""
    trainee = request.app.state.shelf.trainees.add(name)
    return lead_to(f"/teach?who={trainee.number}")


@router.get("/teach/record", response_class=HTMLResponse, summary="What is mispredicted most")
def teacher_page(request: Request) -> HTMLResponse:
    """All trainees together: which kinds of question and which tubes are mispredicted most."""
    return render(request, "teach_teacher.html", page=show_teacher(request.app.state.shelf), kept=KEPT)


@router.get("/teach/record/{who}", response_class=HTMLResponse, responses={404: HTML}, summary="A record")
def record_page(request: Request, who: int) -> Response:
    """One trainee: what was foretold, what comes again, and the way to erase it."""
    try:
        page = show_record(request.app.state.shelf, who)
    except InputError as error:
        return show_fault(request, 404, "Nobody of that number", str(error))
    return render(request, "teach_record.html", page=page, kept=KEPT)


@router.post(
    "/teach/record/{who}/erase",
    **leads_on(),
    summary="Erase a record",
)
def erase_record(
    request: Request, who: int, sure: Annotated[Literal["yes"], Form(description="said that they are sure")]
) -> Response:
    """Erase a trainee with all answers, for good."""
    del sure
    request.app.state.shelf.trainees.erase(who)
    return lead_to("/teach?erased=true")
