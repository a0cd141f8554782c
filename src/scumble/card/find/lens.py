"""How a lens bends straight lines, by one number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Lens:
    """Radial distortion about the middle of a picture.

    Parameters
    ----------
    middle_px : array, shape (2,) [px]
        What stays where it is.
    reach_px : float [px]
        From there to a corner of the picture.
    bend : float [1]
        Share by which a corner of the picture lies too far out (pincushion, below 0) or too far in (barrel, above 0).

    Notes
    -----
    ``straight = bent / (1 + bend r^2)`` with r the bent distance over the reach, so that both ways have a closed form.
    *Source:* Fitzgibbon, Simultaneous linear estimation of multiple view geometry and lens distortion, CVPR 2001,
    doi:10.1109/CVPR.2001.990465 (the division model).
    """

    middle_px: Floats
    reach_px: float
    bend: float = 0.0

    def straighten(self, points_px: ArrayLike) -> Floats:
        """Where points of the picture would lie behind a perfect lens, shape (..., 2)."""
        points = np.asarray(points_px, dtype=np.float64)
        if self.bend == 0.0:
            return points
        off = (points - self.middle_px) / self.reach_px
        square = np.sum(off**2, axis=-1, keepdims=True)
        return np.asarray(self.middle_px + self.reach_px * off / (1.0 + self.bend * square))

    def curve(self, points_px: ArrayLike) -> Floats:
        """Where points behind a perfect lens lie in the picture, shape (..., 2).

        Examples
        --------
        >>> lens = Lens(np.array([500.0, 500.0]), 700.0, 0.02)
        >>> lens.straighten(lens.curve([[10.0, 20.0]])).round(6).tolist()
        [[10.0, 20.0]]
        """
        points = np.asarray(points_px, dtype=np.float64)
        if self.bend == 0.0:
            return points
        off = (points - self.middle_px) / self.reach_px
        square = np.sum(off**2, axis=-1, keepdims=True)
        # Beyond the fold of a strong barrel nothing is seen; there the root is held at 0.
        root = np.sqrt(np.maximum(1.0 - 4.0 * self.bend * square, 0.0))
        return np.asarray(self.middle_px + self.reach_px * off * 2.0 / (1.0 + root))


def lens_of_picture(size_px: tuple[int, int], bend: float = 0.0) -> Lens:
    """A lens in front of the middle of a picture of some width and height."""
    size = np.array(size_px, dtype=np.float64)
    return Lens((size - 1.0) / 2.0, float(np.hypot(*size) / 2.0), bend)
