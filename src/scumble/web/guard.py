"""What every answer carries so that no page can be turned against the person who looks at it."""

from __future__ import annotations

import hmac
import re
import secrets
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from scumble.web.faults import show_fault

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

AT_HOME = "at-home"
"""Cookie that browsers send along from pages of this server alone."""


class Guard:
    """Adds :data:`HEADERS` to every answer and refuses requests that another site sends to change something.

    Parameters
    ----------
    app : ASGI application
        What answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app
        self.secret = secrets.token_urlsafe(18)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        asked = Headers(scope=scope)
        refused = scope["method"] not in READ_ONLY and self._is_refused(asked)

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                is_page = headers.get("content-type", "").startswith("text/html") and not refused
                if is_page and not self._is_at_home(asked):
                    kept = f"{AT_HOME}={self.secret}; Path=/; HttpOnly; SameSite=Strict"
                    headers.append("Set-Cookie", kept)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("Cache-Control", "no-cache")
            await send(message)

        if refused:
            words = "This came from another site and was not done."
            refusal = show_fault(Request(scope), 403, "Not from here", words)
            await refusal(scope, receive, send_with_headers)
            return
        await self.app(scope, receive, send_with_headers)

    def _is_refused(self, headers: Headers) -> bool:
        """Whether another site sent it; a browser that does not say must carry the cookie of this server's pages."""
        if comes_from_elsewhere(headers):
            return True
        return is_silent_browser(headers) and not self._is_at_home(headers)

    def _is_at_home(self, headers: Headers) -> bool:
        """Whether the cookie of this server's pages came along."""
        found = re.search(rf"(?:^|;\s*){AT_HOME}=([^;\s]+)", headers.get("cookie", ""))
        return found is not None and hmac.compare_digest(found[1].encode(), self.secret.encode())


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
    origin = headers.get("origin") or headers.get("referer")
    return origin is not None and urlsplit(origin).netloc != headers.get("host")


def is_silent_browser(headers: Headers) -> bool:
    """Whether a browser sent a request without a word of where it comes from: an old one, or one told to be silent.

    Programs that a person runs say nothing either, but no other site can make them send anything; browsers are known
    by the word with which all of them begin their name.

    Notes
    -----
    *Source:* RFC 9110, 10.1.5 (User-Agent); that all browsers begin it with *Mozilla* is common practice, no source.
    RFC 6265bis, 8.8.1 (strict cookies do not travel with requests that other sites cause).

    Examples
    --------
    >>> is_silent_browser(Headers({"user-agent": "Mozilla/5.0"})), is_silent_browser(Headers({"user-agent": "curl/8"}))
    (True, False)
    """
    says = any(name in headers for name in ("sec-fetch-site", "origin", "referer"))
    return not says and headers.get("user-agent", "").startswith("Mozilla")
