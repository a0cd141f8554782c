"""Why particle size decides covering power: light scattered and absorbed by a single sphere.

Pigment particles scatter most per volume when they are about half a wavelength across in the binder: smaller
ones are transparent, larger ones waste their insides. Spheres, far apart; above some 15 % of the volume crowding
lowers scattering.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Efficiencies:
    """Cross-sections of a sphere per geometric cross-section, and its mean scattering cosine.

    Parameters
    ----------
    extinction, scattering : array, any shape [1]
        Efficiencies Q.
    asymmetry : array, same shape [1]
        Mean cosine of the scattering angle.
    """

    extinction: Floats
    scattering: Floats
    asymmetry: Floats


def sphere_efficiencies(size_parameter: ArrayLike, relative_index: ArrayLike) -> Efficiencies:
    """Efficiencies of a homogeneous sphere.

    Parameters
    ----------
    size_parameter : array, any shape [1]
        Circumference over the wavelength in the medium, above 0.
    relative_index : complex array, broadcastable [1]
        Index of the particle over that of the medium; absorption as a negative imaginary part (n - ik).

    Notes
    -----
    *Source:* Bohren & Huffman, Absorption and Scattering of Light by Small Particles (1983), equations 4.53,
    4.61, 4.62 and 4.88, with the logarithmic derivative by downward recurrence; series length after Wiscombe,
    Appl. Opt. 19, 1505 (1980).

    Examples
    --------
    >>> q = sphere_efficiencies(5.21283, 1.55)
    >>> round(float(q.extinction), 4), round(float(q.asymmetry), 4)
    (3.1054, 0.6331)
    """
    x, m = np.broadcast_arrays(
        np.asarray(size_parameter, dtype=np.float64), np.asarray(relative_index, dtype=np.complex128)
    )
    m = np.conj(m)
    terms = int(np.max(x + 4.05 * np.cbrt(x) + 2)) + 1
    derivative = _log_derivatives(m * x, terms)
    extinction, scattering, asymmetry = (np.zeros(x.shape) for _ in range(3))
    psi_before, psi = np.cos(x), np.sin(x)
    chi_before, chi = -np.sin(x), np.cos(x)
    a_before = b_before = np.zeros(x.shape, dtype=np.complex128)
    for n in range(1, terms + 1):
        psi_before, psi = psi, (2 * n - 1) * psi / x - psi_before
        chi_before, chi = chi, (2 * n - 1) * chi / x - chi_before
        a, b = _coefficients(derivative[n], m, x, n, psi, psi_before, chi, chi_before)
        keep = n <= x + 4.05 * np.cbrt(x) + 2
        a, b = np.where(keep, a, 0.0), np.where(keep, b, 0.0)
        extinction += (2 * n + 1) * (a + b).real
        scattering += (2 * n + 1) * (np.abs(a) ** 2 + np.abs(b) ** 2)
        asymmetry += (2 * n + 1) / (n * (n + 1)) * (a * b.conj()).real
        if n > 1:
            between = (a_before * a.conj() + b_before * b.conj()).real
            asymmetry += (n - 1) * (n + 1) / n * between
        a_before, b_before = a, b
    return Efficiencies(2 * extinction / x**2, 2 * scattering / x**2, 2 * asymmetry / scattering)


def _log_derivatives(z: NDArray[np.complex128], terms: int) -> NDArray[np.complex128]:
    """Logarithmic derivatives of the Riccati-Bessel function, orders 0 to ``terms`` on the first axis."""
    start = int(max(terms, np.max(np.abs(z)))) + 60
    out = np.zeros((terms + 1, *z.shape), dtype=np.complex128)
    current = np.zeros(z.shape, dtype=np.complex128)
    for n in range(start, 0, -1):
        current = n / z - 1.0 / (current + n / z)
        if n - 1 <= terms:
            out[n - 1] = current
    return out


def _coefficients(
    derivative: NDArray[np.complex128],
    m: NDArray[np.complex128],
    x: Floats,
    n: int,
    psi: Floats,
    psi_before: Floats,
    chi: Floats,
    chi_before: Floats,
) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """Electric and magnetic coefficients of order n (Bohren & Huffman 4.88)."""
    xi, xi_before = psi - 1j * chi, psi_before - 1j * chi_before
    electric = derivative / m + n / x
    magnetic = derivative * m + n / x
    return (
        (electric * psi - psi_before) / (electric * xi - xi_before),
        (magnetic * psi - psi_before) / (magnetic * xi - xi_before),
    )


def per_volume(
    diameter_um: ArrayLike, wavelength_um: ArrayLike, particle_index: ArrayLike, *, medium_index: float = 1.5
) -> tuple[Floats, Floats]:
    """Absorption and reduced scattering per micrometre for each unit of particle volume.

    Parameters
    ----------
    diameter_um, wavelength_um : array, broadcastable [um]
        Sphere diameter and wavelength in vacuum.
    particle_index : complex array, broadcastable [1]
        Refractive index n - ik of the pigment.
    medium_index : float [1]
        Index of the binder.

    Returns
    -------
    absorption, reduced_scattering : array [1/um]
        At a pigment volume fraction c multiply both by c.
    """
    diameter = np.asarray(diameter_um, dtype=np.float64)
    size = np.pi * diameter * medium_index / np.asarray(wavelength_um, dtype=np.float64)
    q = sphere_efficiencies(size, np.asarray(particle_index) / medium_index)
    per_um = 1.5 / diameter
    return (q.extinction - q.scattering) * per_um, q.scattering * (1.0 - q.asymmetry) * per_um
