"""Show one tube: its strip, how it behaves, its card, and where each number comes from."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import LYING, write_colour
from scumble.colour import name_colour
from scumble.errors import InputError
from scumble.jobs.cards.beside import CardPicture, Pair, outline_areas, pair_areas
from scumble.jobs.draws import standard_draws
from scumble.jobs.remember import Remembered
from scumble.jobs.shelf.fetch_tube import behaviour_at, fetch
from scumble.jobs.shelf.hung_shelf import MOST_NEW, hang_waiting, look_at_wall
from scumble.jobs.shelf.paint_strip import FULL_UNTIL, HALVED_UNTIL, HALVINGS
from scumble.jobs.shelf.show_shelf import PROVENANCE_WORDS, strip_words
from scumble.jobs.tube.beside_reference import (
    likely_reference,
    possible_references,
    say_among_all,
    strength_beside,
)
from scumble.jobs.tube.evidence import Evidence, depth_evidence, evidence_of, rate_evidence
from scumble.jobs.tube.how_far import spreading_of
from scumble.jobs.tube.paint_figures import Figure, draw_covering, draw_path, draw_spectra, say_coats
from scumble.jobs.tube.say_behaviour import say_behaviour
from scumble.jobs.white import is_white
from scumble.paint import Film, Ground, GroundFace, Layering, Paint, Provenance, predict_look
from scumble.paint.behaviour import Behaviour
from scumble.paint.caution import ALWAYS, pigment_cautions
from scumble.paint.depth import say_relative_strength
from scumble.paint.drawdown import CHART_BLACK, CHART_WHITE
from scumble.paint.spreading import describe_spreading
from scumble.paint.tinting import LADDER_PARTS
from scumble.paint.words import Sentence
from scumble.store.shelf import Shelf
from scumble.tables import BANDS

Floats = NDArray[np.float64]

PROVENANCE_SENTENCES = {
    Provenance.CARD: "Measured from a card: a painted sample card was photographed and read.",
    Provenance.INSTRUMENT: "Measured by instrument: a painted sample card was read with one.",
    Provenance.ILLUSTRATIVE: "Illustrative: nobody measured this tube.",
}


@dataclass(frozen=True, slots=True)
class Swatch:
    """One look of a paint.

    Parameters
    ----------
    title : str
        What it shows.
    colour : str
        Screen colour.
    words : str
        The colour in plain words.
    film : str
        The film and its ground.
    lab : str
        CIELAB, and how sure.
    in_gamut : bool
        Whether the screen can show it.
    """

    title: str
    colour: str
    words: str
    film: str
    lab: str
    in_gamut: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark under the lying strip, in hundredths of its width from the left."""

    percent: float
    label: str


