"""HEAD: answered as GET would be, with all its headers and nothing after them."""

from __future__ import annotations

from starlette.types import ASGIApp, Message, Receive, Scope, Send


class _AllSaidError(OSError):
    """Ends an answer whose headers were sent; what writes it takes it as nobody listening any more."""


class Head:
    """Asks for the page that a HEAD request means, and lets only its head through.

    Parameters
    ----------
    app : ASGI application
        What answers.

    Notes
    -----
    A stream of events is ended as soon as its head is known. *Source:* RFC 9110, 9.3.2: the same header fields as for
    GET, and no content.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, a HEAD as a GET."""
        if scope["type"] != "http" or scope["method"] != "HEAD":
            await self.app(scope, receive, send)
            return
        begun = False

        async def send_head(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                await send(message)
            elif not begun:
                begun = True
                await send({"type": "http.response.body", "body": b"", "more_body": False})
            if begun and message.get("more_body", False):
                raise _AllSaidError

        try:
            await self.app({**scope, "method": "GET"}, receive, send_head)
        except Exception:
            # Whatever an answer says when it is cut short; once its head is out there is nothing to add.
            if not begun:
                raise
