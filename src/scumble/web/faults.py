"""Pages for when something is wrong: what was seen, what is allowed, what to do."""

from __future__ import annotations

import logging
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from scumble.errors import CardError, InputError, StoreError
from scumble.web.render import render
from scumble.web.uploads import TooLargeError

HTML: dict[str, Any] = {"content": {"text/html": {}}, "description": "A page that says what was wrong."}

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


def handle_faults(app: FastAPI) -> None:
    """Give every fault its page."""
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
    sent = request.headers.get("content-type", "")
    wanted = request.headers.get("accept", "")
    if sent.startswith("application/json") or wanted.startswith("application/json"):
        return JSONResponse({"title": title, "words": words}, status_code=status)
    return render(request, "fault.html", status=status, title=title, words=words)


async def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    words = {
        404: f"There is no page at {request.url.path}. The shelf has every tube.",
        405: "This page can be looked at, not written to.",
    }.get(status, "This request can't be answered.")
    return show_fault(request, status, TITLES.get(status, "That didn't work"), words)


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
