"""How far a camera's channels lie from the eye's: cameras drawn at random, and the directions in which they differ.

A camera weighs a spectrum by three sensitivities under some lamp and leads the result to XYZ by a white balance and
a matrix. What comes out is again three weighted sums of the reflectance, but not those of the observer. Which camera
and which lamp took a picture is not known; how such weights usually differ from the observer's is, and an estimator
that knows spectra can look for the difference along those directions.

The draws are our own: bells of the width of dyed silicon with ripples and leaks of up to some two per cent, daylight
and lamps by Planck's law and light-emitting diodes with a blue peak and a phosphor, matrices fitted to smooth random
reflectances under daylight and under lamplight, as makers do (*common practice, no source*). No measured camera is
among them.

``python -m benchmarks.cameras`` writes the table that :func:`scumble.colour.sensor.sensor_modes` reads.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour.spectrum import spectral_weights
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

TABLE: Final = Path(__file__).parents[1] / "src" / "scumble" / "tables" / "camera_modes.csv"

COUNT: Final = 16
"""Directions that are kept."""

DRAWS: Final = 400
SEED: Final = 36

_DAYLIGHT_K: Final = 6500.0
_LAMP_K: Final = 2856.0
_HC_OVER_K: Final = 1.4388e-2
"""Second radiation constant [m K], *source:* CODATA 2018, rounded."""

_EXACT_WHITE: Final = 1000.0
"""Weight of the white in the fit of a matrix: it is kept all but exactly."""


def camera_weights(seed: int) -> Floats:
    """Weights by which a camera drawn at random leads reflectance to XYZ, white Y = 1, shape (36, 3).

    Parameters
    ----------
    seed : int
        Which camera and lamp.

    Examples
    --------
    >>> bool(np.allclose(camera_weights(1).sum(axis=0), spectral_weights("D65", 2).sum(axis=0) / 100, rtol=1e-4))
    True
    """
    rng = np.random.default_rng([SEED, seed])
    sensitivity, lamp, training = _sensitivity(rng), _lamp(rng), _reflectances(rng)
    cold, warm = (_planck(kelvin) for kelvin in (_DAYLIGHT_K, _LAMP_K))
    by_day, by_lamp = (_matrix(_balanced(sensitivity, light), training) for light in (cold, warm))
    warmth, coldest, warmest = (_red_over_blue(sensitivity, light) for light in (lamp, cold, warm))
    share = float(np.clip((warmth - coldest) / (warmest - coldest), 0.0, 1.0))
    return np.asarray(_balanced(sensitivity, lamp) @ ((1.0 - share) * by_day + share * by_lamp))


def draw_modes(count: int = COUNT) -> Floats:
    """Directions in which the weights of cameras differ from the observer's, shape (36, 3, count).

    Parameters
    ----------
    count : int
        How many; those that move colours most come first.

    Notes
    -----
    Principal components of the draws, measured by the change of L*, a* and b* they make to smooth reflectances.
    """
    observer = spectral_weights("D65", 2) / 100.0
    off = np.array([(camera_weights(seed) - observer).ravel() for seed in range(DRAWS)])
    to_colour = _to_colour(observer)
    left, size, _ = np.linalg.svd(off @ to_colour.T / np.sqrt(DRAWS), full_matrices=False)
    # Each mode as the mixture of draws that makes it, so that its spectrum is kept and not only its effect.
    modes = (off.T @ left[:, :count]) / np.sqrt(DRAWS)
    return np.asarray(modes.reshape(BANDS, 3, min(count, size.size)))


def table_text(modes: Floats) -> str:
    """The modes as the table that the estimator reads."""
    names = [f"mode_{number}" for number in range(1, modes.shape[2] + 1)]
    units = "; ".join(["wavelength_nm nm", "channel text", *(f"{name} 1" for name in names)])
    lines = [
        "# title: Directions in which the weights of cameras differ from those of the 2 degree observer under D65",
        f"# source: Scumble's own: {DRAWS} cameras drawn at random, none of them measured; "
        "see benchmarks/cameras.py for what they are drawn from",
        "# read from: python -m benchmarks.cameras",
        "# licence: MIT",
        f"# units: {units}",
        ",".join(["wavelength_nm", "channel", *names]),
    ]
    for band, wavelength in enumerate(WAVELENGTH_NM):
        for at, channel in enumerate("XYZ"):
            numbers = (f"{value:.5e}" for value in modes[band, at])
            lines.append(",".join([f"{wavelength:g}", channel, *numbers]))
    return "\n".join(lines) + "\n"


def _to_colour(observer: Floats) -> Floats:
    """Linear map from a change of the weights, flattened, to changes of cube roots of XYZ of many reflectances."""
    seen = _reflectances(np.random.default_rng([SEED, DRAWS]), 60)
    xyz = seen @ observer
    slope = (xyz / observer.sum(axis=0) + 0.01) ** (-2.0 / 3.0)
    rows = np.einsum("rb,rc,cd->rcbd", seen, slope, np.eye(3))
    return np.asarray(rows.reshape(-1, 3 * BANDS))


def _ripples(rng: np.random.Generator, length_nm: float, deviation: float, count: int) -> Floats:
    """Smooth random curves over wavelength, shape (36, count)."""
    return np.asarray(deviation * _smooth_factor(length_nm) @ rng.standard_normal((BANDS, count)))


@lru_cache(maxsize=8)
def _smooth_factor(length_nm: float) -> Floats:
    """Factor of the covariance of a smooth curve of deviation 1, shape (36, 36)."""
    away = (WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / length_nm
    values, vectors = np.linalg.eigh(np.exp(-0.5 * away**2))
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def _sensitivity(rng: np.random.Generator) -> Floats:
    """Red, green and blue sensitivity between a cut in the violet and one in the far red, shape (36, 3)."""
    centre = rng.normal((600.0, 537.0, 460.0), (8.0, 6.0, 8.0))
    width = rng.uniform((25.0, 32.0, 22.0), (42.0, 45.0, 34.0))
    bells = np.exp(-(((WAVELENGTH_NM[:, None] - centre) / width) ** 2) / 2.0)
    leaks = rng.uniform(0.0, 0.02, 3) * np.exp(_ripples(rng, 40.0, 0.7, 3))
    red_end = 1.0 / (1.0 + np.exp((WAVELENGTH_NM - rng.uniform(660.0, 710.0)) / 8.0))
    violet_end = 1.0 / (1.0 + np.exp((rng.uniform(390.0, 415.0) - WAVELENGTH_NM) / 6.0))
    return np.asarray(
        (bells * np.exp(_ripples(rng, 35.0, 0.35, 3)) + leaks) * (red_end * violet_end)[:, None]
    )


def _lamp(rng: np.random.Generator) -> Floats:
    """Relative power of a daylight, a glowing lamp or a light-emitting diode, shape (36,)."""
    kind = int(rng.integers(3))
    if kind < 2:
        return _planck(float(rng.uniform(4500.0, 7500.0) if kind else rng.uniform(2500.0, 3400.0)))
    peak, middle, reach = rng.uniform((440.0, 550.0, 45.0), (462.0, 610.0, 65.0))
    blue = rng.uniform(0.3, 1.2) * np.exp(-(((WAVELENGTH_NM - peak) / rng.uniform(8.0, 13.0)) ** 2) / 2.0)
    side = np.where(middle > WAVELENGTH_NM, 0.8 * reach, reach)
    return np.asarray(blue + np.exp(-(((WAVELENGTH_NM - middle) / side) ** 2) / 2.0))


def _planck(kelvin: float) -> Floats:
    """Relative power of a black body."""
    metres = WAVELENGTH_NM * 1e-9
    return np.asarray((metres / 5.5e-7) ** -5.0 / np.expm1(_HC_OVER_K / (metres * kelvin)))


def _reflectances(rng: np.random.Generator, count: int = 40) -> Floats:
    """Smooth reflectances of many colours, shape (count, 36)."""
    level = rng.normal(-0.8, 1.2, count)
    return np.asarray(1.0 / (1.0 + np.exp(-(_ripples(rng, 50.0, 1.3, count) + level)))).T


def _balanced(sensitivity: Floats, light: Floats) -> Floats:
    """Weights to raw channels that make a perfect diffuser 1, 1, 1."""
    raw = sensitivity * light[:, None]
    return np.asarray(raw / raw.sum(axis=0))


def _red_over_blue(sensitivity: Floats, light: Floats) -> float:
    red, _, blue = (sensitivity * light[:, None]).sum(axis=0)
    return float(np.log(red / blue))


def _matrix(raw_weights: Floats, training: Floats) -> Floats:
    """Raw channels to XYZ by least squares in relative terms, white exact, shape (3, 3)."""
    observer = spectral_weights("D65", 2) / 100.0
    wanted = training @ observer
    pull = 1.0 / (wanted[:, 1:2] + 0.05)
    raw = np.vstack([training @ raw_weights * pull, _EXACT_WHITE * np.ones((1, 3))])
    target = np.vstack([wanted * pull, _EXACT_WHITE * observer.sum(axis=0)])
    return np.asarray(np.linalg.solve(raw.T @ raw, raw.T @ target))


if __name__ == "__main__":
    TABLE.write_text(table_text(draw_modes()), encoding="utf-8")
    print(f"wrote {TABLE.name}")
