"""Read many cards in one go, one after the other, so that memory stays what one of them takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from scumble.errors import InputError, ScumbleError
from scumble.jobs.cards.card_file import load_card
from scumble.jobs.cards.card_list import CardOrder
from scumble.jobs.cards.kind import is_white_card
from scumble.jobs.cards.read_card import Progress, find_white, keep_reading
from scumble.jobs.cards.read_to_shelf import result_as_data
from scumble.jobs.cards.refit import refit_shelf, shares_no_camera
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest, colour_options
from scumble.jobs.files import shelf_path
from scumble.paint import CardReadings
from scumble.store.picture import Outline, Picture
from scumble.store.shelf import Shelf, open_shelf

READING, FITTING = 0.7, 0.9
"""Shares of the work at which the last card is read, and at which each was fitted by itself."""


@dataclass(frozen=True, slots=True)
class _Held:
    """A card that was read and is not fitted yet; its picture is let go until it is saved."""

    number: int
    order: CardOrder
    readings: CardReadings
    remarks: tuple[str, ...]
    media_type: str
    outlines: Mapping[str, Outline]

    @property
    def is_white(self) -> bool:
        """Whether it is a white's, by what was said or by the card itself."""
        return self.order.tube.is_white or is_white_card(self.readings)

    def picture(self) -> Picture | None:
        """The picture, fetched again from its file."""
        if not self.media_type:
            return None
        return Picture(self.order.path.read_bytes(), self.media_type, self.outlines)


def read_many(
    cards: Sequence[CardOrder],
    shelf: Path | None,
    *,
    colour: ColourRequest = PLAIN_COLOUR,
    together: bool | None = None,
    progress: Progress | None = None,
) -> list[dict[str, Any]]:
    """Read every file as a card of its own; whites are fitted first, whatever their place among the others.

    Parameters
    ----------
    cards : sequence of CardOrder
        Files and their tubes.
    shelf : Path, optional
        The shelf's file; the person's own by default.
    colour : ColourRequest
        Ways to better colours, for all of them.
    together : bool, optional
        Whether cards that share a white are then solved together, as new versions; when left out, where instruments
        read them all.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Returns
    -------
    list of dict
        For each file ``file`` and either what `read_to_shelf` reports, or ``error``: one that cannot be read stops
        none of the others. ``together`` says with how many others it was solved, where it was.

    Raises
    ------
    InputError
        If two files would go by the same name, or what was said of their colour cannot be used.
    """
    _check_names(cards)
    colour_options(colour)
    tell = progress or (lambda _words, _share: None)
    reports: dict[int, dict[str, Any]] = {}
    with open_shelf(shelf_path(shelf)) as opened:
        held = _read_all(cards, colour, reports, tell)
        for place, each in enumerate(held):
            tell(
                f"fitting {each.order.tube.label}",
                READING + (FITTING - READING) * place / max(len(held), 1),
            )
            try:
                result = keep_reading(
                    each.readings,
                    each.picture(),
                    each.remarks,
                    each.order.tube,
                    opened,
                    white_key=each.order.white,
                )
            except (ScumbleError, OSError) as error:
                reports[each.number] = {"file": each.order.path.name, "error": str(error)}
            else:
                reports[each.number] = {"file": each.order.path.name, **result_as_data(result)}
        _solve_together(opened, held, reports, together, tell)
    tell("done", 1.0)
    return [reports[number] for number in range(len(cards))]


def _read_all(
    cards: Sequence[CardOrder], colour: ColourRequest, reports: dict[int, dict[str, Any]], tell: Progress
) -> list[_Held]:
    """Read every card, whites first in what is returned; what cannot be read is reported."""
    held = []
    for number, order in enumerate(cards):
        tell(f"{number + 1} of {len(cards)}: reading {order.path.name}", READING * number / len(cards))
        try:
            readings, picture, remarks = load_card(order.path, colour=colour)
        except ScumbleError as error:
            reports[number] = {"file": order.path.name, "error": str(error)}
            continue
        kind, outlines = (picture.media_type, picture.outlines) if picture else ("", {})
        held.append(_Held(number, order, readings, remarks, kind, outlines))
    return sorted(held, key=lambda each: not each.is_white)


def _solve_together(
    shelf: Shelf,
    held: Sequence[_Held],
    reports: dict[int, dict[str, Any]],
    together: bool | None,
    tell: Progress,
) -> None:
    """Fit the cards that share a white once more, together; older versions stay on the shelf."""
    kept = [each for each in held if "error" not in reports[each.number]]
    for white, group in _groups(shelf, kept):
        asked = shares_no_camera(each.readings for each in group) if together is None else together
        if not asked or len(group) < 2:
            continue
        tell(f"solving {len(group)} cards of one white together", FITTING)
        own = [each.order.tube.key for each in kept if each.order.tube.key == white]
        keys = (*own, *(each.order.tube.key for each in group))
        changed = {each.key: each for each in refit_shelf(shelf, keys=keys, white_key=white, together=True)}
        for each in group:
            reports[each.number]["together"] = len(group) - 1
            reports[each.number]["version"] = changed[each.order.tube.key].version


def _groups(shelf: Shelf, kept: Sequence[_Held]) -> Iterator[tuple[str, list[_Held]]]:
    """Cards that were tinted with one white, by its short name."""
    groups: dict[str, list[_Held]] = {}
    for each in kept:
        white = None if each.is_white else find_white(shelf, each.order.white, each.order.tube)
        if white is not None:
            groups.setdefault(white.key, []).append(each)
    yield from groups.items()


def _check_names(cards: Sequence[CardOrder]) -> None:
    """Refuse files whose tubes would be one, before any is read."""
    taken: dict[str, Path] = {}
    for order in cards:
        key = order.tube.key
        if key in taken:
            given = f"{taken[key].name} and {order.path.name}"
            hint = "Rename one, or say in a table (--list) which tube each is."
            raise InputError("card", given, "files of different names", hint)
        taken[key] = order.path
