"""Say how a paint behaves, as plain data."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from scumble.jobs.files import shelf_path
from scumble.jobs.shelf.fetch_tube import behaviour_of, fetch
from scumble.jobs.tube.beside_reference import strength_beside
from scumble.jobs.tube.how_far import spreading_of
from scumble.jobs.tube.say_behaviour import say_behaviour
from scumble.paint.depth import RelativeStrength, say_relative_strength
from scumble.paint.estimate import Estimate
from scumble.paint.spreading import Spreading, describe_spreading
from scumble.store.shelf import open_shelf


def describe_paint(key: str, shelf: Path | None, *, against: str = "") -> dict[str, Any]:
    """What a paint of the shelf does in a film, in sentences.

    Parameters
    ----------
    key : str
        Key or label.
    shelf : Path, optional
        The shelf; the person's own by default.
    against : str
        Key or label of a paint to compare its strength in white with.

    Raises
    ------
    InputError, StoreError
        For an unknown paint, or a shelf that cannot be read.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        paint, white, _ = fetch(opened, key)
        facts = opened.tubes.load(paint.key)
        other, strength = strength_beside(opened, key, against) if against else (None, None)
    behaviour = behaviour_of(paint, white)
    spreading = spreading_of(paint, behaviour, facts)
    said = [
        *say_behaviour(paint, behaviour),
        *([] if other is None or strength is None else [say_relative_strength(strength, other.label)]),
        *([] if spreading is None else describe_spreading(spreading, currency=facts.currency)),
    ]
    return {
        "key": paint.key,
        "label": paint.label,
        "pigments": list(paint.pigments),
        "provenance": paint.provenance.value,
        "contrast_ratio": round(behaviour.contrast_ratio.value, 4),
        "mark": behaviour.mark.value,
        "masstone": behaviour.masstone_name,
        "undertone": behaviour.undertone_name,
        "strength": None if other is None or strength is None else _strength_data(strength, other.key),
        "spreading": None if spreading is None else _spreading_data(spreading),
        "sentences": [str(sentence) for sentence in said],
        "status": list(paint.status),
    }


def _strength_data(strength: RelativeStrength, against: str) -> dict[str, Any]:
    return {
        "against": against,
        "reference_parts": strength.reference_parts,
        **{name: _numbers(getattr(strength, name)) for name in ("parts", "by_depth", "by_band", "by_value")},
        "left_over_de00": round(strength.left_over, 2),
    }


def _spreading_data(spreading: Spreading) -> dict[str, Any]:
    names = ("hiding_um", "m2_per_litre", "fixed_ratio", "m2_per_tube", "coat_m2_per_tube", "price_per_m2")
    told = {name: getattr(spreading, name) for name in names}
    return {
        "coat": asdict(spreading.coat),
        **{name: None if each is None else _numbers(each) for name, each in told.items()},
    }


def _numbers(estimate: Estimate) -> list[float | None]:
    """Value, low and high; none where there is no end, which JSON has no word for."""
    three = (estimate.value, estimate.low, estimate.high)
    return [float(f"{each:.5g}") if np.isfinite(each) else None for each in three]
