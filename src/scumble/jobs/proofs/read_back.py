"""Read a painted proof back: numbers that are typed, beside what its promise comes to over the ground that was read."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    LIGHTS,
    OBSERVERS,
    lab_to_xyz,
    reflectance_to_xyz,
    smoothest_reflectance,
    spectral_weights,
    white_point,
    xyz_to_lab,
    xyz_to_lab_jacobian,
)
from scumble.errors import InputError
from scumble.jobs.proofs.promise import over_ground, plain_matrix, promise_of, promised_layering
from scumble.paint.camera_doubt import CameraDoubt, own_covariance
from scumble.paint.reading import Quantity
from scumble.store.proof import LabPromise, Proof, ProofReading, ProofSource
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

TYPED_DOUBT: Final = 0.5
"""The same of numbers that are typed, unless the person says otherwise: an instrument of the pocket kind."""

DARKEST: Final = 1e-3
"""Share of white at which a reading of nothing is taken."""


def read_typed(
    shelf: Shelf,
    key: str,
    lab: str,
    *,
    ground: str = "",
    light: str = "",
    observer: int | None = None,
    doubt: float = TYPED_DOUBT,
) -> ProofReading:
    """Take down the colour of a painted proof.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Of the proof.
    lab : str
        L*, a*, b*.
    ground : str
        The same of the bare ground beside it, where it was measured too.
    light, observer : str, int
        What they hold for; those of the promise when left out.
    doubt : float
        Standard deviation of each number.

    Raises
    ------
    InputError, StoreError
        If something cannot be used, or the shelf cannot be written.
    """
    proof = shelf.proofs.load(key).proof
    light, observer = light or proof.light, observer or proof.observer
    check_light(light, observer)
    if not (np.isfinite(doubt) and 0.0 < doubt <= 20.0):
        raise InputError("doubt", doubt, "a number above 0, at most 20")
    numbers = parse_lab(lab, "lab")
    white = white_point(light, observer)
    bare = None if not ground.strip() else lab_to_xyz(parse_lab(ground, "ground"), white)
    reading = reading_of(
        shelf,
        proof,
        ProofSource.TYPED,
        lab_to_xyz(numbers, white),
        ground=bare,
        light=light,
        observer=observer,
        doubt=doubt,
        noise=0.0,
    )
    shelf.proofs.save_readings({proof.key: reading})
    return reading


def parse_lab(text: str, field: str) -> Floats:
    """Three numbers L*, a*, b* as a person types them.

    Raises
    ------
    InputError
        If they are not, or no surface has that colour.

    Examples
    --------
    >>> parse_lab("L* 62.5, a* −8, b* 24", "lab").tolist()
    [62.5, -8.0, 24.0]
    """
    plain = re.sub(r"(?i)(?<![a-z])[lab]\s*\*\s*=?|CIE\s*Lab", " ", text.replace("−", "-"))
    words = [word for word in re.split(r"[\s,;/]+", plain) if word]
    try:
        numbers = np.array([float(word) for word in words])
    except ValueError:
        numbers = np.zeros(0)
    fine = numbers.shape == (3,) and np.all(np.isfinite(numbers))
    if not (fine and 0.0 <= numbers[0] <= 100.0 and np.all(np.abs(numbers[1:]) <= 200.0)):
        allowed = "three numbers: L* from 0 to 100, a* and b* from -200 to 200"
        raise InputError(field, text, allowed)
    return numbers


def check_light(light: str, observer: int) -> None:
    """Refuse a light or observer that is not known.

    Raises
    ------
    InputError
        Naming which.
    """
    if light not in LIGHTS:
        raise InputError("light", light, ", ".join(LIGHTS))
    if observer not in OBSERVERS:
        raise InputError("observer", observer, " or ".join(map(str, OBSERVERS)))


def reading_of(
    shelf: Shelf,
    proof: Proof,
    source: ProofSource,
    values: Floats,
    *,
    ground: Floats | None,
    doubt: float,
    noise: float,
    quantity: Quantity = Quantity.XYZ,
    light: str = "D65",
    observer: int = 2,
    said: Sequence[str] = (),
) -> ProofReading:
    """A reading without a camera, beside what its promise comes to over the ground that was read.

    Parameters
    ----------
    shelf : Shelf
        Open.
    proof : Proof
        That was read.
    source : ProofSource
        By what.
    values, ground : array, shape (3,) or (36,)
        Of the swatch, and of the bare ground where it was read.
    doubt : float
        Standard deviation of each of L*, a*, b* beside the relative scatter.
    noise : float [1]
        Relative scatter.
    quantity, light, observer
        What the values are.
    said : sequence of str
        What has to be said of it.
    """
    white = white_point(light, observer)
    seen = reflectance_to_xyz(values, light=light, observer=observer) if len(values) > 3 else values
    xyz = np.maximum(seen, DARKEST * white)
    slope = xyz_to_lab_jacobian(xyz, white)
    doubted = doubt * np.linalg.inv(slope)
    own = _own_error(values, noise, light, observer)
    error = slope @ own @ slope.T + doubt**2 * np.eye(3)
    columns = [(float(x), float(y), float(z)) for x, y, z in doubted.T]
    return ProofReading(
        source,
        _triple(xyz_to_lab(xyz, white)),
        plain_matrix(error),
        expected_of(shelf, proof, ground, light=light, observer=observer),
        quantity,
        values if quantity is Quantity.REFLECTANCE else xyz,
        ground,
        light,
        observer,
        noise,
        blind=tuple(columns) if quantity is Quantity.XYZ else (),
        said=tuple(said),
    )


def _own_error(values: Floats, noise: float, light: str, observer: int) -> Floats:
    """Covariance of XYZ from the relative scatter of the values."""
    own = own_covariance(noise, CameraDoubt(), values)
    if len(values) == 3:
        return own
    weights = spectral_weights(light, observer)
    return np.asarray(weights.T @ own @ weights)


def expected_of(
    shelf: Shelf, proof: Proof, ground: Floats | None, *, light: str, observer: int
) -> LabPromise:
    """What the promise of a proof comes to under a light and over a ground that was read.

    Where a paint is no longer on the shelf as it was, the promise stands as it was written down.
    """
    if ground is None and (light, observer) == (proof.light, proof.observer):
        return proof.promise
    try:
        layering = promised_layering(shelf, proof)
    except InputError:
        return proof.promise
    if ground is not None:
        layering = over_ground(layering, ground_spectrum(ground, light, observer))
    return promise_of(layering, light=light, observer=observer)


def ground_spectrum(ground: Floats, light: str, observer: int) -> Floats:
    """Reflectance of a bare ground, the smoothest one where only its colour was read."""
    if len(ground) > 3:
        return ground
    return np.asarray(smoothest_reflectance(ground, light=light, observer=observer))


def _triple(values: Floats) -> tuple[float, float, float]:
    first, second, third = np.asarray(values).tolist()
    return first, second, third
