"""What every answer carries so that no page can be turned against the person who looks at it."""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
"""No script or style but the files of this server, nothing from elsewhere, no frame around a page."""

READ_ONLY = frozenset({"GET", "HEAD", "OPTIONS"})


class Guard:
    """Adds :data:`HEADERS` to every answer and refuses requests that another site sends to change something.

    Parameters
    ----------
    app : ASGI application
        What answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("Cache-Control", "no-cache")
            await send(message)

        if scope["method"] not in READ_ONLY and comes_from_elsewhere(Headers(scope=scope)):
            refusal = PlainTextResponse("This came from another site and was not done.", status_code=403)
            await refusal(scope, receive, send_with_headers)
            return
        await self.app(scope, receive, send_with_headers)


def comes_from_elsewhere(headers: Headers) -> bool:
    """Whether a request was sent by a page of another site, as far as the browser says.

    Notes
    -----
    *Source:* W3C Fetch Metadata Request Headers (Sec-Fetch-Site); RFC 6454 (Origin).

    Examples
    --------
    >>> comes_from_elsewhere(Headers({"host": "127.0.0.1:8017", "origin": "http://127.0.0.1:8017"}))
    False
    >>> comes_from_elsewhere(Headers({"host": "127.0.0.1:8017", "origin": "http://elsewhere.example"}))
    True
    """
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc != headers.get("host")
