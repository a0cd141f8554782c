"""What the page Cards says: the tray, how far each card on it is, and the blank cards to print."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from scumble.card.sheet.words import SUBTITLES
from scumble.jobs.cards.colour_aids import NOTHING_CHOSEN, ColourAid, ColourWords
from scumble.jobs.cards.desk import CardDesk, CardStands
from scumble.jobs.task import State

BLANKS = {
    "full": (
        "Full card",
        "Everything about one tube: masstone, two thin strokes over coloured grounds, four tints.",
    ),
    "quick": (
        "Quick card",
        "Six squares; two cards on a sheet. Less sure of thin glazes and of strong tints.",
    ),
    "white": (
        "Card for the white",
        "Once for each white you mix with, read before the cards of other tubes.",
    ),
}
"""The printed cards, what they are called, and what each is for."""


@dataclass(frozen=True, slots=True)
class Blank:
    """A card to print.

    Parameters
    ----------
    layout, name, words : str
        Which, what it is called, and what it is for.
    squares : str
        How much there is to paint.
    """

    layout: str
    name: str
    words: str
    squares: str


@dataclass(frozen=True, slots=True)
class TrayItem:
    """A card on the tray.

    Parameters
    ----------
    key, name : str
        Its key, and what is shown as its name.
    state, words : str
        How far it is: as a word for the style, and in a sentence.
    share : float [1]
        How much of its reading is done.
    has_picture : bool
        Whether there is a small copy to show.
    kept_as : str
        Where on the shelf it is.
    """

    key: str
    name: str
    state: str
    words: str
    share: float
    has_picture: bool
    kept_as: str = ""


@dataclass(frozen=True, slots=True)
class CardsPage:
    """All that the page shows.

    Parameters
    ----------
    open, kept, off : tuple of TrayItem
        Cards to be dealt with, those on the shelf, those taken off; the newest first.
    blanks : tuple of Blank
        Cards to print.
    labels : tuple of str
        Tubes that were read from cards, whose pictures may be read again.
    waiting, refused : int
        Cards that are not read yet, and those that could not be.
    share : float [1]
        How much is done of what was begun and is still on the tray.
    targets, profiles : tuple of ColourAid
        Kept with the shelf, to choose from.
    aids_away : tuple of ColourAid
        Of both kinds, those that were put away.
    chosen : ColourWords
        By which photographs that are dropped next are read.
    otherwise : int
        Photographs on the tray that were read by another choice.
    wrong : str
        What could not be taken in just now.
    """

    open: tuple[TrayItem, ...]
    kept: tuple[TrayItem, ...]
    off: tuple[TrayItem, ...]
    blanks: tuple[Blank, ...]
    labels: tuple[str, ...]
    waiting: int
    refused: int
    share: float = 1.0
    targets: tuple[ColourAid, ...] = ()
    profiles: tuple[ColourAid, ...] = ()
    aids_away: tuple[ColourAid, ...] = ()
    chosen: ColourWords = NOTHING_CHOSEN
    otherwise: int = 0
    wrong: str = ""


def show_cards(desk: CardDesk, *, wrong: str = "") -> CardsPage:
    """Gather the page."""
    from scumble.paint import Provenance

    items = [(stands, _item(desk, stands)) for stands in reversed(desk.all())]
    aids, chosen = desk.aids.all(), desk.aids.chosen()
    shares = [1.0 if stands.state.is_over else stands.share for stands, _ in items if stands.card.is_open]
    return CardsPage(
        open=tuple(item for stands, item in items if stands.card.is_open),
        kept=tuple(item for stands, item in items if stands.card.kept_as and not stands.card.taken_off),
        off=tuple(item for stands, item in items if stands.card.taken_off),
        blanks=tuple(
            Blank(layout, name, words, SUBTITLES[layout].partition(", ")[2])
            for layout, (name, words) in BLANKS.items()
        ),
        labels=tuple(
            entry.label for entry in desk.shelf.load_entries() if entry.provenance is Provenance.CARD
        ),
        waiting=sum(not stands.state.is_over for stands, _ in items if stands.card.is_open),
        refused=sum(stands.state is State.FAILED for stands, _ in items if stands.card.is_open),
        share=sum(shares) / len(shares) if shares else 1.0,
        targets=tuple(aid for aid in aids if aid.kind == "target" and not aid.put_away),
        profiles=tuple(aid for aid in aids if aid.kind == "profile" and not aid.put_away),
        aids_away=tuple(aid for aid in aids if aid.put_away),
        chosen=chosen,
        otherwise=sum(_is_otherwise(stands, chosen) for stands, _ in items),
        wrong=wrong,
    )


def _is_otherwise(stands: CardStands, chosen: ColourWords) -> bool:
    """Whether a photograph on the tray is read by another target or profile than is chosen for the tray."""
    card = stands.card
    return (
        card.is_open
        and card.is_picture
        and (card.colour.target, card.colour.profile) != (chosen.target, chosen.profile)
    )


def card_states(desk: CardDesk) -> list[dict[str, Any]]:
    """How far each card to be dealt with is, as plain data."""
    return [
        {
            "key": stands.card.key,
            "state": stands.state.value,
            "share": round(stands.share, 2),
            "words": say_state(stands),
        }
        for stands in desk.all()
        if stands.card.is_open
    ]


def say_state(stands: CardStands) -> str:
    """How far a card is, in a sentence."""
    if stands.card.kept_as:
        return f"On the shelf, version {stands.card.version}."
    if stands.state is State.FAILED:
        return stands.error
    if stands.state is State.CANCELLED:
        return "Its reading was stopped."
    if stands.read is None:
        return "Waits for its turn." if stands.state is State.WAITING else f"{stands.words.capitalize()} ..."
    areas = [reading for reading in stands.read.readings.readings if not reading.is_bare]
    out = sum(reading.weight == 0.0 for reading in areas)
    doubtful = sum(0.0 < reading.weight < 1.0 for reading in areas)
    said = [f"{len(areas)} painted areas were read"]
    said += [f"{doubtful} of them doubtful"] if doubtful else []
    said += [f"{out} left out"] if out else []
    return ", ".join(said) + "."


def split_pigments(words: str) -> tuple[str, ...]:
    """Colour Index names as a person types them.

    Examples
    --------
    >>> split_pigments("pb15:3, PG7  pw6")
    ('PB15:3', 'PG7', 'PW6')
    """
    return tuple(name.upper() for name in re.split(r"[,;\s]+", words[:200]) if name)


def _item(desk: CardDesk, stands: CardStands) -> TrayItem:
    card = stands.card
    return TrayItem(
        key=card.key,
        name=card.tube.label or card.name,
        state=stands.state.value if card.is_open else "away",
        words=say_state(stands),
        share=stands.share,
        has_picture=card.is_picture and desk.tray.thumb_path(card.key).exists(),
        kept_as=card.kept_as,
    )
