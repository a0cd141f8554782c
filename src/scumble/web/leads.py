"""Routes that do something and lead on to the page that shows what came of it."""

from __future__ import annotations

from typing import Any

from starlette.responses import RedirectResponse

PAGE_OF_FAULT: dict[str, Any] = {
    "content": {"text/html": {}},
    "description": "A page that says what was wrong.",
}

ELSEWHERE: dict[str, Any] = {"description": "To the page that shows what came of it."}


def leads_on(*faults: int) -> dict[str, Any]:
    """What such a route promises: to lead on, or a page that says why not.

    Parameters
    ----------
    faults : int
        Statuses it may be refused with, beside 422 for what cannot be used.

    Examples
    --------
    >>> sorted(leads_on(404)["responses"])
    [303, 404, 422]
    """
    refusals = dict.fromkeys(sorted({422, *faults}), PAGE_OF_FAULT)
    return {
        "status_code": 303,
        "response_class": RedirectResponse,
        "responses": {303: ELSEWHERE, **refusals},
    }


def lead_to(address: str) -> RedirectResponse:
    """On to a page, which is then fetched and not sent to again.

    Notes
    -----
    *Source:* RFC 9110, 15.4.4 (303 See Other).
    """
    return RedirectResponse(address, status_code=303)
