"""The pages of Teach: a round of questions, what was foretold, and where a round begins."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import InputError
from scumble.jobs.teach.done_page import show_done
from scumble.jobs.teach.round_page import begin_round, show_question, step_round
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.teach.start_page import show_start
from scumble.web.faults import HTML, show_fault
from scumble.web.render import render

router = APIRouter()

ONWARD = {"description": "To the next question, or to the end of the round."}


@router.get("/teach", response_class=HTMLResponse, summary="Teach")
def teach_page(request: Request) -> HTMLResponse:
    """Where a round begins: who answers, what it is about, and how."""
    return render(request, "teach.html", page=show_start(request.app.state.shelf))


@router.get(
    "/teach/round",
    response_class=HTMLResponse,
    responses={303: ONWARD, 422: HTML},
    summary="A question, before or after it is answered",
)
def round_page(request: Request, query: Annotated[RoundQuery, Query()]) -> Response:
    """A question of a round; an address without one leads to the next."""
    shelf = request.app.state.shelf
    try:
        if not query.round:
            return RedirectResponse(begin_round(query), status_code=303)
        if not query.ask:
            return RedirectResponse(step_round(shelf, query), status_code=303)
        return render(request, "teach_round.html", page=show_question(shelf, query))
    except InputError as error:
        return show_fault(request, 422, "This can't be asked", str(error))


@router.post(
    "/teach/round",
    status_code=303,
    response_class=RedirectResponse,
    responses={422: HTML},
    summary="Answer a question",
)
def answer_question(request: Request, query: Annotated[RoundQuery, Form()]) -> Response:
    """Take an answer, keep it for the trainee it is of, and lead to the film."""
    show_question(request.app.state.shelf, query)
    return RedirectResponse(f"{query.address()}#verdict", status_code=303)


@router.get("/teach/done", response_class=HTMLResponse, responses={422: HTML}, summary="The end of a round")
def done_page(request: Request, query: Annotated[RoundQuery, Query()]) -> HTMLResponse:
    """What was foretold in a round, and what was not."""
    return render(request, "teach_done.html", page=show_done(request.app.state.shelf, query))
