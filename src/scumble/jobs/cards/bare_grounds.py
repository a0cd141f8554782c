"""The grounds of a card, as what is read of its bare areas says."""

from __future__ import annotations

from scumble.colour import smoothest_reflectance
from scumble.paint import Ground
from scumble.paint.reading import CardReadings, Quantity


def bare_grounds(readings: CardReadings) -> dict[str, Ground]:
    """Bare areas of a card as grounds that go by their names, each the smoothest spectrum of its colour."""
    grounds = {}
    for name, reading in readings.bare().items():
        shown = reading.values
        if readings.quantity is Quantity.XYZ:
            shown = smoothest_reflectance(shown, light=readings.light, observer=readings.observer)
        grounds[name] = Ground(shown.clip(0.0, 1.0), label=name)
    return grounds
