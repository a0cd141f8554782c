"""The pages at the counter: questions in the trade's words, three tubes for an answer, and the lock behind them."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import InputError
from scumble.jobs.counter.page import CounterPage, show_counter
from scumble.web.faults import HTML
from scumble.web.kiosk import COOKIE, CounterLock, remember_pass
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render

router = APIRouter()


def lock_of(request: Request) -> CounterLock:
    """The lock of this server."""
    lock: CounterLock = request.app.state.counter_lock
    return lock


@router.get("/counter", response_class=HTMLResponse, summary="At the counter")
def counter_page(request: Request) -> HTMLResponse:
    """What a customer can ask."""
    return _show(request, show_counter(request.app.state.shelf))


@router.get("/counter/unlock", response_class=HTMLResponse, summary="The lock of the counter")
def lock_page(request: Request) -> HTMLResponse:
    """Where staff type the code that opens the other pages."""
    is_let = lock_of(request).lets(request)
    return render(request, "counter_lock.html", is_let=is_let, wrong="")


@router.post(
    "/counter/unlock",
    response_class=HTMLResponse,
    responses={303: {"description": "To the shelf."}, 403: HTML},
    summary="Unlock the other pages",
)
def unlock(request: Request, code: Annotated[str, Form(max_length=40)]) -> Response:
    """Let this browser see the other pages until it is closed or locked again."""
    lock = lock_of(request)
    ticket = lock.unlock(code) if lock.is_shut else ""
    if lock.is_shut and not ticket:
        wrong = "Wait half a minute, then try again." if lock.is_waiting() else "That is not the code."
        return render(request, "counter_lock.html", status=403, is_let=False, wrong=wrong)
    answer = lead_to("/")
    if ticket:
        remember_pass(answer, ticket)
    return answer


@router.post("/counter/lock", **leads_on(), summary="Lock the other pages")
def lock_again(request: Request) -> RedirectResponse:
    """Take this browser's pass back."""
    lock_of(request).lock(request.cookies.get(COOKIE, ""))
    answer = lead_to("/counter")
    answer.delete_cookie(COOKIE, httponly=True, samesite="strict")
    return answer


@router.get(
    "/counter/{asked}", response_class=HTMLResponse, responses={422: HTML}, summary="An answer at the counter"
)
def answer_page(
    request: Request,
    asked: str,
    colour: Annotated[str, Query(max_length=20)] = "",
    binder: Annotated[str, Query(max_length=20)] = "",
) -> Response:
    """Three tubes for a question, each with its strip and its reasons."""
    try:
        page = show_counter(request.app.state.shelf, asked, colour=colour, binder=binder)
    except InputError:
        if lock_of(request).lets(request):
            raise
        # A customer has no use for the doors of a fault page.
        return lead_to("/counter")
    return _show(request, page)


def _show(request: Request, page: CounterPage) -> HTMLResponse:
    lock = lock_of(request)
    return render(request, "counter.html", page=page, is_shut=not lock.lets(request), has_lock=lock.is_shut)