@dataclass(frozen=True, slots=True)
class PaintPage:
    """Everything the Paint page says.

    Parameters
    ----------
    key, label : str
        Short name, and what the person calls it.
    pigments : tuple of str
        Colour Index names.
    binder, mark : str
        Binder, and the mark of transparency.
    provenance, source : str
        Where the optics come from, in a few words and in a sentence.
    status : tuple of str
        How well the optics are known.
    stamp : str
        Changes whenever anything on the page would.
    strip_words : str
        The strip in words.
    ticks : tuple of Tick
        Coats along the lying strip.
    ladder : tuple of str
        Parts of white of its steps, none without a white.
    white_label : str
        Label of the white it is tinted with, empty without one.
    is_white : bool
        Whether it is a white itself.
    swatches : tuple of Swatch
        Masstone, undertone, over black, with white.
    sentences : tuple of (Sentence, Evidence or None)
        How it behaves, each with two swatches to look at.
    figures : tuple of Figure
        Spectra, covering, path.
    picture : CardPicture or None
        Its card.
    pairs : tuple of Pair
        Read beside predicted.
    cautions, always : tuple of str
        What to be careful with.
    further : tuple of (Sentence, Evidence or None)
        How strong it is beside others, and how far it goes, where that is known.
    against : str
        Label of the tube its strength was compared with, or what was asked for.
    references : tuple of str
        Labels of tubes that it could be compared with.
    against_fault : str
        Why it could not be, empty if it could.
    has_coat : bool
        Whether somebody said what a full coat is.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    binder: str
    mark: str
    provenance: str
    source: str
    status: tuple[str, ...]
    stamp: str
    strip_words: str
    ticks: tuple[Tick, ...]
    ladder: tuple[str, ...]
    white_label: str
    is_white: bool
    swatches: tuple[Swatch, ...]
    sentences: tuple[tuple[Sentence, Evidence | None], ...]
    figures: tuple[Figure, ...]
    picture: CardPicture | None
    pairs: tuple[Pair, ...]
    cautions: tuple[str, ...]
    always: tuple[str, ...]
    further: tuple[tuple[Sentence, Evidence | None], ...] = ()
    against: str = ""
    against_fault: str = ""
    references: tuple[str, ...] = ()
    has_coat: bool = False


def show_paint(shelf: Shelf, key: str, *, against: str = "") -> PaintPage:
    """Show one tube.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Its key.
    against : str
        Name of the tube its strength is compared with; one of like hue when left empty.

    Raises
    ------
    InputError
        If there is no such paint; the message lists near names.
    """
    paint, white, stamp = fetch(shelf, key)
    page = _pages.recall(stamp, lambda: _page(shelf, paint, white, stamp))
    return _with_others(shelf, page, (paint, white), against)


def _with_others(shelf: Shelf, page: PaintPage, tube: tuple[Paint, Paint | None], against: str) -> PaintPage:
    """The page with what the tube is beside others, and how far it goes."""
    paint, white = tube
    wall = look_at_wall(shelf)
    if 0 < len(wall.waiting) <= MOST_NEW:
        wall = hang_waiting(shelf)
    pastel = next((shown for each, shown in page.sentences if each.topic == "strength"), None)
    rank = None if page.is_white else say_among_all(wall, wall.entries[paint.key])
    said: list[tuple[Sentence, Evidence | None]] = [] if rank is None else [(rank, pastel)]
    name, fault = against.strip(), ""
    reference = name or likely_reference(wall, wall.entries[paint.key])
    if reference and white is not None and white.key != paint.key:
        try:
            other, strength = strength_beside(shelf, paint.key, reference)
            shown = depth_evidence((paint, other), white, strength)
            said.append((say_relative_strength(strength, other.label), shown))
            name = other.label
        except InputError as error:
            fault = str(error)
    facts = shelf.tubes.load(paint.key)
    if facts.coat:
        spreading = spreading_of(paint, behaviour_at(paint, white, page.stamp), facts)
        assert spreading is not None
        shown = rate_evidence(paint, spreading)
        said += [(each, shown) for each in describe_spreading(spreading, currency=facts.currency)]
    return replace(
        page,
        further=tuple(said),
        against=name,
        against_fault=fault,
        references=possible_references(wall, wall.entries[paint.key]),
        has_coat=bool(facts.coat),
    )


def _page(shelf: Shelf, paint: Paint, white: Paint | None, stamp: str) -> PaintPage:
    behaviour = behaviour_at(paint, white, stamp)
    mixes = white is not None and white.key != paint.key
    evidence = evidence_of(paint, white if mixes else None, behaviour)
    card, picture = shelf.load_readings(paint.key), shelf.load_picture(paint.key)
    return PaintPage(
        key=paint.key,
        label=paint.label,
        pigments=paint.pigments,
        binder=paint.binder.value,
        mark=behaviour.mark.value,
        provenance=PROVENANCE_WORDS[paint.provenance],
        source=PROVENANCE_SENTENCES[paint.provenance],
        status=paint.status,
        stamp=stamp,
        strip_words=strip_words(paint, behaviour, white),
        ticks=lying_ticks(),
        ladder=tuple(f"{parts:g}" for parts in LADDER_PARTS) if mixes else (),
        white_label=white.label if white and mixes else "",
        is_white=is_white(paint),
        swatches=_swatches(paint, white if mixes else None, behaviour),
        sentences=tuple((said, evidence.get(said.topic)) for said in say_behaviour(paint, behaviour)),
        figures=(
            draw_spectra(paint),
            draw_covering(paint, standard_draws()[0]),
            draw_path(paint, white if mixes else None),
        ),
        picture=outline_areas(picture, card) if picture else None,
        pairs=pair_areas(paint, white, card) if card else (),
        cautions=pigment_cautions(paint.pigments),
        always=ALWAYS,
    )


def lying_ticks() -> tuple[Tick, ...]:
    """Where the film of the lying strip is one coat, half a coat and so on."""
    ticks = []
    for halved in range(HALVINGS + 1):
        share = FULL_UNTIL + (HALVED_UNTIL - FULL_UNTIL) * halved / HALVINGS
        x = LYING.stroke.x + share * LYING.stroke.width
        ticks.append(Tick(round(100.0 * x / LYING.width, 2), say_coats(0.5**halved)))
    return tuple(ticks)


def chart_ground(level: float) -> Ground:
    """White or black of the chart that behaviour is worked out on."""
    return Ground(np.full(BANDS, level), GroundFace.GLOSS, "white" if level == CHART_WHITE else "black")


def _swatches(paint: Paint, white: Paint | None, behaviour: Behaviour) -> tuple[Swatch, ...]:
    thin = behaviour.thinning.undertone_coats.value
    own: tuple[tuple[Paint, float], ...] = ((paint, 1.0),)
    asked = [
        ("Masstone", Film(own, 1.0), CHART_WHITE, "1 coat over white"),
        ("Undertone", Film(own, thin), CHART_WHITE, f"{thin:.2f} coat over white"),
        ("Over black", Film(own, 1.0), CHART_BLACK, "1 coat over black"),
    ]
    if white is not None:
        asked.append(
            ("With white", Film((*own, (white, 4.0)), 1.0), CHART_WHITE, "1 part to 4 of white, 1 coat")
        )
    return tuple(_swatch(title, film, level, words) for title, film, level, words in asked)


def _swatch(title: str, film: Film, level: float, words: str) -> Swatch:
    look = predict_look(Layering(chart_ground(level), (film,)))
    lightness, a, b = look.lab
    sure = f", give or take {look.interval_de00:.1f} dE00" if look.interval_de00 > 0 else ""
    return Swatch(
        title=title,
        colour=write_colour(look.srgb),
        words=name_colour(look.xyz),
        film=words,
        lab=f"L* {lightness:.0f}, a* {a:.0f}, b* {b:.0f}{sure}".replace("-", "−"),
        in_gamut=look.in_gamut,
    )


_pages: Remembered[PaintPage] = Remembered()
