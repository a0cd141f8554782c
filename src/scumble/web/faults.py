"""Pages for when something is wrong: what was seen, what is allowed, what to do."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response
from starlette.routing import Match
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from scumble.errors import CardError, InputError, StoreError
from scumble.web.leads import PAGE_OF_FAULT
from scumble.web.render import render
from scumble.web.uploads import TooLargeError

HTML = PAGE_OF_FAULT

REFUSAL: dict[str, Any] = {
    "content": {
        "application/json": {
            "schema": {
                "type": "object",
                "properties": {"title": {"type": "string"}, "words": {"type": "string"}},
                "required": ["title", "words"],
            }
        },
        "text/html": {},
    },
    "description": "What was wrong: as data where data was sent, else a page.",
}

TITLES = {
    404: "Nothing hangs here",
    405: "That can't be done here",
    413: "That is too large",
    422: "That can't be used",
}


class MissingError(Exception):
    """What an address names is not there; answered with status 404.

    Parameters
    ----------
    title, words : str
        In short, and in a sentence a person reads.
    """

    def __init__(self, title: str, words: str) -> None:
        super().__init__(words)
        self.title = title


@contextmanager
def missing(title: str) -> Iterator[None]:
    """Around what fetches the thing that an address names: that there is none is no wrong word but a wrong address.

    Parameters
    ----------
    title : str
        What is said then, such as *No such tube*.

    Raises
    ------
    MissingError
        In the place of an InputError.
    """
    try:
        yield
    except InputError as error:
        raise MissingError(title, str(error)) from None


METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
"""What might be done at an address; HEAD goes with GET."""


def handle_faults(app: FastAPI) -> None:
    """Give every fault its page."""
    app.add_exception_handler(MissingError, _missing)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _validation)
    app.add_exception_handler(InputError, _input)
    app.add_exception_handler(CardError, _input)
    app.add_exception_handler(StoreError, _store)
    app.add_exception_handler(TooLargeError, _too_large)
    app.add_middleware(LastResort)


def show_fault(request: Request, status: int, title: str, words: str) -> Response:
    """A page that says what is wrong and where to go; data for who sent data or asks for it.

    Parameters
    ----------
    request : Request
        What could not be answered.
    status : int
        HTTP status.
    title, words : str
        In short, and in a sentence a person reads.
    """
    if wants_data(request):
        return JSONResponse({"title": title, "words": words}, status_code=status)
    return render(request, "fault.html", status=status, title=title, words=words)


def wants_data(request: Request) -> bool:
    """Whether a program asks, which sent data or takes nothing but data; everybody else gets a page."""
    wanted = request.headers.get("accept", "")
    sent = request.headers.get("content-type", "")
    return sent.startswith("application/json") or ("application/json" in wanted and "text/html" not in wanted)


async def _missing(request: Request, error: Exception) -> Response:
    title = error.title if isinstance(error, MissingError) else TITLES[404]
    return show_fault(request, 404, title, str(error))


async def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    words = {
        404: f"There is no page at {request.url.path}. The shelf has every tube.",
        405: f"{request.url.path} takes what its page sends; there is nothing to look at."
        if request.method == "GET"
        else "This page can be looked at, not written to.",
    }.get(status, "This request can't be answered.")
    answer = show_fault(request, status, TITLES.get(status, "That didn't work"), words)
    if status == 405:
        answer.headers["Allow"] = ", ".join(allowed_methods(request))
    return answer


def allowed_methods(request: Request) -> list[str]:
    """What can be done at an address, by all routes that lie there.

    Notes
    -----
    *Source:* RFC 9110, 10.2.1 (Allow) and 15.5.6 (405 must carry it).
    """
    found = [
        method
        for method in METHODS
        if any(
            route.matches({**request.scope, "method": method})[0] is Match.FULL
            for route in request.app.routes
        )
    ]
    return sorted([*found, *(["HEAD"] if "GET" in found else [])])


async def _validation(request: Request, error: Exception) -> Response:
    faults = error.errors() if isinstance(error, RequestValidationError) else []
    said = "; ".join(f"{_place(fault['loc'])}: {fault['msg'].lower()}" for fault in faults)
    return show_fault(request, 422, TITLES[422], said or "The request can't be used.")


def _place(steps: tuple[str | int, ...]) -> str:
    """Where a fault stands, in the words of the request, a list counted from 1."""
    return " ".join(str(step + 1) if isinstance(step, int) else step for step in steps[1:]) or str(steps[0])


async def _input(request: Request, error: Exception) -> Response:
    return show_fault(request, 422, TITLES[422], str(error))


async def _store(request: Request, error: Exception) -> Response:
    return show_fault(request, 503, "The shelf can't be read", str(error))


async def _too_large(request: Request, error: Exception) -> Response:
    return show_too_large(request, error)


def show_too_large(request: Request, error: Exception) -> Response:
    """The page for who hands in more than is taken in."""
    return show_fault(request, 413, TITLES[413], str(error))


class LastResort:
    """Answers with a page when something went wrong that nobody foresaw, and tells the terminal what it was.

    Parameters
    ----------
    app : ASGI application
        What may break down.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on; once an answer has begun, nothing more can be said."""
        begun = False

        async def send_and_note(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self.app(scope, receive, send_and_note)
        except Exception:
            if begun or scope["type"] != "http":
                raise
            logging.getLogger("scumble.web").exception("%s %s", scope["method"], scope["path"])
            words = "Something went wrong that should not. Nothing on the shelf was changed; the terminal says more."
            answer = show_fault(Request(scope), 500, "A fault in Scumble", words)
            await answer(scope, receive, send)
