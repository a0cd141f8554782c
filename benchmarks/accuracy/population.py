"""Paints invented at random, in two families that share nothing with the estimator's assumptions."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.optics.mie import per_volume
from scumble.paint.paint import Optics
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]


def edges_and_bands(rng: np.random.Generator) -> Optics:
    """A paint whose absorption is an edge or a few bands over a floor, with power-law scattering."""
    strength = 10 ** rng.uniform(-0.3, 1.5)
    absorption = strength * 10 ** rng.uniform(-3.0, -1.2) * (WAVELENGTH_NM / 550.0) ** rng.uniform(-2, 0.5)
    has_edge = rng.random() < 0.45
    if has_edge:
        edge, width = rng.uniform(430.0, 640.0), rng.uniform(6.0, 25.0)
        absorption = absorption + strength / (1.0 + np.exp((WAVELENGTH_NM - edge) / width))
    for _ in range(rng.integers(0, 3) if has_edge else rng.integers(1, 4)):
        wavenumber, centre = 1e4 / WAVELENGTH_NM * 1e3, 1e7 / rng.uniform(390.0, 720.0)
        share = rng.uniform(0.15, 1.0)
        absorption = absorption + strength * share * np.exp(
            -0.5 * ((wavenumber - centre) / rng.uniform(500.0, 2000.0)) ** 2
        )
    level, exponent = 10 ** rng.uniform(-2.0, 1.0), rng.uniform(0.0, 2.5)
    return Optics(absorption, level * (WAVELENGTH_NM / 550.0) ** -exponent)


def mie_pigment(rng: np.random.Generator) -> Optics:
    """A paint of spheres with a causal index of a few oscillators and a log-normal size, by Mie theory."""
    index = _oscillator_index(rng)
    median, spread = 10 ** rng.uniform(-1.6, -0.3), rng.uniform(1.25, 1.7)
    diameters = median * spread ** np.linspace(-2.0, 2.0, 9)
    volume = np.exp(-0.5 * np.linspace(-2.0, 2.0, 9) ** 2)
    absorption, scattering = per_volume(diameters[:, None], WAVELENGTH_NM / 1000.0, index)
    pair = np.einsum("d,pdb->pb", volume / volume.sum(), np.stack([absorption, scattering]))
    wanted = 10 ** rng.uniform(0.0, 1.4)
    pair = pair * wanted / max(pair[0].max(), 0.3 * pair[1].max())
    return Optics(pair[0] + 1e-3, pair[1] + 1e-3)


def _oscillator_index(rng: np.random.Generator) -> NDArray[np.complex128]:
    """Complex index n - ik in the bands, from Lorentz oscillators in the ultraviolet and the visible."""
    energy = 1239.84 / WAVELENGTH_NM
    permittivity = np.full(energy.shape, rng.uniform(1.7, 2.6), dtype=np.complex128)
    permittivity += rng.uniform(0.2, 2.5) * 36.0 / (36.0 - energy**2)
    for _ in range(rng.integers(1, 4)):
        centre, damping = 1239.84 / rng.uniform(370.0, 700.0), rng.uniform(0.12, 0.45)
        force = 10 ** rng.uniform(-2.3, -0.5)
        permittivity += force * centre**2 / (centre**2 - energy**2 - 1j * damping * energy)
    return np.conj(np.sqrt(permittivity))


def white_paint(rng: np.random.Generator) -> Optics:
    """A titanium white: strong scattering, hardly any absorption but for its edge in the violet."""
    level, exponent = rng.uniform(9.0, 18.0), rng.uniform(0.2, 0.9)
    absorption = 0.01 * rng.uniform(0.5, 2.0) + 2.0 / (1.0 + np.exp((WAVELENGTH_NM - 392.0) / 5.0))
    return Optics(absorption, level * (WAVELENGTH_NM / 550.0) ** -exponent)


FAMILIES = {"edges and bands": edges_and_bands, "Mie pigments": mie_pigment}
