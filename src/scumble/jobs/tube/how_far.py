"""How far a tube goes, where its shop has said what one full coat is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from statistics import median

import numpy as np
from numpy.typing import NDArray

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


def coats_um(keys: Sequence[str], facts: Mapping[str, TubeFacts]) -> NDArray[np.float64] | None:
    """Wet thickness of one coat of each tube [um], for amounts by volume; None where nothing is known of any.

    Parameters
    ----------
    keys : sequence of str
        Of the tubes.
    facts : mapping of str to TubeFacts
        What is known of them; a tube of which no coat was said has the middle one of the others.
    """
    said = [facts[key].full_coat() if key in facts else None for key in keys]
    known = [coat.wet_um for coat in said if coat is not None]
    if not known:
        return None
    return np.array([median(known) if coat is None else coat.wet_um for coat in said])
