"""What the page of one card says: its picture with every area outlined, what was read there and what is predicted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from scumble.card.photographed import AreaSeen
from scumble.card.sheet.geometry import card_geometry
from scumble.card.sheet.serial import spelled
from scumble.card.sheet.words import caption
from scumble.errors import InputError
from scumble.jobs.cards.beside import area_words
from scumble.jobs.cards.colour_aids import ColourAid
from scumble.jobs.cards.desk import CardDesk, CardStands
from scumble.jobs.cards.keep import Fitted, fit_card
from scumble.jobs.cards.reading import CardRead
from scumble.jobs.cards.route import ColourRoute
from scumble.jobs.cards.rows import AreaRow, area_rows
from scumble.jobs.cards.together import combine, say_together
from scumble.jobs.task import State
from scumble.jobs.white import is_white
from scumble.paint import Binder, CardReadings, Quantity
from scumble.paint.reading import CONDITIONS

WIDTH = 1000
"""Width of the picture in the units of its drawing, whatever its size."""

AROUND = 0.36
"""Kept of the picture round the areas, as a share of what they take: the card's corners and what the hand wrote."""

SHORT = {
    "glare": "glare",
    "disagrees": "another paint?",
    "light unknown": "light not known",
    "blot": "shadow or blots",
    "clipped": "overexposed",
    "cut off": "beyond the picture's colours",
    "uneven": "uneven",
    "too dark": "too dark",
    "few points": "too small",
    "outside": "outside the picture",
    "unpainted": "unpainted?",
    "thickness": "another thickness?",
    "swapped": "swapped?",
    "shine": "glare or gap",
    "two colours": "two colours",
}
"""What stands at a place in the picture; the sentence stands in the list."""


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """An area in the picture.

    Parameters
    ----------
    area, words : str
        Its name, and what lies there.
    points : str
        Its corners, as SVG writes them.
    x, y : float
        Where its label stands.
    look : str
        ``good``, ``doubtful`` or ``out``.
    label : str
        What is wrong there, short; empty when nothing is.
    """

    area: str
    words: str
    points: str
    x: float
    y: float
    look: str
    label: str


@dataclass(frozen=True, slots=True)
class CardPage:
    """All that the page of a card shows.

    Parameters
    ----------
    stands : CardStands
        The card and how far it is.
    height : float
        Of the picture in units of its drawing; 0 where there is none.
    view : str
        The part of it that is shown, as SVG writes a view box: the card with a little around it.
    marks : tuple of PlacedMark
        Areas in the picture.
    rows : tuple of AreaRow
        Areas in the list.
    said : tuple of str
        What the fit is worth; why there is none, if there is none.
    remarks : tuple of str
        What is doubtful about the picture as a whole, and what was assumed.
    whites : tuple of (str, str)
        Short names and labels of the whites to choose from.
    labels : tuple of str
        Tubes that are on the shelf.
    binders, conditions : tuple of str
        To choose from.
    white_label : str
        The white that its tints were fitted with.
    measured : str
        How an instrument read it, in a sentence.
    again : CardStands, optional
        The picture that was taken again.
    retaken : tuple of str
        Areas that shall come from there.
    wrong : str
        What could not be done just now.
    route : ColourRoute, optional
        How the colours of a picture were found.
    targets, profiles : tuple of ColourAid
        To choose from.
    serial : str
        Of the printed card, in two groups; empty if not known.
    twin : CardStands, optional
        Another picture on the tray of a card of the same serial.
    together : tuple of str
        Which pictures count for it, where several do.
    """

    stands: CardStands
    height: float
    view: str
    marks: tuple[PlacedMark, ...]
    rows: tuple[AreaRow, ...]
    said: tuple[str, ...]
    remarks: tuple[str, ...]
    whites: tuple[tuple[str, str], ...]
    labels: tuple[str, ...]
    binders: tuple[str, ...]
    conditions: dict[str, str]
    white_label: str = ""
    measured: str = ""
    again: CardStands | None = None
    retaken: tuple[str, ...] = ()
    wrong: str = ""
    route: ColourRoute | None = None
    targets: tuple[ColourAid, ...] = ()
    profiles: tuple[ColourAid, ...] = ()
    serial: str = ""
    twin: CardStands | None = None
    together: tuple[str, ...] = ()

    @property
    def is_over(self) -> bool:
        """Whether its reading came to an end."""
        return self.stands.state in (State.DONE, State.FAILED, State.CANCELLED)


