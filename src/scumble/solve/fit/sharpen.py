"""What painted proofs teach of a paint: its optics, sharpened by what was read over grounds and films that are known.

What is believed of every paint in a proof is its optics with their covariance; what else is not known - how thick the
hand laid each film, how it measured the parts, what a camera did to all readings of one photograph - is found beside
them, so that a film that came out too thick is not taken for another paint.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights
from scumble.errors import InputError
from scumble.paint.camera_doubt import CameraDoubt, own_covariance, shift_modes, weight_modes
from scumble.paint.film import Film
from scumble.paint.layering import Layering
from scumble.paint.look import depth_slopes, paint_shares, predict_reflectance
from scumble.paint.paint import Optics, Paint
from scumble.paint.proof import HAND_COATS, HAND_PARTS
from scumble.paint.reading import Direction, Quantity
from scumble.solve.fit.card_search import FLOOR, TAIL
from scumble.solve.fit.gauss_newton import Linearised
from scumble.solve.fit.prior import covariance_factor
from scumble.tables import BANDS

Floats = NDArray[np.float64]

DIRECTIONS: Final = 30
"""Directions kept of what is not known of each paint."""

STEPS: Final = 8
SETTLED: Final = 1e-3
"""Squared length of a step at which the search rests."""

LONGEST: Final = 1.0
"""Largest change of a log spectrum in one step."""

SURPRISE: Final = 9.0
"""Chi-square per number beyond which a proof contradicts what is known: three deviations in every number."""


@dataclass(frozen=True, slots=True)
class PaintedProof:
    """One reading of a proof.

    Parameters
    ----------
    layering : Layering
        What was painted, over the ground as it was read, with the paints as they are believed now.
    quantity : Quantity
        What the numbers are.
    values : array, shape (3,) or (36,)
        XYZ with the perfect diffuser at Y = 100, or reflectance 0-1.
    noise : float [1]
        Relative scatter of the reading.
    light, observer : str, int
        What XYZ are meant for.
    camera : CameraDoubt, optional
        What all readings of one photograph share.
    blind : tuple of three floats each
        Directions in XYZ about which the reading says little.
    together : str
        Readings with the same word here come from one photograph.
    """

    layering: Layering
    quantity: Quantity
    values: Floats
    noise: float
    light: str = "D65"
    observer: int = 2
    camera: CameraDoubt | None = None
    blind: tuple[Direction, ...] = ()
    together: str = ""

    @property
    def unit(self) -> float:
        """What the values are divided by."""
        return 100.0 if self.quantity is Quantity.XYZ else 1.0

    @property
    def weights(self) -> Floats:
        """From reflectance to the values over their unit, shape (36, channels)."""
        if self.quantity is Quantity.REFLECTANCE:
            return np.eye(BANDS)
        return np.asarray(spectral_weights(self.light, self.observer) / 100.0)


@dataclass(frozen=True, slots=True)
class Sharpened:
    """A paint after its proofs.

    Parameters
    ----------
    optics : Optics
        With what is left not to be known.
    surprises : tuple of float
        Chi-square per number of each proof against what was believed before; about 1 is expected.
    trusts : tuple of float
        What was left of each proof's weight, 0 to 1.
    """

    optics: Optics
    surprises: tuple[float, ...]
    trusts: tuple[float, ...]


def fit_sharper(key: str, proofs: Sequence[PaintedProof]) -> Sharpened:
    """Find what proofs teach of one paint.

    Parameters
    ----------
    key : str
        Of the paint; it is in every proof.
    proofs : sequence of PaintedProof
        At least one. The other paints in them may be off within their covariance too.

    Raises
    ------
    InputError
        If there is no proof with that paint, or its optics are taken as exact.

    Notes
    -----
    *Source:* Rodgers, Inverse Methods for Atmospheric Sounding (2000), equations 5.9 and 5.10 for the search; Lange,
    Little & Taylor, J. Am. Stat. Assoc. 84, 881 (1989), for the weight of a proof that does not fit.
    """
    search = _Search(key, proofs)
    x = np.zeros(search.count)
    trusts = np.ones(len(proofs))
    surprises = search.surprises(x)
    for _ in range(STEPS):
        misfits, residual, jacobian = search.linearise(x, trusts)
        linear = Linearised(jacobian)
        move = linear.target(residual, x) - x
        reach = min(1.0, LONGEST / max(search.largest(move), 1e-12))
        x = x + reach * move
        trusts = np.array(
            [
                (TAIL + size) / (TAIL + max(misfit, size))
                for misfit, size in zip(misfits, search.sizes, strict=True)
            ]
        )
        if reach == 1.0 and float(move @ move) < SETTLED:
            break
    _, _, jacobian = search.linearise(x, trusts)
    optics = search.optics_of(key, x, Linearised(jacobian).covariance())
    return Sharpened(optics, tuple(surprises), tuple(trusts.tolist()))


class _Search:
    """Unknowns of some proofs: directions of each paint, then each proof's hand, then each photograph's camera."""

    def __init__(self, key: str, proofs: Sequence[PaintedProof]) -> None:
        self.proofs = proofs
        self.paints = _paints_of(proofs)
        if key not in self.paints or not proofs:
            raise InputError("paint", key, "a paint that is in the proofs")
        if not self.paints[key].optics.covariance.any():
            allowed = "a paint whose optics were measured"
            raise InputError("paint", key, allowed, "This one is taken as exact, so no proof can sharpen it.")
        self.sizes = [len(proof.values) for proof in proofs]
        self._factors = {name: _factor(paint.optics) for name, paint in self.paints.items()}
        self._cameras = {
            proof.together or f"#{at}": _camera_size(proof)
            for at, proof in enumerate(proofs)
            if proof.camera is not None and proof.quantity is Quantity.XYZ
        }
        lengths = [
            *(factor.shape[1] for factor in self._factors.values()),
            *(_hand_size(proof.layering) for proof in proofs),
            *self._cameras.values(),
        ]
        ends = np.cumsum([0, *lengths])
        self._places = [slice(int(a), int(b)) for a, b in pairwise(ends)]
        self.count = int(ends[-1])

    def _of_paint(self, name: str) -> slice:
        return self._places[list(self._factors).index(name)]

    def _of_hand(self, at: int) -> slice:
        return self._places[len(self._factors) + at]

    def _of_camera(self, at: int) -> slice | None:
        name = self.proofs[at].together or f"#{at}"
        if name not in self._cameras:
            return None
        return self._places[len(self._factors) + len(self.proofs) + list(self._cameras).index(name)]

    def largest(self, move: Floats) -> float:
        """Largest change of a log spectrum."""
        changes = (factor @ move[self._of_paint(name)] for name, factor in self._factors.items())
        return max(float(np.max(np.abs(each), initial=0.0)) for each in changes)

    def paints_at(self, x: Floats) -> dict[str, Paint]:
        """The paints as they would be."""
        moved = {}
        for name, paint in self.paints.items():
            shift = np.exp(self._factors[name] @ x[self._of_paint(name)]).reshape(2, BANDS)
            optics = Optics(paint.optics.absorption * shift[0], paint.optics.scattering * shift[1])
            moved[name] = replace(paint, optics=optics)
        return moved

    def linearise(self, x: Floats, trusts: Floats) -> tuple[list[float], Floats, Floats]:
        """Misfit of each proof, and residual and Jacobian of all over their noise."""
        paints, misfits, residuals, rows = self.paints_at(x), [], [], []
        for at, proof in enumerate(self.proofs):
            predicted, jacobian = self._predict(at, x, paints)
            scale = np.linalg.inv(np.linalg.cholesky(_noise(proof)))
            residual = scale @ (proof.values / proof.unit - predicted)
            misfits.append(float(residual @ residual))
            root = float(np.sqrt(trusts[at]))
            residuals.append(root * residual)
            rows.append(root * scale @ jacobian)
        return misfits, np.concatenate(residuals), np.concatenate(rows)

    def surprises(self, x: Floats) -> list[float]:
        """Chi-square per number of each proof against what is believed at x."""
        found, paints = [], self.paints_at(x)
        for at, proof in enumerate(self.proofs):
            predicted, jacobian = self._predict(at, x, paints)
            missed = proof.values / proof.unit - predicted
            expected = _noise(proof) + jacobian @ jacobian.T
            found.append(float(missed @ np.linalg.solve(expected, missed)) / len(missed))
        return found

    def _predict(self, at: int, x: Floats, paints: Mapping[str, Paint]) -> tuple[Floats, Floats]:
        """What a proof would read, and how each unknown changes it; shapes (channels,), (channels, unknowns)."""
        proof, hand = self.proofs[at], self._of_hand(at)
        layering = _laid(proof.layering, paints, x[hand])
        reflectance, weights = predict_reflectance(layering), proof.weights
        jacobian = np.zeros((weights.shape[1], self.count))
        by_absorption, by_scattering = depth_slopes(layering)
        films = layering.films[::-1]
        for film, by_a, by_s in zip(films, by_absorption, by_scattering, strict=True):
            for paint, of_a, of_s in paint_shares(film):
                halves = np.split(self._factors[paint.key], 2)
                per_band = (by_a * of_a)[:, None] * halves[0] + (by_s * of_s)[:, None] * halves[1]
                jacobian[:, self._of_paint(paint.key)] += weights.T @ per_band
        jacobian[:, hand] = weights.T @ _hand_slopes(proof.layering, paints, x[hand])
        predicted = reflectance @ weights
        camera = self._of_camera(at)
        if camera is not None and proof.camera is not None:
            by_weight = weight_modes(proof.camera, light=proof.light, observer=proof.observer)
            of_weight = np.einsum("b,bck->ck", reflectance, by_weight)
            seen = np.asarray(proof.values) / 100.0
            of_shift = shift_modes(proof.camera, seen, light=proof.light, observer=proof.observer)
            jacobian[:, camera] = np.concatenate([of_weight, of_shift], axis=-1)
            predicted = predicted + jacobian[:, camera] @ x[camera]
        return np.asarray(predicted), jacobian

    def optics_of(self, name: str, x: Floats, spread: Floats) -> Optics:
        """A paint as the proofs leave it."""
        place, factor, before = self._of_paint(name), self._factors[name], self.paints[name].optics
        shift = np.exp(factor @ x[place]).reshape(2, BANDS)
        rest = before.covariance - factor @ factor.T
        covariance = rest + factor @ spread[place, place] @ factor.T
        return Optics(before.absorption * shift[0], before.scattering * shift[1], covariance)


def _paints_of(proofs: Sequence[PaintedProof]) -> dict[str, Paint]:
    return {paint.key: paint for proof in proofs for film in proof.layering.films for paint, _ in film.parts}


def _factor(optics: Optics) -> Floats:
    """Directions of a paint's uncertainty; none of one taken as exact."""
    if not optics.covariance.any():
        return np.zeros((2 * BANDS, 0))
    return covariance_factor(optics.covariance, rank=DIRECTIONS)


