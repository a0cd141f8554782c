"""What a camera makes of spectra, as the patches of a target show it; and colours read with that knowledge.

A correction from channels to XYZ that is fitted to patches holds for their spectra and no others: paints that look to
the camera like a patch need not look like it to the eye. What the patches do tell is the camera itself. Its three
weights of a spectrum lie along few directions (`scumble.colour.sensor`), so that a hundred patches fix them; then any
population of spectra can be seen through them, and a colour is what the eye would make of the spectra that the camera
sees so: first of films on this card's grounds, of paints that look alike in all areas.

*Source:* for the weights as the most probable of a linear model with standard-normal unknowns, Rodgers, Inverse
Methods for Atmospheric Sounding (2000), equation 4.3; that cameras lie in few dimensions, Jiang, Liu, Gu &
Susstrunk, IEEE WACV 2013, 168, doi:10.1109/WACV.2013.6475015 (from memory); for the local regression,
Cleveland, J. Am. Stat. Assoc. 74, 829 (1979), doi:10.1080/01621459.1979.10481038.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.reference.correction import FAR, colour_metric, fit_terms, root_terms
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.colour.sensor import sensor_modes

Floats = NDArray[np.float64]

NEIGHBOURS: Final = 100
"""Spectra of a population that say what one of some colour looks like."""

PATCH_NOISE: Final = 0.8
"""Colour difference by which a patch may be off that is not its spectrum's [dE00]: grain, shine, uneven light; and what
patches of the same few colourants have in common, which their number does not average out."""

VALUE_NOISE: Final = 0.004
"""Relative error of the reference values themselves: instruments agree within about so much (*common practice, no
source*)."""

ROUNDS: Final = 4
TAIL: Final = 3.0
"""Times the fit is repeated with new weights of the patches, and degrees of freedom of their errors."""

FOLDS: Final = 8
"""Groups of patches that are left out in turn."""

ALIKE: Final = 8.0
"""How much the other areas of a card count beside the own colour of an area in finding paints that look alike."""

MOST_UNLIKE: Final = 30.0
"""Colour distance beyond which it no longer matters how far an area is off."""

_FLOOR: Final = 1e-3
"""Share of white added before the cube root, so that noise of black weighs little."""


@dataclass(frozen=True, slots=True)
class Spectra:
    """What is known of the spectra of patches.

    Parameters
    ----------
    mean : array, shape (patches, 36)
        Most probable reflectance.
    spread : array, shape (patches, 36, 36)
        Its covariance.
    """

    mean: Floats
    spread: Floats

    def only(self, members: NDArray[np.bool_]) -> Spectra:
        """Some of them."""
        return Spectra(self.mean[members], self.spread[members])


@dataclass(frozen=True, slots=True)
class Sensed:
    """A camera under its light.

    Parameters
    ----------
    to_eye : array, shape (3, 3)
        ``channels @ to_eye`` are those of a camera near the eye, the perfect diffuser at 100.
    weights : array, shape (36, 3)
        ``reflectance @ weights`` are the same.
    directions : array, shape (36, 3, unknowns)
        Changes of the weights that are still in doubt, one standard deviation each.
    turns : array, shape (3, 3, unknowns)
        Changes of ``to_eye`` that go with them.
    """

    to_eye: Floats
    weights: Floats
    directions: Floats
    turns: Floats

    def channels(self, spectra: Floats) -> Floats:
        """Channels that spectra would have, shape (..., 3)."""
        return np.asarray(spectra @ self.weights @ np.linalg.inv(self.to_eye))


@dataclass(frozen=True, slots=True)
class ColoursRead:
    """Colours behind channels.

    Parameters
    ----------
    xyz : array, shape (n, 3)
        Most probable.
    covariance : array, shape (n, 3, 3)
        By the spectra that are seen alike, and by what is still in doubt of the camera.
    slopes : array, shape (n, 3, 3)
        XYZ for a little more of each channel.
    """

    xyz: Floats
    covariance: Floats
    slopes: Floats


def likely_reflectance(xyz: Floats, population: Floats, *, light: str, observer: int) -> Spectra:
    """Spectra that colours probably have, from a population of them.

    Parameters
    ----------
    xyz : array, shape (n, 3)
        Colours, perfect diffuser at Y = 100.
    population : array, shape (m, 36)
        Spectra to learn from.
    light, observer : str, int
        What the colours were seen under and by.

    Notes
    -----
    The mean and scatter of neighbours in colour, moved to the exact colour by their own covariance.
    """
    eye = spectral_weights(light, observer)
    white = eye.sum(axis=0)
    seen = population @ eye
    places = _place(seen, white)
    mean, spread = [], []
    for colour, at in zip(xyz, _place(xyz, white), strict=True):
        plane, scatter = _locally(seen, population, colour, np.linalg.norm(places - at, axis=1))
        own = plane[0]
        cross = scatter @ eye
        exact = np.diag((VALUE_NOISE * colour) ** 2 + 1e-4)
        gain = np.linalg.solve(eye.T @ cross + exact, cross.T).T
        mean.append(own + gain @ (colour - own @ eye))
        spread.append(scatter - gain @ cross.T)
    return Spectra(np.array(mean), np.array(spread))


class PatchModel:
    """Patches as an unknown camera sees them: linear in its way to the eye and in its directions.

    Parameters
    ----------
    patches : Spectra
        Their reflectance.
    trust : array, shape (patches,) [1]
        0 leaves one out.
    """

    def __init__(self, patches: Spectra, trust: Floats) -> None:
        self.spread, self.trust = patches.spread, np.asarray(trust, dtype=np.float64)
        self.eye, self.modes = spectral_weights("D65", 2), 100.0 * sensor_modes()
        self.colours = patches.mean @ self.eye
        self.metric = colour_metric(self.colours)
        self.by_modes = np.einsum("pb,bck->pck", patches.mean, self.modes)
        count = self.modes.shape[-1]
        self.pull = self._whitener(np.zeros(count), np.eye(count))
        self.weights = self.trust
        self.found, self.inverse, self.cost = np.zeros(9 + count), np.eye(9 + count), 0.0

    @property
    def directions(self) -> Floats:
        """Where the camera lies along its directions."""
        return self.found[9:]

    def solve(self, light: Floats) -> Floats:
        """The most probable camera for channels of the patches; what each patch misses, in standard deviations."""
        rows = np.concatenate(
            [
                np.einsum("pcj,pi->pcij", self.pull, light).reshape(len(light), 3, 9),
                -np.einsum("pcj,pjk->pck", self.pull, self.by_modes),
            ],
            axis=-1,
        )
        wanted = np.einsum("pcj,pj->pc", self.pull, self.colours)
        root = np.sqrt(self.weights)[:, None]
        flat = (root[..., None] * rows).reshape(-1, rows.shape[-1])
        prior = np.concatenate([np.full(9, 1e-8), np.ones(rows.shape[-1] - 9)])
        self.inverse = np.linalg.inv(flat.T @ flat + np.diag(prior))
        self.found = self.inverse @ (flat.T @ (root * wanted).ravel())
        missed = wanted - rows @ self.found
        self.cost = float(np.sum(self.weights[:, None] * missed**2) + self.directions @ self.directions)
        return np.asarray(missed)

    def doubt_less(self, missed: Floats) -> None:
        """Weigh patches by what they miss, and by what is now known of the camera."""
        self.weights = self.trust * (TAIL + 1.0) / (TAIL + np.mean(missed**2, axis=1))
        self.pull = self._whitener(self.directions, self.inverse[9:, 9:])

    def _whitener(self, directions: Floats, doubt: Floats) -> Floats:
        """Square roots of the inverse covariance of what each patch says, shape (patches, 3, 3)."""
        weights, doubts = self.eye + self.modes @ directions, self.modes @ _factor(doubt)
        own = np.einsum("bc,pbe,ed->pcd", weights, self.spread, weights)
        through = np.einsum("pbe,edj->pbdj", self.spread, doubts)
        own += np.einsum("bcj,pbdj->pcd", doubts, through, optimize=True)
        values = VALUE_NOISE * self.colours
        own += values[:, :, None] * values[:, None, :]
        seen = self.metric @ own @ np.swapaxes(self.metric, 1, 2) + PATCH_NOISE**2 * np.eye(3)
        return np.asarray(np.linalg.inv(np.linalg.cholesky(seen)) @ self.metric)

    @property
    def sensed(self) -> Sensed:
        """The camera that was found."""
        left = _factor(self.inverse)
        return Sensed(
            self.found[:9].reshape(3, 3),
            self.eye + self.modes @ self.directions,
            self.modes @ left[9:],
            left[:9].reshape(3, 3, left.shape[1]),
        )


def agreeing_patches(light: Floats, xyz: Floats, trust: Floats) -> Floats:
    """Trust in patches, little of it in those that a root-polynomial leads far astray: scratched, stained, shining.

    Parameters
    ----------
    light, xyz : array, shape (patches, 3)
        Linear channels, and what the patches are.
    trust : array, shape (patches,) [1]
        0 leaves one out.
    """
    terms, metric = root_terms(light, 2), colour_metric(xyz)
    found = fit_terms(terms, xyz, metric, trust, degree=2, ridge=1e-2)
    usual = max(float(np.median(found.residual[trust > 0])), 0.5)
    return np.asarray(trust / (1.0 + (found.residual / (FAR * usual)) ** 4))


def fit_sensor(light: Floats, patches: Spectra, trust: Floats) -> Sensed:
    """The camera under which patches look as they do.

    Parameters
    ----------
    light : array, shape (patches, 3)
        Linear channels, free of veiling light.
    patches : Spectra
        Their reflectance.
    trust : array, shape (patches,) [1]
        0 leaves one out.
    """
    model = PatchModel(patches, trust)
    for _ in range(ROUNDS - 1):
        model.doubt_less(model.solve(light))
    model.solve(light)
    return model.sensed


def _factor(covariance: Floats) -> Floats:
    """A factor of a covariance whose product with its transpose it is."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def read_colours(
    sensed: Sensed, light: Floats, population: Floats, *, floor: float | Floats = 0.0
) -> ColoursRead:
    """Colours that channels stand for, each by itself.

    Parameters
    ----------
    sensed : Sensed
        The camera.
    light : array, shape (n, 3)
        Linear channels.
    population : array, shape (m, 36)
        Spectra that they may come from.
    floor : float, or array, shape (3,)
        Channel below which the picture holds nothing: what lies there is seen at it.
    """
    seen = np.maximum(sensed.channels(population), floor) @ sensed.to_eye
    places = _place(seen)
    wanted = np.maximum(light, floor) @ sensed.to_eye
    found = [
        _one_colour(sensed, own, channels, seen, population, np.linalg.norm(places - _place(own), axis=1))
        for own, channels in zip(wanted, light, strict=True)
    ]
    return _together(found)


