"""The tray: pictures and files of cards that were dropped and are not put away, kept so that a restart loses none."""

from __future__ import annotations

import secrets
import time
from pathlib import Path
from typing import Any, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field

from scumble.errors import InputError
from scumble.jobs.cards.colour_aids import ColourWords
from scumble.jobs.cards.mark_up import MarkUp
from scumble.jobs.files import shelf_path
from scumble.jobs.record_folder import Record, RecordFolder
from scumble.store.database.beside import folder_beside, lay_out_beside

MOST_CARDS = 300
"""On the tray at once."""

MOST_PUT_AWAY = 60
"""Cards that are on the shelf or were taken off, kept to be looked at or fetched back; older ones are let go."""

MOST_UNDONE = 50
"""Decisions about one card that can be undone."""

Choice = Literal[
    "accept",
    "leave out",
    "retake",
    "own thickness",
    "as full",
    "as thin1",
    "as thin2",
    "as tint1",
    "as tint4",
    "as tint19",
]
CHOICES: tuple[Choice, ...] = get_args(Choice)
"""What a person may say of an area; from the fourth on, that something else lies there."""


class TubeWords(BaseModel):
    """What a person says of the tube that a card was painted with."""

    model_config = ConfigDict(frozen=True)

    label: str = ""
    pigments: tuple[str, ...] = ()
    binder: str = "acrylic"
    is_white: bool = False
    white: str = ""


class SampleWords(BaseModel):
    """What a person says of the samples of an instrument."""

    model_config = ConfigDict(frozen=True)

    layout: str = ""
    areas: dict[int, str] = {}
    condition: str = ""
    backing: str = ""


class TrayCard(Record):
    """One card on the tray.

    Attributes
    ----------
    key : str
        Made by chance; its files go by it, never by a name that was sent.
    name : str
        What the file was called, to be shown.
    media_type : str
        What its first bytes say.
    dropped_at : float [s]
        Since 1970.
    size_px : (int, int), optional [px]
        Of the upright picture, once its small copy is drawn.
    marks : MarkUp, optional
        Boxes drawn over it, for a chart of somebody's own.
    choices : dict
        Verdicts of a person, by area.
    before : tuple of dict
        The same before each decision, oldest first.
    trusted : dict
        Weights with which a card of the shelf stood there; a person's word is told from them once it is read again.
    colour : ColourWords
        Target and profile that its colours are found by.
    layout : str
        Which printed card it is, once it was read.
    samples : SampleWords
        Where an instrument's samples were read.
    tube : TubeWords
        What it was painted with.
    retakes : str
        Key of the card that it is another picture of, and whose areas it may replace; empty for none.
    joined : bool
        Whether it counts together with that card, area by area, by what each picture is worth.
    kept_as, version : str, int
        Paint and version on the shelf, once it is there.
    taken_off : bool
        Whether it waits to be let go.
    """

    name: str
    media_type: str
    dropped_at: float
    size_px: tuple[int, int] | None = None
    marks: MarkUp | None = None
    choices: dict[str, Choice] = Field(default_factory=dict)
    before: tuple[dict[str, Choice], ...] = ()
    trusted: dict[str, float] = Field(default_factory=dict)
    colour: ColourWords = ColourWords()
    layout: str = ""
    samples: SampleWords = SampleWords()
    tube: TubeWords = TubeWords()
    retakes: str = ""
    joined: bool = False
    kept_as: str = ""
    version: int = 0
    taken_off: bool = False

    @property
    def is_picture(self) -> bool:
        """Whether it is a photograph or a scan."""
        return not self.media_type.startswith(("text/", "application/xml", "application/pdf"))

    @property
    def is_open(self) -> bool:
        """Whether something is still to be done with it."""
        return not self.kept_as and not self.taken_off


