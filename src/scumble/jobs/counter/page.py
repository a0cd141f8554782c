"""The pages at the counter: a customer asks and gets three tubes, each with the reason it was picked."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.errors import InputError
from scumble.jobs.counter.asks import ASKS, CLASS_NOTE, COLOURS, Ask, Tube
from scumble.jobs.counter.rank_tubes import APART, rank_tubes, spread
from scumble.jobs.lasting import short_lasting
from scumble.jobs.remember import Remembered
from scumble.jobs.shelf.fetch_tube import behaviour_of, fetch
from scumble.jobs.shelf.show_shelf import PROVENANCE_WORDS
from scumble.jobs.tube.evidence import Evidence, evidence_of
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour
from scumble.paint.caution import ALWAYS, pigment_cautions
from scumble.paint.words import Sentence, describe_behaviour
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts


@dataclass(frozen=True, slots=True)
class Picked:
    """One tube of an answer.

    Parameters
    ----------
    key, label : str
        Short name for addresses, and what it is called.
    pigments, mark, provenance, binder : str
        What stands under its strip.
    stamp, strip_words : str
        Of its drawing, and the drawing in words.
    reasons : tuple of Sentence
        Why it was picked.
    evidence : Evidence or None
        Two swatches to look at.
    facts : tuple of str
        Price, size, stock, lightfastness, as far as the shop knows them.
    cautions : tuple of str
        Of its pigments.
    """

    key: str
    label: str
    pigments: str
    mark: str
    provenance: str
    binder: str
    stamp: str
    strip_words: str
    reasons: tuple[Sentence, ...]
    evidence: Evidence | None
    facts: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CounterPage:
    """A question with its answer, or all questions.

    Parameters
    ----------
    asks : dict of str to Ask
        What can be asked.
    asked : str
        What was asked; empty on the first page.
    colours, binders : tuple of str
        What the answer can be narrowed to.
    colour, binder : str
        What it was narrowed to.
    picked : tuple of Picked
        At most three tubes.
    choice : int
        How many tubes would do.
    notes : tuple of str
        What is said of every answer.
    total : int
        Tubes on the shelf.
    """

    asks: dict[str, Ask]
    asked: str
    colours: tuple[str, ...]
    binders: tuple[str, ...]
    colour: str
    binder: str
    picked: tuple[Picked, ...]
    choice: int
    notes: tuple[str, ...]
    total: int


def show_counter(shelf: Shelf, asked: str = "", *, colour: str = "", binder: str = "") -> CounterPage:
    """Answer a customer.

    Parameters
    ----------
    shelf : Shelf
        Open.
    asked : str
        One of :data:`ASKS`; empty shows what can be asked.
    colour : str
        One of :data:`COLOURS`, or any.
    binder : str
        One of the shelf's binders, or any.

    Raises
    ------
    InputError
        For an unknown question, colour or binder.
    """
    entries = shelf.load_entries()
    binders = tuple(sorted({entry.binder.value for entry in entries}))
    for field, given, allowed in (
        ("question", asked, tuple(ASKS)),
        ("colour", colour, COLOURS),
        ("binder", binder, binders),
    ):
        if given and given not in allowed:
            raise InputError(field, given, ", ".join(allowed) or "nothing: the shelf is empty")
    found = [tube for _, tube in rank_tubes(shelf, asked, colour, binder)] if asked else []
    picked = spread(found, apart=0.0 if colour else APART)
    asks = dict(ASKS)
    if asked != "light" and not any(facts.lightfastness for facts in shelf.tubes.load_all().values()):
        del asks["light"]
    notes = (CLASS_NOTE, *ALWAYS[1:]) if asked == "class" else ALWAYS
    return CounterPage(
        asks=asks,
        asked=asked,
        colours=COLOURS,
        binders=binders if len(binders) > 1 else (),
        colour=colour,
        binder=binder,
        picked=tuple(_picked(shelf, tube, ASKS[asked].topics) for tube in picked),
        choice=len(found),
        notes=notes,
        total=len(entries),
    )


def _picked(shelf: Shelf, tube: Tube, topics: tuple[str, ...]) -> Picked:
    paint, found, stamp = fetch(shelf, tube.strip.key)
    white = found if found is not None and found.key != paint.key else None
    behaviour = _sure.recall(stamp, lambda: behaviour_of(paint, white))
    said = {sentence.topic: sentence for sentence in describe_behaviour(behaviour)}
    evidence = evidence_of(paint, white, behaviour)
    return Picked(
        key=paint.key,
        label=paint.label,
        pigments=" ".join(paint.pigments) or "pigment not given",
        mark=behaviour.mark.value,
        provenance=PROVENANCE_WORDS[paint.provenance],
        binder=paint.binder.value,
        stamp=stamp,
        strip_words=tube.strip.words,
        reasons=tuple(said[topic] for topic in topics if topic in said),
        evidence=next((evidence[topic] for topic in topics if topic in evidence), None),
        facts=_facts(paint, tube.facts),
        cautions=pigment_cautions(paint.pigments),
    )


def _facts(paint: Paint, facts: TubeFacts) -> tuple[str, ...]:
    said = []
    if facts.price is not None:
        said.append(f"{facts.price:.2f} {facts.currency}")
    if facts.size_ml is not None:
        said.append(f"{facts.size_ml:g} ml")
    if facts.stock is not None:
        said.append(f"{facts.stock} on the shelf")
    if facts.shop_code:
        said.append(facts.shop_code)
    lasting = short_lasting(facts)
    said.append(f"lightfastness {lasting}" if lasting else "lightfastness not rated here")
    return (paint.binder.value, *said)


_sure: Remembered[Behaviour] = Remembered()
