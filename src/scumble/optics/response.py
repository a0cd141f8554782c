"""Four numbers say all that a pile of films does above a diffuse ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.optics.fresnel import diffuse_reflectance_inside, mirror_reflectance

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Response:
    """What films with one air face on top do to light, in optical contact with what lies below.

    Parameters
    ----------
    reflected : array, shape (...) [1]
        Light from the normal that comes back diffusely though the ground is black; the face's mirror
        reflection is left out.
    inward : array, shape (...) [1]
        Light from the normal that reaches the ground.
    outward : array, shape (...) [1]
        Diffuse light from the ground that gets out into the air.
    returned : array, shape (...) [1]
        Diffuse light from the ground that falls back on it.
    """

    reflected: Floats
    inward: Floats
    outward: Floats
    returned: Floats

    def over(self, ground: ArrayLike) -> Floats:
        """Reflectance over a diffuse ground.

        Parameters
        ----------
        ground : array, broadcastable to the response [1]
            Reflectance of the ground seen from inside the binder, 0-1.
        """
        below = np.asarray(ground, dtype=np.float64)
        return self.reflected + self.inward * below * self.outward / (1.0 - self.returned * below)

    def slope_over(self, slope: Response, ground: ArrayLike) -> Floats:
        """Derivative of :meth:`over` when the four numbers change by ``slope``."""
        below = np.asarray(ground, dtype=np.float64)
        bounce = 1.0 - self.returned * below
        through = slope.inward * self.outward + self.inward * slope.outward
        trapped = self.inward * self.outward * below * slope.returned / bounce
        return slope.reflected + below * (through + trapped) / bounce

    def ground_slope(self, ground: ArrayLike) -> Floats:
        """Derivative of :meth:`over` with respect to the ground's reflectance."""
        bounce = 1.0 - self.returned * np.asarray(ground, dtype=np.float64)
        return self.inward * self.outward / bounce**2


def bare_face(index: float) -> Response:
    """Response of a clear face without any film: the bare-surface relation.

    Examples
    --------
    >>> round(float(bare_face(1.5).over(1.0)), 6)
    0.96
    """
    returned = diffuse_reflectance_inside(index)
    return Response(
        reflected=np.asarray(0.0),
        inward=np.asarray(1.0 - mirror_reflectance(index)),
        outward=np.asarray(1.0 - returned),
        returned=np.asarray(returned),
    )


def take_off_face(shown: ArrayLike, index: float) -> Floats:
    """Reflectance under a smooth face, from what the surface shows without its mirror reflection.

    Parameters
    ----------
    shown : array, any shape [1]
        Reflectance as seen, mirror reflection excluded, 0-1.
    index : float [1]
        Refractive index of the binder.

    Notes
    -----
    The inverse of :func:`bare_face`, Saunderson's correction for the geometry that excludes the mirror
    reflection. *Source:* Saunderson, J. Opt. Soc. Am. 32, 727 (1942).

    Examples
    --------
    >>> round(float(take_off_face(bare_face(1.5).over(0.3), 1.5)), 12)
    0.3
    """
    seen = np.asarray(shown, dtype=np.float64)
    face = bare_face(index)
    return np.minimum(seen / (face.inward * face.outward + face.returned * seen), 1.0)
