"""Films over a painted picture: every colour of it at once."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from scumble.colour import linear_to_srgb, linear_weights
from scumble.optics.face import SHARE_SCATTERED, Face
from scumble.optics.film import film_response
from scumble.optics.fresnel import mirror_reflectance
from scumble.optics.response import Response, bare_face
from scumble.optics.stack import stack_response
from scumble.paint.layering import Layering
from scumble.paint.look import film_depths
from scumble.tables import BANDS

Floats = NDArray[np.float64]


class Surface(StrEnum):
    """What the face of a picture is like, which a film over it removes."""

    GLOSSY = "glossy"
    """Painted in a glossy binder or varnished; its shine was kept out of the photograph."""
    MATTE = "matte"
    """Painted and matte: a part of the mirror reflection, always there, pales every colour."""
    BARE = "bare"
    """Paper, drawing or raw priming: no face of its own."""


class _Crossing(NamedTuple):
    """From a picture as seen to the same with films: ``added + reflected + through S / (passed + (kept - returned) S)``
    where S is what is seen less ``taken``, at most ``brightest``."""

    taken: float
    brightest: float
    passed: float
    kept: float
    added: float
    reflected: Floats
    through: Floats
    returned: Floats


NOTHING_LAID = _Crossing(0.0, 1.0, 1.0, 0.0, 0.0, np.zeros(BANDS), np.ones(BANDS), np.zeros(BANDS))


def predict_over_picture(
    layering: Layering, shown: Floats, *, surface: Surface, light: str = "D65"
) -> tuple[Floats, NDArray[np.bool_]]:
    """Screen colours of a picture once films lie over it.

    Parameters
    ----------
    layering : Layering
        The films; their ground does not matter.
    shown : array, shape (colours, 36) [1]
        Reflectance of the picture as it is seen now.
    surface : Surface
        What its face is like.
    light : str
        ``D65``, ``D50``, ``A`` or ``LED-B3``.

    Returns
    -------
    rgb : array, shape (colours, 3) [1]
        sRGB, 0-1, 2 degrees. Without films the picture as it is.
    in_gamut : array of bool, shape (colours,)
        Whether a screen can show it.

    Notes
    -----
    A film is in optical contact with the paint below it, so the face between paint and air is taken off first:
    seen from inside the binder a painted ground is lighter than from outside. *Source:* Saunderson, J. Opt. Soc.
    Am. 32, 727 (1942), as :func:`scumble.optics.response.take_off_face`.
    """
    crossing = _crossing(layering, surface) if layering.films else NOTHING_LAID
    linear = np.empty((len(shown), 3))
    _cross(np.ascontiguousarray(shown), crossing, np.ascontiguousarray(linear_weights(light).T), linear)
    return linear_to_srgb(linear)


def _crossing(layering: Layering, surface: Surface) -> _Crossing:
    response, index = _response(layering), layering.index
    mirror = mirror_reflectance(index)
    taken, passed, kept = 0.0, 1.0, 0.0
    if surface is not Surface.BARE:
        face = bare_face(index)
        passed, kept = float(face.inward * face.outward), float(face.returned)
    if surface is Surface.MATTE:
        taken = SHARE_SCATTERED[Face.MATTE] * mirror
    return _Crossing(
        taken=taken,
        # Nothing under a face is whiter than the perfect diffuser.
        brightest=passed / (1.0 - kept),
        passed=passed,
        kept=kept,
        added=SHARE_SCATTERED[layering.face] * mirror,
        reflected=response.reflected,
        through=response.inward * response.outward,
        returned=response.returned,
    )


def _response(layering: Layering) -> Response:
    """Of all films together, in every band."""
    absorption, scattering = film_depths(layering)
    if len(layering.films) == 1:
        return film_response(absorption[0], scattering[0], index=layering.index)
    return stack_response(absorption, scattering, index=layering.index)


@njit(cache=True, fastmath={"reassoc", "contract", "arcp", "nsz"}, error_model="numpy")
def _cross(shown, crossing, weights, out):  # type: ignore[no-untyped-def]
    """Fill ``out`` with linear screen colours; the face taken off and the films share one division."""
    for n in range(shown.shape[0]):
        red, green, blue = 0.0, 0.0, 0.0
        for band in range(shown.shape[1]):
            seen = min(max(shown[n, band] - crossing.taken, 0.0), crossing.brightest)
            below = crossing.passed + (crossing.kept - crossing.returned[band]) * seen
            light = crossing.added + crossing.reflected[band] + crossing.through[band] * seen / below
            red += light * weights[0, band]
            green += light * weights[1, band]
            blue += light * weights[2, band]
        out[n, 0], out[n, 1], out[n, 2] = red, green, blue
