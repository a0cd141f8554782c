"""Targets and profiles on the page Cards: hand them in, choose them for the photographs on the tray, put them away."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, UploadFile
from starlette.responses import RedirectResponse, Response

from scumble.errors import InputError
from scumble.jobs.cards.colour_aids import ColourWords
from scumble.jobs.cards.tray_page import show_cards
from scumble.web.card_desk import desk_of
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render
from scumble.web.uploads import receive_upload

router = APIRouter()

MOST_BYTES = 10_000_000
"""Of a target's text or a profile."""

Key = Annotated[str, Form(max_length=40)]


@router.post(
    "/cards/colour",
    **leads_on(),
    summary="Choose a target and a profile for the tray",
)
def choose_for_tray(
    request: Request, target: Key = "", profile: Key = "", again: Annotated[bool, Form()] = False
) -> RedirectResponse:
    """Have photographs that are dropped from now on read by these, and those on the tray as well if that is asked."""
    desk = desk_of(request)
    words = ColourWords(target=target, profile=profile)
    desk.aids.choose(words)
    if again:
        desk.colour_all_by(words)
    return lead_to("/cards#colour")


@router.post(
    "/cards/colour/files",
    **leads_on(413),
    summary="Hand in the reference of a target, or a profile",
)
def keep_aid(
    request: Request, file: UploadFile, columns: Annotated[str, Form(max_length=6)] = ""
) -> Response:
    """Keep a target's CGATS.17 text or a device's ICC profile with the shelf, and choose it for the tray."""
    got = receive_upload(file, most_bytes=MOST_BYTES)
    desk = desk_of(request)
    try:
        aid = desk.aids.add(got.content, got.name, columns=_columns(columns))
    except InputError as error:
        return render(request, "cards.html", status=422, page=show_cards(desk, wrong=str(error)))
    desk.aids.choose(desk.aids.chosen().model_copy(update={aid.kind: aid.key}))
    return lead_to("/cards#colour")


def _columns(said: str) -> int | None:
    """How many patches lie in a row, where somebody said so."""
    plain = said.strip()
    if plain and not (plain.isdecimal() and 1 <= int(plain) <= 99):
        raise InputError("columns", said, "how many patches lie in a row, 1 to 99")
    return int(plain) if plain else None


@router.post(
    "/cards/colour/{key}/{move}",
    **leads_on(),
    summary="Put a target or profile away, or fetch it back",
)
def move_aid(request: Request, key: str, move: Literal["away", "back"]) -> RedirectResponse:
    """Offer it no longer, or again; photographs that were read by it stay as they are."""
    desk_of(request).aids.put_away(key, away=move == "away")
    return lead_to("/cards#colour")
