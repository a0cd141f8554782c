"""How far a tube goes, where its shop has said what one full coat is."""

from __future__ import annotations

from scumble.jobs.draws import standard_draws
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour
from scumble.paint.spreading import Spreading, describe_spreading, predict_spreading
from scumble.paint.words import Sentence
from scumble.store.tube_facts import TubeFacts


def spreading_of(paint: Paint, behaviour: Behaviour, facts: TubeFacts) -> Spreading | None:
    """How far a tube goes; None where nobody said what a coat is.

    Parameters
    ----------
    paint : Paint
        The tube.
    behaviour : Behaviour
        Of the paint.
    facts : TubeFacts
        What the shop knows of it.
    """
    coat = facts.full_coat()
    if coat is None:
        return None
    return predict_spreading(
        paint,
        coat,
        behaviour.coats_to_hide,
        normals=standard_draws()[0],
        size_ml=facts.size_ml,
        price=None if facts.price is None else float(facts.price),
    )


def say_how_far(paint: Paint, behaviour: Behaviour, facts: TubeFacts) -> tuple[Sentence, ...]:
    """How far a tube goes in sentences; none where nobody said what a coat is."""
    spreading = spreading_of(paint, behaviour, facts)
    return () if spreading is None else describe_spreading(spreading, currency=facts.currency)
