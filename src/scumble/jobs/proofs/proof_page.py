"""The page of one proof, as values that a template shows."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.jobs.bench.words import LIGHTS
from scumble.jobs.picture_size import picture_size
from scumble.jobs.proofs.figures import screen_colour
from scumble.jobs.proofs.page import WaitingProof, say_verdict, show_waiting
from scumble.jobs.proofs.record import compare_reading, interval_parts
from scumble.paint.proof import say_shift
from scumble.store.proof import KeptProof, KeptReading
from scumble.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class ReadingSeen:
    """One reading of a proof.

    Parameters
    ----------
    number : int
        Counted from 1.
    counts, is_aside, has_picture : bool
        Whether it is the one that counts, was set aside, and has a picture.
    source, when, lab, says, verdict : str
        In words.
    painted, expected : str
        Screen colours.
    parts : tuple of (str, str)
        What the interval is made of.
    said : tuple of str
        What has to be said of it.
    uses : tuple of str
        Paints that it went into.
    """

    number: int
    counts: bool
    is_aside: bool
    has_picture: bool
    source: str
    when: str
    lab: str
    says: str
    verdict: str
    painted: str
    expected: str
    parts: tuple[tuple[str, str], ...]
    said: tuple[str, ...]
    uses: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Photographed:
    """The picture of a reading with its box outlined: its number, size [px], and corners as SVG writes them."""

    number: int
    width: int
    height: int
    points: str


@dataclass(frozen=True, slots=True)
class ProofPage:
    """All that the page of one proof shows."""

    waiting: WaitingProof
    kept_on: str
    notes: str
    is_binned: bool
    is_illustrative: bool
    paints: tuple[tuple[str, str, int], ...]
    readings: tuple[ReadingSeen, ...]
    now: ReadingSeen | None
    picture: Photographed | None
    lights: dict[str, str]
    light: str
    observer: int
    wrong: str


def show_proof(shelf: Shelf, key: str, *, wrong: str = "") -> ProofPage:
    """The page of one proof.

    Raises
    ------
    InputError
        If there is none.
    """
    kept = shelf.proofs.load(key)
    counted = kept.reading
    readings = tuple(_reading_seen(shelf, each, each is counted) for each in reversed(kept.readings))
    now = next((each for each in readings if each.counts), None)
    return ProofPage(
        show_waiting(shelf, kept, shelf.proofs.load_sheets()),
        kept.kept_at.strftime("%-d %B %Y"),
        kept.proof.notes,
        kept.binned_at is not None,
        kept.proof.is_illustrative,
        tuple((paint.key, paint.label, paint.version) for paint in kept.proof.paints),
        readings,
        now,
        _photographed(shelf, kept, counted) if counted and counted.has_picture else None,
        LIGHTS,
        kept.proof.light,
        kept.proof.observer,
        wrong,
    )


def _reading_seen(shelf: Shelf, kept: KeptReading, counts: bool) -> ReadingSeen:
    reading, found, parts = kept.reading, compare_reading(kept), interval_parts(kept)
    lightness, a, b = (round(value, 1) + 0 for value in reading.lab)
    known = {entry.key: entry.label for entry in shelf.load_entries([use.paint for use in kept.uses])}
    return ReadingSeen(
        kept.number,
        counts,
        kept.binned_at is not None,
        kept.has_picture,
        reading.source.value,
        kept.read_at.strftime("%-d %B %Y"),
        f"L* {lightness}, a* {a}, b* {b}".replace("-", "−"),
        say_shift(found.expected, found.painted),
        say_verdict(found.difference_de00, found.interval_de00),
        screen_colour(reading.lab, reading.light, reading.observer),
        screen_colour(reading.expected.lab, reading.light, reading.observer),
        (
            ("what is not known of the paints", f"{parts['optics']:.1f}"),
            ("the hand that painted it", f"{parts['hand']:.1f}"),
            ("the reading", f"{parts['reading']:.1f}"),
            ("together, 19 times in 20", f"{found.interval_de00:.1f}"),
        ),
        reading.said,
        tuple(sorted({known.get(use.paint, use.paint) for use in kept.uses})),
    )


def _photographed(shelf: Shelf, kept: KeptProof, reading: KeptReading) -> Photographed | None:
    picture = shelf.proofs.load_picture(kept.proof.key, reading.number)
    corners = None if picture is None else picture.outlines.get(reading.reading.area)
    size = None if picture is None else picture_size(picture.content)
    if corners is None or size is None:
        return None
    return Photographed(reading.number, *size, " ".join(f"{x:.0f},{y:.0f}" for x, y in corners))