def _camera_size(proof: PaintedProof) -> int:
    doubt = proof.camera or CameraDoubt()
    return int(weight_modes(doubt).shape[-1] + shift_modes(doubt, np.zeros(3)).shape[-1])


def _noise(proof: PaintedProof) -> Floats:
    """Covariance of a reading's own error, over its unit."""
    values = np.asarray(proof.values) / proof.unit
    lost = np.array(proof.blind).reshape(-1, len(values)) / proof.unit
    own = own_covariance(proof.noise, proof.camera or CameraDoubt(), values)
    return np.asarray(own + FLOOR**2 * np.eye(len(values)) + lost.T @ lost)


def _hand_size(layering: Layering) -> int:
    return sum(1 + len(_amounts(film)) for film in layering.films)


def _amounts(film: Film) -> list[str | int]:
    """What was measured out for a film: parts by their place, medium and water by name; nothing if it is unmixed."""
    mixed: list[str | int] = [name for name in ("medium_parts", "water_parts") if getattr(film, name) > 0]
    return mixed + (list(range(len(film.parts))) if len(film.parts) > 1 else [])


def _laid(layering: Layering, paints: Mapping[str, Paint], hand: Floats) -> Layering:
    """The layering of these paints, as a hand laid it that slipped by so many deviations."""
    films, at = [], 0
    for film in layering.films:
        coats = film.coats * float(np.exp(HAND_COATS * hand[at]))
        amounts = {
            name: float(np.exp(HAND_PARTS * hand[at + 1 + place]))
            for place, name in enumerate(_amounts(film))
        }
        parts = tuple(
            (paints[paint.key], amount * amounts.get(place, 1.0))
            for place, (paint, amount) in enumerate(film.parts)
        )
        medium = film.medium_parts * amounts.get("medium_parts", 1.0)
        water = film.water_parts * amounts.get("water_parts", 1.0)
        films.append(Film(parts, coats, medium, water))
        at += 1 + len(amounts)
    return replace(layering, films=tuple(films))


def _hand_slopes(layering: Layering, paints: Mapping[str, Paint], hand: Floats) -> Floats:
    """Derivative of reflectance by each slip of the hand, shape (36, slips)."""
    step = 0.1
    slopes = []
    for at in range(len(hand)):
        away = np.zeros(len(hand))
        away[at] = step
        more, less = (predict_reflectance(_laid(layering, paints, hand + sign * away)) for sign in (1, -1))
        slopes.append((more - less) / (2.0 * step))
    return np.stack(slopes, axis=-1)
