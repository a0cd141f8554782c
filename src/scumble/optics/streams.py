"""The handful of directions in which light is followed through a film.

Half of the directions lie inside the cone that refraction can reach from the air, half beyond the critical
angle, because reflectance at the face jumps between the two. In the cone a Radau rule in the *outside* angle
puts a node exactly at normal incidence and makes the transmission of the face smooth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.optics.fresnel import diffuse_reflectance_inside, inside_reflectance

Floats = NDArray[np.float64]

STREAMS = 8
"""Directions per hemisphere used by the engine; see tests/laws for what more of them would change."""


@dataclass(frozen=True, slots=True)
class Streams:
    """Quadrature over one hemisphere inside the binder; the last node is normal incidence.

    Parameters
    ----------
    cosine, weight : array, shape (n,) [1]
        Nodes and weights for integrals over the cosine from 0 to 1.
    face_reflectance : array, shape (n,) [1]
        Reflectance of the air face seen from inside at each node.
    """

    cosine: Floats
    weight: Floats
    face_reflectance: Floats

    @property
    def flux(self) -> Floats:
        """Square root of each node's share of a diffuse flux; a unit vector."""
        return np.sqrt(2.0 * self.cosine * self.weight)


def radau_rule(count: int) -> tuple[Floats, Floats]:
    """Gauss-Radau nodes and weights on (0, 1] with a node at 1.

    Notes
    -----
    The free nodes are the roots of a Jacobi polynomial. *Source:* Davis & Rabinowitz, Methods of Numerical
    Integration (1984), section 2.7.1.

    Examples
    --------
    >>> nodes, weights = radau_rule(3)
    >>> float(nodes[-1]), round(float(weights @ nodes**4), 12)
    (1.0, 0.2)
    """
    k = np.arange(1.0, count)
    diagonal = -1.0 / ((2 * k - 1) * (2 * k + 1))
    off = np.sqrt(k[:-1] * (k[:-1] + 1)) / (2 * k[:-1] + 1)
    free = np.linalg.eigvalsh(np.diag(diagonal) + np.diag(off, 1) + np.diag(off, -1))
    nodes = np.append(free, 1.0)
    moments = np.zeros(count)
    moments[0] = 2.0
    weights = np.linalg.solve(np.polynomial.legendre.legvander(nodes, count - 1).T, moments)
    return (nodes + 1.0) / 2.0, np.asarray(weights / 2.0, dtype=np.float64)


def hemisphere_streams(index: float, count: int = STREAMS) -> Streams:
    """Directions for a binder of the given refractive index.

    Parameters
    ----------
    index : float [1]
        Refractive index of the binder, above 1.
    count : int
        Directions in the hemisphere; half of them within the critical cone.

    Notes
    -----
    The face's transmission at the oblique cone nodes is scaled by a common factor near 1 so that diffuse light
    is reflected by exactly the analytic value; with 8 directions this removes most of the remaining error.
    """
    in_cone = count // 2
    outside, outside_weight = radau_rule(in_cone)
    cone = np.sqrt(1.0 - (1.0 - outside**2) / index**2)
    cone_weight = outside * outside_weight / (index**2 * cone)
    critical = np.sqrt(1.0 - 1.0 / index**2)
    node, node_weight = np.polynomial.legendre.leggauss(count - in_cone)
    trapped = critical * (node + 1.0) / 2.0
    transmission = 1.0 - inside_reflectance(cone, index)
    share = 2.0 * cone * cone_weight * transmission
    wanted = 1.0 - diffuse_reflectance_inside(index)
    transmission[:-1] *= (wanted - share[-1]) / share[:-1].sum()
    return Streams(
        cosine=np.concatenate([trapped, cone]),
        weight=np.concatenate([critical * node_weight / 2.0, cone_weight]),
        face_reflectance=np.concatenate([np.ones(count - in_cone), 1.0 - transmission]),
    )