def read_card(
    sensed: Sensed, light: Floats, cards: Floats, *, trust: Floats, floor: float | Floats = 0.0
) -> ColoursRead:
    """Colours of the painted areas of a card: paints are near that look alike in all of its areas.

    Parameters
    ----------
    sensed : Sensed
        The camera.
    light : array, shape (areas, 3)
        Linear channels.
    cards : array, shape (paints, areas, 36)
        The same areas of cards painted with other paints.
    trust : array, shape (areas,) [1]
        How far each area counts in finding those paints.
    floor : float, or array, shape (areas, 3)
        As for :func:`read_colours`, of each area.
    """
    seen = np.maximum(sensed.channels(cards), floor) @ sensed.to_eye
    wanted = np.maximum(light, floor) @ sensed.to_eye
    square = np.sum((_place(seen) - _place(wanted)) ** 2, axis=-1)
    square = np.minimum(square, MOST_UNLIKE**2)
    together = square @ trust
    found = []
    for area, own in enumerate(wanted):
        others = max(float(trust.sum() - trust[area]), 1.0)
        apart = np.sqrt(square[:, area] + ALIKE * (together - trust[area] * square[:, area]) / others)
        found.append(_one_colour(sensed, own, light[area], seen[:, area], cards[:, area], apart))
    return _together(found)


