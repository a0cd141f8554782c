"""The desk of the running program, and where its pages send a person."""

from __future__ import annotations

from threading import Lock

from fastapi import Request
from starlette.responses import RedirectResponse

from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.tray import open_tray
from scumble.web.leads import lead_to

_opening = Lock()


def desk_of(request: Request) -> CardDesk:
    """The desk of the running program, made when it is first asked for; unread cards on the tray are read then."""
    state = request.app.state
    with _opening:
        if not hasattr(state, "card_desk"):
            state.card_desk = CardDesk(state.shelf, open_tray(state.shelf_place))
    desk: CardDesk = state.card_desk
    return desk


def to_card(key: str) -> RedirectResponse:
    """To the page of one card."""
    return lead_to(f"/cards/{key}")
