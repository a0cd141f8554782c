"""The light switch of the room around the paint."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form
from starlette.responses import RedirectResponse

from scumble.web.leads import lead_to, leads_on

router = APIRouter()

YEAR_S = 365 * 24 * 3600


@router.post("/room", **leads_on(), summary="Switch the room's light")
def switch_room(
    room: Annotated[Literal["light", "dim"], Form()], back: Annotated[str, Form()] = "/"
) -> RedirectResponse:
    """Remember how bright the room shall be, and go back to the page that asked."""
    answer = lead_to(back if is_own_page(back) else "/")
    answer.set_cookie("room", room, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer


def is_own_page(address: str) -> bool:
    """Whether an address stays on this server.

    Examples
    --------
    >>> is_own_page("/paints/yellow-ochre"), is_own_page("//elsewhere.example"), is_own_page("http://x.example")
    (True, False, False)
    """
    return address.startswith("/") and not address.startswith(("//", "/\\")) and address.isprintable()