def _together(found: Sequence[tuple[Floats, Floats, Floats]]) -> ColoursRead:
    xyz, covariance, slopes = (np.array(each) for each in zip(*found, strict=True))
    return ColoursRead(xyz, covariance, slopes)


def _one_colour(
    sensed: Sensed, own: Floats, channels: Floats, seen: Floats, spectra: Floats, apart: Floats
) -> tuple[Floats, Floats, Floats]:
    """XYZ of one colour by its neighbours, its covariance, and its slope by the channels."""
    eye = spectral_weights("D65", 2)
    near = np.argpartition(apart, NEIGHBOURS)[:NEIGHBOURS]
    off = spectra[near] @ eye - seen[near]
    plane, scatter = _locally(seen[near], off, own, apart[near])
    spectrum = _nearness(apart[near]) @ spectra[near]
    # Were the camera another, its channels would be led elsewhere, and the spectra behind them too.
    doubt = np.einsum("i,ijk->jk", channels, sensed.turns) - np.einsum(
        "b,bck->ck", spectrum, sensed.directions
    )
    return own + plane[0], scatter + doubt @ doubt.T, sensed.to_eye @ (np.eye(3) + plane[1:])


def _locally(places: Floats, values: Floats, at: Floats, apart: Floats) -> tuple[Floats, Floats]:
    """Value of a locally linear function at a place and its slopes, and the covariance of what scatters about it.

    Parameters
    ----------
    places, values : array, shape (n, 3), (n, v)
        Of all that is known.
    at : array, shape (3,)
        Where it is asked for.
    apart : array, shape (n,)
        How far each is away, by whatever measure; the nearest count.
    """
    near = np.argpartition(apart, min(NEIGHBOURS, len(apart)) - 1)[:NEIGHBOURS]
    weight = _nearness(apart[near])
    root = np.sqrt(weight)[:, None]
    terms = np.column_stack([np.ones(len(near)), places[near] - at])
    # A little held towards level, where neighbours lie in a plane.
    pull = np.diag([0.0, *np.full(3, 1e-2 / len(near))])
    plane = np.linalg.solve(
        (root * terms).T @ (root * terms) + pull, (root * terms).T @ (root * values[near])
    )
    missed = values[near] - terms @ plane
    return np.asarray(plane), np.asarray((weight[:, None] * missed).T @ missed)


def _nearness(apart: Floats) -> Floats:
    """Weights that fall off towards the farthest neighbour and sum to 1."""
    weight = np.exp(-2.0 * (apart / max(float(apart.max()), 1e-9)) ** 2)
    return np.asarray(weight / weight.sum())


def _place(xyz: Floats, white: Floats | None = None) -> Floats:
    """Where a colour lies among others: cube roots, whose differences are about those that are seen."""
    against = white_point("D65", 2) if white is None else white
    return np.asarray(np.cbrt(np.maximum(xyz, 0.0) / against + _FLOOR) * np.array([100.0, 100.0, 60.0]))


def left_out(light: Floats, xyz: Floats, patches: Spectra, trust: Floats, population: Floats) -> Floats:
    """How far each patch is off when the camera is fitted without it and its neighbours of the same group [dE00]."""
    group = np.arange(len(light)) % FOLDS
    off = np.zeros(len(light))
    for number in range(FOLDS):
        out = group == number
        found = read_colours(fit_sensor(light, patches, np.where(out, 0.0, trust)), light[out], population)
        white = white_point("D65", 2)
        off[out] = delta_e_2000(xyz_to_lab(np.maximum(found.xyz, 0.0), white), xyz_to_lab(xyz[out], white))
    return off
