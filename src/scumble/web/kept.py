"""Pictures and drawings that a browser may keep: each with a mark of its content, and told when it has it already."""

from __future__ import annotations

import re
from collections.abc import Mapping
from hashlib import blake2b

from fastapi import Request
from starlette.responses import Response

FOR_GOOD = "private, max-age=31536000, immutable"
"""Rule for an address that carries the stamp of what it shows: versions are never overwritten."""

FOR_AN_HOUR = "private, max-age=3600"

ASK_AGAIN = "no-cache"
"""Keep it, and ask each time whether it still holds."""


def answer_kept(
    request: Request,
    content: bytes | str,
    media_type: str,
    *,
    rule: str = ASK_AGAIN,
    stamp: str = "",
    headers: Mapping[str, str] | None = None,
) -> Response:
    """An answer with its entity tag, or 304 without content for a browser that keeps the same already.

    Parameters
    ----------
    request : Request
        What asked for it.
    content : bytes or str
        The whole picture.
    media_type : str
        What it is.
    rule : str
        How long it may be kept.
    stamp : str
        Another whenever the content is; made of the content when left out.
    headers : mapping, optional
        Further ones.

    Notes
    -----
    The tag is a weak one, as a packed and an unpacked answer share it. *Source:* RFC 9110, 8.8.3 (ETag), 13.1.2
    (If-None-Match, compared weakly), 15.4.5 (304 carries the headers that 200 would have).
    """
    tag = (
        stamp
        or blake2b(content.encode() if isinstance(content, str) else content, digest_size=12).hexdigest()
    )
    said = {"Cache-Control": rule, "ETag": f'W/"{tag}"', **(headers or {})}
    if has_already(request.headers.get("if-none-match", ""), tag):
        return Response(status_code=304, headers=said)
    return Response(content, media_type=media_type, headers=said)


def has_already(if_none_match: str, tag: str) -> bool:
    """Whether a browser names a tag among those it keeps.

    Examples
    --------
    >>> has_already('"a", W/"b"', "b"), has_already("*", "b"), has_already('"ab"', "b"), has_already("", "b")
    (True, True, False, False)
    """
    return if_none_match.strip() == "*" or tag in re.findall(r'"([^"]*)"', if_none_match)