def show_card(desk: CardDesk, key: str, *, wrong: str = "") -> CardPage:
    """Gather the page of a card.

    Raises
    ------
    InputError
        If it is not on the tray.
    """
    stands = desk.stands(key)
    entries = desk.shelf.load_entries()
    fitted, said = _try_to_fit(desk, key, stands)
    read = stands.read
    choices = stands.card.choices
    return CardPage(
        stands=stands,
        height=_height(read),
        view=_view(read),
        marks=_marks(read, choices) if read else (),
        rows=area_rows(desk, key, read, fitted) if read else (),
        said=said,
        remarks=read.remarks if read else (),
        whites=tuple((each.key, each.label) for each in entries if is_white(each)),
        labels=tuple(each.label for each in entries),
        binders=tuple(binder.value for binder in Binder),
        conditions=CONDITIONS,
        white_label=fitted.white.label if fitted and fitted.white else "",
        measured=_measured(read.readings) if read and not read.areas else "",
        again=desk.retake_of(key),
        retaken=tuple(area for area, choice in choices.items() if choice == "retake"),
        wrong=wrong,
        route=read.route if read else None,
        targets=_offered(desk, "target", stands.card.colour.target),
        profiles=_offered(desk, "profile", stands.card.colour.profile),
        serial=spelled(read.readings.serial) if read and read.readings.serial else "",
        twin=_twin(desk, stands),
        together=say_together(desk, key, together) if (together := combine(desk, key)) else (),
    )


def _offered(desk: CardDesk, kind: str, chosen: str) -> tuple[ColourAid, ...]:
    """Targets or profiles to choose from; one that was put away only where it is chosen."""
    return tuple(aid for aid in desk.aids.all(kind) if not aid.put_away or aid.key == chosen)


def _twin(desk: CardDesk, stands: CardStands) -> CardStands | None:
    """Another open picture of a card of the same serial, that none of the two was laid over."""
    serial = stands.read.readings.serial if stands.read else ""
    if not serial or not stands.card.is_open:
        return None
    for other in desk.all():
        same = other.read is not None and other.read.readings.serial == serial
        tied = {other.card.key, stands.card.key} & {other.card.retakes, stands.card.retakes}
        if same and other.card.is_open and other.card.key != stands.card.key and not tied:
            return other
    return None


def _try_to_fit(desk: CardDesk, key: str, stands: CardStands) -> tuple[Fitted | None, tuple[str, ...]]:
    if stands.read is None:
        return None, ()
    try:
        fitted = fit_card(desk, key)
    except InputError as error:
        return None, (str(error),)
    return fitted, fitted.said


def _height(read: CardRead | None) -> float:
    return WIDTH * read.size_px[1] / read.size_px[0] if read and read.size_px[0] else 0.0


def _view(read: CardRead | None) -> str:
    """The card amid a picture that shows much else; all of a picture that does not."""
    if read is None or not read.areas or not read.size_px[0]:
        return f"0 0 {WIDTH} {_height(read):.1f}"
    share = WIDTH / read.size_px[0]
    corners = [(x * share, y * share) for area in read.areas for x, y in area.outline_px]
    ends = []
    for line, end in zip(zip(*corners, strict=True), (float(WIDTH), _height(read)), strict=True):
        around = AROUND * (max(line) - min(line))
        ends.append((max(0.0, min(line) - around), min(end, max(line) + around)))
    (left, right), (top, bottom) = ends
    return f"{left:.1f} {top:.1f} {right - left:.1f} {bottom - top:.1f}"


def _marks(read: CardRead, choices: Mapping[str, str]) -> tuple[PlacedMark, ...]:
    share = WIDTH / read.size_px[0] if read.size_px[0] else 1.0
    return tuple(_mark(area, share, choices.get(area.reading.area, "")) for area in read.areas)


def _mark(area: AreaSeen, share: float, choice: str) -> PlacedMark:
    corners = [(x * share, y * share) for x, y in area.outline_px]
    weight = {"leave out": 0.0, "retake": 0.0, "": area.reading.weight}.get(choice, 1.0)
    look = "out" if weight == 0.0 else "doubtful" if weight < 1.0 else "good"
    label = "; ".join(SHORT.get(fault.kind, fault.kind) for fault in area.faults)
    if choice:
        said = {"accept": "accepted", "leave out": "left out", "retake": "to be retaken"}
        label = said.get(choice, choice)
    return PlacedMark(
        area.reading.area,
        area_words(area.reading),
        " ".join(f"{x:.1f},{y:.1f}" for x, y in corners),
        round(sum(x for x, _ in corners) / 4, 1),
        round(sum(y for _, y in corners) / 4, 1),
        look,
        label,
    )


def _measured(readings: CardReadings) -> str:
    """How an instrument read a card, in a sentence."""
    what = "spectra" if readings.quantity is Quantity.REFLECTANCE else "colours"
    said = [f"Read by instrument as {what}"]
    said.append(
        f"condition {readings.condition} ({CONDITIONS[readings.condition]})"
        if readings.condition
        else "measurement condition not known"
    )
    said.append(f"over {readings.backing} backing" if readings.backing else "backing not known")
    return ", ".join(said) + "."


def map_areas(layout: str, page: str = "A4") -> tuple[PlacedMark, ...]:
    """The areas of a printed card, to be chosen by clicking; in millimetres.

    Raises
    ------
    InputError
        If there is no such layout.
    """
    return tuple(
        PlacedMark(
            area.name,
            caption(area.film, area.ground)[0].upper() + caption(area.film, area.ground)[1:],
            " ".join(f"{x:.1f},{y:.1f}" for x, y in area.box.corners_mm),
            area.box.x_mm + area.box.width_mm / 2,
            area.box.y_mm + area.box.height_mm / 2,
            "good",
            "",
        )
        for area in card_geometry(layout, page).areas
    )
