"""What white does to a paint: whether it gains chroma first or only goes pastel, and how much white it can pull."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.paint.covering import MOST_COATS
from scumble.paint.drawdown import chroma_of, lab_of, over_white
from scumble.paint.estimate import Estimate, estimate_of, share_of

Floats = NDArray[np.float64]

PASTEL_DE00 = 20.0
"""Colour difference from the plain white at which a tint is called a pastel of standard depth [dE00]. Scumble's
own; after the manner of ASTM D4838, which thins with a standard white until tints can be compared."""

WHITE_PARTS = np.concatenate([[0.0], np.geomspace(0.02, 2000.0, 81)])
"""Steps of the ladder: parts of white by volume to one part of paint."""

GAINS_BY = 5.0
"""Gain of CIELAB chroma on the way into white that counts. Scumble's own."""

LADDER_PARTS = (1.0, 2.0, 4.0, 9.0, 19.0, 49.0)
"""Steps that are shown: parts of white by volume to one part of paint."""


@dataclass(frozen=True, slots=True)
class Tinting:
    """The ladder into white, in films that hide.

    Parameters
    ----------
    peak_parts : Estimate [parts of white to 1 of paint]
        Where chroma is greatest.
    chroma_gain : Estimate
        CIELAB chroma there above that of the plain paint laid as thick, 0 or more.
    strength_parts : Estimate [parts of white to 1 of paint]
        White that one part pulls down to :data:`PASTEL_DE00` from plain white; 0 if it cannot.
    gains_share : float [1]
        Share of the possible optics in which chroma rises by :data:`GAINS_BY` or more.
    ladder : array, shape (steps, 3)
        CIELAB of the steps of :data:`LADDER_PARTS`.
    """

    peak_parts: Estimate
    chroma_gain: Estimate
    strength_parts: Estimate
    gains_share: float
    ladder: Floats


def predict_tinting(
    paint: tuple[Floats, Floats], white: tuple[Floats, Floats], *, index: float = 1.5
) -> Tinting:
    """Follow a paint into white.

    Parameters
    ----------
    paint, white : (absorption, scattering), each array of shape (possible, 36) [1/coat]
        Possible optics, the most probable first.
    index : float [1]
        Refractive index of the binder.
    """
    lab = tint_lab(paint, white, WHITE_PARTS, coats=MOST_COATS, index=index)
    plain_white = lab_of(over_white(white[0] * MOST_COATS, white[1] * MOST_COATS, index=index))
    chroma = chroma_of(lab)
    at_peak = chroma.argmax(axis=1)
    gain = chroma.max(axis=1) - chroma[:, 0]
    depth = delta_e_2000(lab, np.broadcast_to(plain_white[:, None], lab.shape))
    return Tinting(
        peak_parts=estimate_of(WHITE_PARTS[at_peak]),
        chroma_gain=estimate_of(gain),
        strength_parts=estimate_of([last_parts(each, PASTEL_DE00) for each in depth]),
        gains_share=share_of(gain >= GAINS_BY),
        ladder=tint_lab(
            (paint[0][:1], paint[1][:1]),
            (white[0][:1], white[1][:1]),
            np.array(LADDER_PARTS),
            coats=MOST_COATS,
            index=index,
        )[0],
    )


def tint_lab(
    paint: tuple[Floats, Floats],
    white: tuple[Floats, Floats],
    white_parts: Floats,
    *,
    coats: float,
    index: float,
) -> Floats:
    """CIELAB of tints over white, shape (possible, steps, 3)."""
    return lab_of(tint_reflectance(paint, white, white_parts, coats=coats, index=index))


def tint_reflectance(
    paint: tuple[Floats, Floats],
    white: tuple[Floats, Floats],
    white_parts: Floats,
    *,
    coats: float,
    index: float,
) -> Floats:
    """Reflectance of tints over white, shape (possible, steps, 36)."""
    share = 1.0 / (1.0 + white_parts)[:, None]
    mixed = [
        coats * (own[:, None] * share + pale[:, None] * (1.0 - share))
        for own, pale in zip(paint, white, strict=True)
    ]
    return over_white(*mixed, index=index)


def last_parts(measured: Floats, wanted: float) -> float:
    """Parts of white at which something falls below a value for the last time; 0 where it is never that much.

    Parameters
    ----------
    measured : array, shape (steps,)
        Along :data:`WHITE_PARTS`; between them it is taken as straight in the logarithm of the parts.
    wanted : float
        The value.
    """
    above = np.flatnonzero(measured >= wanted)
    if above.size == 0:
        return 0.0
    last = above[-1]
    if last in (0, measured.size - 1):
        return float(WHITE_PARTS[last])
    share = (measured[last] - wanted) / (measured[last] - measured[last + 1])
    return float(WHITE_PARTS[last] * (WHITE_PARTS[last + 1] / WHITE_PARTS[last]) ** share)
