"""Requests that are larger than is ever taken in are refused, before and while they come."""

from __future__ import annotations

from contextlib import suppress

from fastapi import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from scumble.web.faults import show_too_large
from scumble.web.uploads import TooLargeError

MOST_FORM_BYTES = 600_000_000
"""Of one request with files."""

MOST_OTHER_BYTES = 16_000_000
"""Of any other request."""


class BodyLimit:
    """Refuses requests that are larger than is ever taken in, before and while they come.

    Parameters
    ----------
    app : ASGI application
        What answers the others.
    form_bytes, other_bytes : int
        Most of a form with files, and of anything else.
    """

    def __init__(
        self, app: ASGIApp, *, form_bytes: int = MOST_FORM_BYTES, other_bytes: int = MOST_OTHER_BYTES
    ) -> None:
        self.app = app
        self.form_bytes = form_bytes
        self.other_bytes = other_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on as long as it is not too large."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        is_form = headers.get(b"content-type", b"").startswith(b"multipart/form-data")
        most = self.form_bytes if is_form else self.other_bytes
        promised = headers.get(b"content-length", b"0")
        if promised.isdigit() and int(promised) > most:
            await _refuse(scope, receive, send, most)
            return
        await self._count(scope, receive, send, most)

    async def _count(self, scope: Scope, receive: Receive, send: Send, most: int) -> None:
        """Pass a request on and count what comes, for a sender may promise less than it sends."""
        came = 0
        begun = False

        async def receive_and_count() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > most:
                raise TooLargeError("What was sent", most)
            return message

        async def send_unless_too_large(message: Message) -> None:
            nonlocal begun
            if came <= most or begun:
                begun = True
                await send(message)

        with suppress(TooLargeError):
            await self.app(scope, receive_and_count, send_unless_too_large)
        if came > most and not begun:
            await _refuse(scope, receive, send, most)


async def _refuse(scope: Scope, receive: Receive, send: Send, most: int) -> None:
    answer = show_too_large(Request(scope), TooLargeError("What was sent", most))
    answer.headers["Connection"] = "close"
    await answer(scope, receive, send)
