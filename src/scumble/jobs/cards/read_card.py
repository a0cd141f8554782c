"""From a photograph or a readings file of a painted card to a paint on the shelf, in one go."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from scumble.card.overrule import overrule_readings
from scumble.errors import InputError
from scumble.jobs.cards.card_file import load_card, provenance_of
from scumble.jobs.cards.instrument_card import PLAIN_REQUEST, SampleRequest
from scumble.jobs.cards.kind import is_white_card
from scumble.jobs.cards.mark_up import MarkUp, load_chart
from scumble.jobs.cards.photographs import load_photographs
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest
from scumble.jobs.white import white_for
from scumble.paint import Binder, CardReadings, Optics, Paint
from scumble.solve.fit.one_card import Fit, fit_optics, fit_white
from scumble.solve.fit.verdict import judge_fit
from scumble.store.picture import Picture
from scumble.store.shelf import Shelf

Progress = Callable[[str, float], None]

WHITE_SAYS_ITS_CARD = "It is the card for the white, so it was read as a white's."
NAMELESS_WHITE = (
    "No white pigment is named: other cards are tinted with this white only where it is said, for a shelf knows its"
    " white by a pigment such as PW6."
)


@dataclass(frozen=True, slots=True)
class Tube:
    """What a person says of the tube a card was painted with.

    Parameters
    ----------
    label : str
        What they call it.
    pigments : tuple of str
        Colour Index names on the tube.
    binder : Binder
        Sets the refractive index.
    is_white : bool
        Whether it is the white that tints are mixed with; the card for the white says so by itself.
    short_name : str, optional
        Its key on the shelf; made from the label if left out.
    remark : str
        Anything else that must be said wherever its optics are shown.
    """

    label: str
    pigments: tuple[str, ...] = ()
    binder: Binder = Binder.ACRYLIC
    is_white: bool = False
    short_name: str | None = None
    remark: str = ""

    @property
    def key(self) -> str:
        """Short name, made from the label unless one was given."""
        if self.short_name is not None:
            return self.short_name
        plain = unicodedata.normalize("NFKD", self.label).encode("ascii", "ignore").decode().lower()
        key = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
        if not key:
            raise InputError("label", self.label, "a name with at least one letter or digit")
        return key


@dataclass(frozen=True, slots=True)
class CardResult:
    """A paint that was read, with all that was said on the way.

    Parameters
    ----------
    paint : Paint
        As saved.
    fit : Fit
        Areas as read and as predicted.
    remarks : tuple of str
        What the reader saw in the picture or the file.
    """

    paint: Paint
    fit: Fit
    remarks: tuple[str, ...]


def read_card(
    path: Path,
    tube: Tube,
    shelf: Shelf,
    *,
    white_key: str | None = None,
    samples: SampleRequest = PLAIN_REQUEST,
    marks: MarkUp | None = None,
    more: Sequence[Path] = (),
    colour: ColourRequest = PLAIN_COLOUR,
    overrule: Mapping[str, str] | None = None,
    progress: Progress | None = None,
) -> CardResult:
    """Read a card, fit its paint and save both.

    Parameters
    ----------
    path : Path
        A photograph, a scan, or a readings file.
    tube : Tube
        What it was painted with.
    shelf : Shelf
        Where the paint is kept; nothing is saved unless everything went well.
    white_key : str, optional
        The white its tints were mixed with; the shelf's own white by default.
    samples : SampleRequest
        How an instrument's samples are placed on the card.
    marks : MarkUp, optional
        Boxes over the picture of a chart of one's own, which is then no printed card.
    more : sequence of Path
        Further photographs of the same card.
    colour : ColourRequest
        Ways to better colours than a photograph alone gives.
    overrule : mapping of str to str, optional
        A person's word on areas; it stands over the reader's and is kept among the remarks.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Raises
    ------
    InputError, CardError, StoreError
        If the file cannot be used, no card is found, or the shelf cannot be written.
    """
    tell = progress or (lambda _words, _share: None)
    tell(f"reading {path.name}", 0.1)
    if more:
        readings, picture, remarks = load_photographs((path, *more), colour)
    elif marks is not None:
        readings, picture, remarks = load_chart(path, marks, colour)
    else:
        readings, picture, remarks = load_card(path, samples, colour)
    if overrule:
        readings, said = overrule_readings(readings, overrule)
        remarks = (*remarks, *(f"Area {area}: {sentence}" for area, sentence in said.items()))
    tell("fitting", 0.7)
    result = keep_reading(readings, picture, remarks, tube, shelf, white_key=white_key)
    tell("done", 1.0)
    return result


def keep_reading(
    readings: CardReadings,
    picture: Picture | None,
    remarks: Sequence[str],
    tube: Tube,
    shelf: Shelf,
    *,
    white_key: str | None = None,
) -> CardResult:
    """Fit the paint of a card that was read, and save it with its readings and picture.

    Parameters
    ----------
    readings, picture, remarks : CardReadings, Picture, sequence of str
        What came of reading the card.
    tube : Tube
        What it was painted with; it is a white where the card says so.
    shelf : Shelf
        Where it is kept.
    white_key : str, optional
        The white its tints were mixed with; the shelf's own by default.

    Raises
    ------
    InputError, StoreError
        If nothing on the card can be used, or the shelf cannot be written.
    """
    remarks = tuple(remarks)
    if is_white_card(readings) and not tube.is_white:
        tube, remarks = replace(tube, is_white=True), (WHITE_SAYS_ITS_CARD, *remarks)
    if tube.is_white and not tube.pigments:
        remarks = (NAMELESS_WHITE, *remarks)
    white = None if tube.is_white else find_white(shelf, white_key, tube)
    fit, status = fit_tube(readings, tube, None if white is None else white.optics)
    said = (*([tube.remark] if tube.remark else []), *status, *remarks)
    paint = Paint(tube.key, tube.label, fit.optics, provenance_of(readings), tube.pigments, tube.binder, said)
    shelf.save_paint(paint, readings=readings, picture=picture)
    return CardResult(paint, fit, remarks)


def fit_tube(readings: CardReadings, tube: Tube, white: Optics | None) -> tuple[Fit, tuple[str, ...]]:
    """Fit a card as that of a white or of any paint, and say what the fit is worth."""
    index = tube.binder.refractive_index
    fit = (
        fit_white(readings, index=index) if tube.is_white else fit_optics(readings, white=white, index=index)
    )
    return fit, judge_fit(fit, readings)


def find_white(shelf: Shelf, white_key: str | None, tube: Tube) -> Paint | None:
    """The white that was named, or else the one on the shelf that the tube would be tinted with."""
    if white_key is not None:
        return shelf.load_paint(white_key)
    return white_for(tube, shelf.load_paints())