class CardTray:
    """Cards in a folder beside the shelf; threads may share it.

    Parameters
    ----------
    folder : Path
        Made where it is missing.

    Raises
    ------
    StoreError
        If the folder cannot be made or read.
    """

    def __init__(self, folder: Path) -> None:
        self._kept = RecordFolder(
            folder,
            TrayCard,
            ending=".card",
            order=lambda card: card.dropped_at,
            holds="dropped cards",
            missing=lambda key: InputError(
                "card", key, "a card on the tray", "It may have been let go; drop it anew."
            ),
        )

    def cards(self) -> tuple[TrayCard, ...]:
        """All cards, in the order in which they were dropped."""
        return self._kept.all()

    def find(self, key: str) -> TrayCard:
        """One card.

        Raises
        ------
        InputError
            If it is not on the tray.
        """
        return self._kept.find(key)

    def find_open(self, content: bytes, name: str, *, retakes: str = "") -> TrayCard | None:
        """A card to be dealt with that has the same name and content, so that a form sent twice drops it once."""
        for card in self.cards():
            if card.is_open and (card.name, card.retakes) == (name, retakes):
                path = self.path(card.key)
                if path.stat().st_size == len(content) and path.read_bytes() == content:
                    return card
        return None

    def add(self, content: bytes, name: str, media_type: str, **more: Any) -> TrayCard:
        """Put a file on the tray.

        Parameters
        ----------
        content : bytes
            The file, unchanged.
        name, media_type : str
            To be shown, and what it is.
        more
            Further fields of `TrayCard`.

        Raises
        ------
        InputError
            If the tray is full, or the file is empty or cannot be written.
        """
        if not content:
            raise InputError(name, "an empty file", "a photograph, a scan or an instrument's file")
        if sum(card.is_open for card in self.cards()) >= MOST_CARDS:
            raise InputError("card", name, f"{MOST_CARDS} cards on the tray", "Put some away first.")
        key = secrets.token_hex(8)
        card = TrayCard(key=key, name=name, media_type=media_type, dropped_at=time.time(), **more)
        self._kept.add(card, content)
        away = [card.key for card in self.cards() if not card.is_open]
        self._kept.let_go(tuple(away[: max(0, len(away) - MOST_PUT_AWAY)]))
        return card

    def change(self, key: str, **changes: Any) -> TrayCard:
        """Write down something else about a card.

        Raises
        ------
        InputError
            If it is not on the tray or cannot be written.
        """
        return self._kept.change(key, lambda _card: changes)

    def decide(self, key: str, choices: dict[str, Choice]) -> TrayCard:
        """Write down a person's verdicts on all areas of a card; those before can be had again by `undecide`."""

        def decided(card: TrayCard) -> dict[str, Any]:
            before = (*card.before, card.choices)[-MOST_UNDONE:]
            return {} if choices == card.choices else {"choices": choices, "before": before}

        return self._kept.change(key, decided)

    def undecide(self, key: str) -> TrayCard:
        """Go back to the verdicts before the last decision; where there was none, nothing changes."""

        def undecided(card: TrayCard) -> dict[str, Any]:
            return {"choices": card.before[-1], "before": card.before[:-1]} if card.before else {}

        return self._kept.change(key, undecided)

    @property
    def folder(self) -> Path:
        """Where it all lies."""
        return self._kept.path

    def path(self, key: str) -> Path:
        """Where the file of a card lies; keys are made here, and no other is ever looked for."""
        return self._kept.file(key)

    def preview_path(self, key: str) -> Path:
        """Where the small copy of its picture lies."""
        return self._kept.file(key, ".jpg")

    def thumb_path(self, key: str) -> Path:
        """Where the very small one lies that is shown among many."""
        return self._kept.file(key, ".thumb.jpg")


def open_tray(place: Path | str) -> CardTray:
    """The tray of a shelf; what was restored with the shelf and is not laid out yet is laid out first.

    Raises
    ------
    StoreError
        If its folder cannot be made or read.
    """
    lay_out_beside(_file_of(place))
    return CardTray(tray_folder(place))


def tray_folder(place: Path | str) -> Path:
    """The folder beside a shelf's file; for a shelf on a server, beside the person's own shelf.

    Examples
    --------
    >>> tray_folder("studio/shelf.sqlite").name, tray_folder("postgresql://localhost/shop").name
    ('shelf.sqlite-tray', 'shelf.sqlite-tray')
    """
    return folder_beside(_file_of(place))


def _file_of(place: Path | str) -> Path:
    text = str(place).removeprefix("sqlite:///")
    return shelf_path(None) if "://" in text or text.startswith("postgres") else Path(text)
