"""The lock on the tablet at the counter: it shows, answers and draws, and changes nothing until staff unlock it."""

from __future__ import annotations

import hmac
import re
import secrets
import time
from threading import Lock
from typing import Final

from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from scumble.web.faults import wants_data
from scumble.web.leads import lead_to

COOKIE: Final = "staff"

OPEN_TO_ALL: Final = re.compile(
    r"/counter(/[a-z]+)?|/static/[\w.-]+|/room|/paints/[^/]+/(hanging|lying|narrow|steps)\.svg"
)
"""What a customer's tablet may ask for."""

MAY_SEND: Final = frozenset({"/room", "/counter/unlock", "/counter/lock"})
"""Where it may send something to: the light switch, and the lock itself."""

MOST_TRIES, WAIT_S = 5, 30.0
"""Wrong codes before the lock waits, and for how long [s]."""

PLAIN: Final = frozenset({"GET", "HEAD"})


class CounterLock:
    """The code that opens the pages behind the counter, and the browsers that were let through.

    Parameters
    ----------
    code : str
        What staff type; empty leaves everything open.
    """

    def __init__(self, code: str) -> None:
        self._code = code
        self._passes: set[str] = set()
        self._wrong: list[float] = []
        self._mutex = Lock()

    @property
    def is_shut(self) -> bool:
        """Whether there is a lock at all."""
        return bool(self._code)

    def lets(self, request: Request) -> bool:
        """Whether a browser may see more than the counter."""
        return not self.is_shut or request.cookies.get(COOKIE, "") in self._passes

    def is_waiting(self) -> bool:
        """Whether too many wrong codes were typed a moment ago."""
        now = time.monotonic()
        with self._mutex:
            self._wrong = [at for at in self._wrong if now - at < WAIT_S]
            return len(self._wrong) >= MOST_TRIES

    def unlock(self, code: str) -> str:
        """A pass for a browser whose code is right, nothing for a wrong one."""
        if self.is_waiting():
            return ""
        if not hmac.compare_digest(code.strip().encode(), self._code.encode()):
            with self._mutex:
                self._wrong.append(time.monotonic())
            return ""
        ticket = secrets.token_urlsafe(24)
        with self._mutex:
            self._passes.add(ticket)
        return ticket

    def lock(self, ticket: str) -> None:
        """Take a pass back."""
        with self._mutex:
            self._passes.discard(ticket)


class Kiosk:
    """Turns away whatever a customer's tablet has no business with.

    Parameters
    ----------
    app : ASGI application
        What answers.
    lock : CounterLock
        Who may pass.
    """

    def __init__(self, app: ASGIApp, lock: CounterLock) -> None:
        self.app, self.lock = app, lock

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, or send it back to the counter."""
        if scope["type"] == "lifespan" or not self.lock.is_shut:
            await self.app(scope, receive, send)
            return
        refusal = self._refuse(scope)
        await (self.app if refusal is None else refusal)(scope, receive, send)

    def _refuse(self, scope: Scope) -> Response | None:
        """What is answered instead; nothing where the request may pass."""
        if scope["type"] != "http":
            return PlainTextResponse("This is not open at the counter.", status_code=403)
        path, method, request = scope["path"], scope["method"], Request(scope)
        if self.lock.lets(request):
            return None
        if method in PLAIN and OPEN_TO_ALL.fullmatch(path):
            return None
        if method == "POST" and path in MAY_SEND:
            return None
        if method in PLAIN:
            return lead_to("/counter")
        words = "Nothing can be changed at the counter."
        if wants_data(request):
            return JSONResponse({"title": "Locked", "words": words}, status_code=403)
        # A customer has no use for the doors of a fault page.
        return PlainTextResponse(words, status_code=403)


def new_code() -> str:
    """Six figures that are hard to guess.

    Examples
    --------
    >>> len(new_code())
    6
    """
    return f"{secrets.randbelow(1_000_000):06d}"


def remember_pass(response: Response, ticket: str) -> None:
    """Let a browser keep its pass until it is closed."""
    response.set_cookie(COOKIE, ticket, httponly=True, samesite="strict")
    response.headers["Cache-Control"] = "no-store"
