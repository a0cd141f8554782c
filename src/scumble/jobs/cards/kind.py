"""Which printed card some readings are of, by the areas that only it has."""

from __future__ import annotations

from functools import cache

from scumble.card.sheet.layouts import PRINTED
from scumble.paint import CardReadings


def is_white_card(readings: CardReadings) -> bool:
    """Whether readings are of the card for the white, which nobody needs to say then.

    Parameters
    ----------
    readings : CardReadings
        From a photograph or an instrument.

    Notes
    -----
    The card for the white is the only one with full films over coloured stripes.
    """
    areas = {reading.area for reading in readings.readings}
    return areas <= _areas("white") and bool(areas & _only_white())


@cache
def _areas(layout: str) -> frozenset[str]:
    from scumble.card.sheet.geometry import card_geometry

    return frozenset(area.name for area in card_geometry(layout).areas)


@cache
def _only_white() -> frozenset[str]:
    others: frozenset[str] = frozenset().union(*(_areas(layout) for layout in PRINTED if layout != "white"))
    return _areas("white") - others
