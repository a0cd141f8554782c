"""What was read from a picture of a card: the readings, where each was seen, and what was wrong there."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.card.sheet.layouts import Point
from scumble.paint.reading import CardReadings, Reading

Outline = tuple[Point, Point, Point, Point]
Direction = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with an area.

    Parameters
    ----------
    kind : str
        One word or two: ``glare``, ``clipped``, ``unpainted`` ...
    sentence : str
        What is wrong, to be read beside the place.
    trust : float [1]
        What is left of the area's weight, 0 to 1.
    """

    kind: str
    sentence: str
    trust: float


@dataclass(frozen=True, slots=True)
class AreaSeen:
    """One area in the picture.

    Parameters
    ----------
    reading : Reading
        XYZ, and the weight left after its faults.
    outline_px : four points [px]
        Corners of its box in the upright picture; the middle of the first picture point is 0, 0.
    scatter : float [1]
        Relative standard deviation of its tiles of 2 mm.
    points : int
        Picture points read.
    faults : tuple of Fault
        Empty when all is well.
    bound_de00 : float [dE00]
        Distance within which the true colour lies 19 times out of 20.
    """

    reading: Reading
    outline_px: Outline
    scatter: float
    points: int
    faults: tuple[Fault, ...]
    bound_de00: float = float("nan")

    @property
    def verdict(self) -> str:
        """What is to be said about it, in words.

        Examples
        --------
        An area without faults is simply ``good``.
        """
        return " ".join(fault.sentence for fault in self.faults) or "good"


@dataclass(frozen=True, slots=True)
class Mark:
    """A fiducial found in the picture.

    Parameters
    ----------
    number : int
        Its code.
    outline_px : four points [px]
        Its corners.
    """

    number: int
    outline_px: Outline


@dataclass(frozen=True, slots=True)
class PhotographedCard:
    """A card read from a picture.

    Parameters
    ----------
    layout : str
        Which card.
    readings : CardReadings
        XYZ under D65, 2 degrees, of all areas.
    areas : tuple of AreaSeen
        The same areas in the same order, as seen.
    marks : tuple of Mark
        Fiducials that placed the card.
    missing_marks : tuple of int
        Codes of those that were not found or did not agree.
    size_px : (int, int) [px]
        Width and height of the upright picture.
    colour_space : str
        What its numbers were taken to mean: the name of its profile, or sRGB.
    px_per_mm : float
        Scale at the middle of the card.
    placement_error_mm : float [mm]
        Two standard deviations of the place of the worst-placed area.
    unevenness : float [1]
        Light at the brightest place of the card over that at the darkest.
    light_residual : float [1]
        Relative deviation of the bare paper from the smooth light that was taken off.
    flare : float [1]
        Veiling light taken off, against the paper.
    assumptions : tuple of str
        What was taken for granted, in sentences.
    warnings : tuple of str
        What is doubtful about the picture as a whole, in sentences.
    """

    layout: str
    readings: CardReadings
    areas: tuple[AreaSeen, ...]
    marks: tuple[Mark, ...]
    missing_marks: tuple[int, ...]
    size_px: tuple[int, int]
    colour_space: str
    px_per_mm: float
    placement_error_mm: float
    unevenness: float
    light_residual: float
    flare: float
    assumptions: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def outlines(self) -> dict[str, Outline]:
        """Corners of each area in the picture, by its name."""
        return {area.reading.area: area.outline_px for area in self.areas}

    @property
    def remarks(self) -> tuple[str, ...]:
        """All that is to be said: what is doubtful, what is wrong where, what was taken for granted."""
        places: dict[str, list[str]] = {}
        for area in self.areas:
            for fault in area.faults:
                places.setdefault(fault.sentence, []).append(area.reading.area)
        faults = tuple(f"{', '.join(names)}: {sentence}" for sentence, names in places.items())
        return (*self.warnings, *faults, *self.assumptions)
