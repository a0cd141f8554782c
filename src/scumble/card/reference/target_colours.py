"""Colours of a card whose camera a target has shown: each area among films that look alike all over the card."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from scumble.card.light.calibrate import Calibration
from scumble.card.photographed import Direction
from scumble.card.reference.beside_target import Laid
from scumble.card.reference.correction import colour_metric
from scumble.card.reference.likely_films import FilmKind, likely_cards, likely_spectra
from scumble.card.reference.sensed import ColoursRead, Sensed, likely_reflectance, read_card, read_colours
from scumble.colour import upsample_colours
from scumble.paint.camera_doubt import CameraDoubt, shared_covariance

Floats = NDArray[np.float64]

LEAST_DOUBT, MOST_DOUBT = 0.02, 1.0
"""Between which the doubt about the sensor lies, in cameras drawn at random."""


@dataclass(frozen=True, slots=True)
class TargetCalibration(Calibration):
    """Channels relative to the card's paper to XYZ, by what the camera makes of spectra.

    Parameters
    ----------
    sensed : Sensed
        The camera.
    scale : array, shape (3,)
        Of X, Y and Z, towards a usual paper.
    floor : array, shape (3,)
        Channels at which the picture ends.
    places : mapping of str to int
        Where each area is among what was read; empty as long as no card was.
    light : array, shape (areas, 3)
        Channels that were read.
    colours : ColoursRead, optional
        What they stand for.
    """

    sensed: Sensed
    scale: Floats
    floor: Floats
    places: Mapping[str, int] = field(default_factory=dict)
    light: Floats = field(default_factory=lambda: np.zeros((0, 3)))
    colours: ColoursRead | None = None

    def to_xyz(self, light: Floats) -> Floats:
        """XYZ of linear channels relative to the paper, shape (..., 3), each by itself; never below 0."""
        flat = np.asarray(light, dtype=np.float64).reshape(-1, 3)
        found = read_colours(self.sensed, flat, likely_spectra(), floor=self.floor).xyz
        return np.asarray(np.maximum(self.scale * found, 0.0).reshape(np.shape(light)))

    def on_card(
        self,
        areas: Sequence[Laid],
        light: Floats,
        trust: Floats,
        *,
        lost: NDArray[np.bool_] | None = None,
    ) -> TargetCalibration:
        """The same once it has seen all areas of a card.

        Parameters
        ----------
        areas : sequence of Laid
            All of the card.
        light : array, shape (areas, 3)
            Their channels.
        trust : array, shape (areas,) [1]
            Of each, in finding paints that look alike.
        lost : array of bool, shape (areas, 3), optional
            Channels at the low end of their scale: what they still show is noise, and all below it looks alike.
        """
        gone = np.zeros(light.shape, dtype=np.bool_) if lost is None else lost
        floors = np.where(gone, np.maximum(light, self.floor), self.floor)
        bare = np.array([area.is_bare for area in areas])
        own = read_colours(self.sensed, light[bare], likely_spectra(), floor=self.floor)
        grounds = likely_reflectance(own.xyz, likely_spectra(), light="D65", observer=2).mean.clip(0.0, 1.0)
        named = {area.name: at for at, area in enumerate(area for area in areas if area.is_bare)}
        painted = [area for area in areas if not area.is_bare]
        kinds = [FilmKind(area.film, area.white_parts / area.paint_parts) for area in painted]
        cards = likely_cards(kinds, grounds[[named[area.ground] for area in painted]])
        films = read_card(self.sensed, light[~bare], cards, trust=trust[~bare], floor=floors[~bare])
        order = np.argsort(np.concatenate([np.flatnonzero(bare), np.flatnonzero(~bare)]))
        every = ColoursRead(
            *(
                np.concatenate([getattr(own, name), getattr(films, name)])[order]
                for name in ("xyz", "covariance", "slopes")
            )
        )
        return replace(
            self, places={area.name: at for at, area in enumerate(areas)}, light=light, colours=every
        )

    def to_reading(
        self, area: str, light: Floats, lost: NDArray[np.bool_], /
    ) -> tuple[Floats, tuple[Direction, ...]]:
        """XYZ of an area, and the direction in which it is in doubt where channels were cut off at zero."""
        if self.colours is None or area not in self.places:
            return self.to_xyz(light), ()
        at = self.places[area]
        xyz = self.colours.xyz[at] + (light - self.light[at]) @ self.colours.slopes[at]
        values = np.maximum(self.scale * xyz, 0.0)
        if not lost.any():
            return values, ()
        size, ways = np.linalg.eigh(self.colours.covariance[at])
        x, y, z = (np.sqrt(max(float(size[-1]), 0.0)) * ways[:, -1]).tolist()
        return values, ((x, y, z),)

    def sensor_doubt(self, trust: Floats) -> float:
        """The doubt of a sensor, in cameras drawn at random, under which colours are as doubtful as they are."""
        if self.colours is None:
            return MOST_DOUBT
        xyz = np.maximum(self.colours.xyz, 0.0)
        root = colour_metric(xyz)
        unit = shared_covariance(CameraDoubt(sensor=1.0), upsample_colours(xyz), xyz)
        own, usual = (
            np.einsum("pij,pjk,pik->p", root, covariance, root)
            for covariance in (self.colours.covariance, unit)
        )
        # Least squares: strong colours tell cameras apart, greys hardly.
        share = (trust * usual) @ own / max(float((trust * usual) @ usual), 1e-12)
        return float(np.clip(np.sqrt(share), LEAST_DOUBT, MOST_DOUBT))
