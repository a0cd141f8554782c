"""Picture of a sample card to readings: geometry, find, rectify, even out, calibrate, sample, judge."""

from scumble.card.photographed import AreaSeen, Fault, Mark, PhotographedCard
from scumble.card.read import read_photograph

__all__ = ["AreaSeen", "Fault", "Mark", "PhotographedCard", "read_photograph"]
