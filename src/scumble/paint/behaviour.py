"""How a paint behaves: everything a painter asks of a tube, as numbers with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import name_colour, reflectance_to_xyz
from scumble.errors import InputError
from scumble.paint.covering import HIDING_RATIO, Mark, coats_to_hide, contrast_ratio, mark_of, opacity
from scumble.paint.drawdown import lab_of, over_black, over_white
from scumble.paint.estimate import Estimate, estimate_of, possible_optics, share_of
from scumble.paint.paint import Paint
from scumble.paint.thinning import MASSTONE_COATS, Thinning, predict_thinning
from scumble.paint.tinting import Tinting, predict_tinting
from scumble.tables import BANDS

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Behaviour:
    """How one paint behaves.

    Parameters
    ----------
    contrast_ratio : Estimate [1]
        Y over black / Y over white of one coat (ISO 6504-3, ASTM D2805; :func:`covering.contrast_ratio`).
    one_coat_share : float [1]
        Share of the possible optics of which one coat reaches 0.98.
    coats_to_hide : Estimate [coat]
        Coats at contrast ratio 0.98, infinity where 8 coats do not reach it.
    opacity : Estimate [1]
        Contrast ratio of half a coat: the continuous value behind the mark.
    mark : Mark
        One of the four marks of transparency.
    mark_share : float [1]
        Share of the possible optics that get this mark.
    thinning : Thinning
        From masstone to undertone over white.
    masstone_name, undertone_name : str
        The two colours in plain words.
    over_black : array, shape (3,)
        CIELAB of one coat over black.
    black_lightness : Estimate
        CIELAB lightness of one coat over black as a share of the same coat's over white [1].
    tinting : Tinting or None
        The ladder into white; none for the white itself, or where no white is known.
    """

    contrast_ratio: Estimate
    one_coat_share: float
    coats_to_hide: Estimate
    opacity: Estimate
    mark: Mark
    mark_share: float
    thinning: Thinning
    masstone_name: str
    undertone_name: str
    over_black: Floats
    black_lightness: Estimate
    tinting: Tinting | None


def predict_behaviour(
    paint: Paint, *, white: Paint | None = None, normals: Floats | None = None
) -> Behaviour:
    """Work out how a paint behaves.

    Parameters
    ----------
    paint : Paint
        The tube.
    white : Paint, optional
        What its tints are mixed with; of the same binder.
    normals : array, shape (2, draws, 72), optional
        Standard normal numbers for the paint and for the white; without them no intervals are worked out.

    Raises
    ------
    InputError
        If the white has another binder.
    """
    if white is not None and white.binder is not paint.binder:
        raise InputError(
            "white", white.binder.value, f"a white in {paint.binder.value}", "Binders do not mix."
        )
    draws = np.zeros((2, 0, 2 * BANDS)) if normals is None else normals
    own, index = possible_optics(paint.optics, draws[0]), paint.binder.refractive_index
    mixes = white is not None and white.key != paint.key
    pale = possible_optics(white.optics, draws[1]) if white is not None and mixes else None
    thinning = predict_thinning(*own, index=index)
    opacities = opacity(*own, index=index)
    mark = mark_of(opacities[0])
    ratio = contrast_ratio(*own, MASSTONE_COATS, index=index)
    on_black, lightness = _over_black(own, index)
    return Behaviour(
        contrast_ratio=estimate_of(ratio),
        one_coat_share=share_of(ratio >= HIDING_RATIO),
        coats_to_hide=estimate_of(coats_to_hide(*own, index=index)),
        opacity=estimate_of(opacities),
        mark=mark,
        mark_share=share_of([mark_of(each) is mark for each in opacities]),
        thinning=thinning,
        masstone_name=name_colour(reflectance_to_xyz(thinning.masstone_reflectance)),
        undertone_name=name_colour(reflectance_to_xyz(thinning.undertone_reflectance)),
        over_black=on_black,
        black_lightness=lightness,
        tinting=predict_tinting(own, pale, index=index) if pale is not None else None,
    )


def _over_black(own: tuple[Floats, Floats], index: float) -> tuple[Floats, Estimate]:
    """Colour of one coat over black, and its lightness as a share of that over white."""
    dark, pale = lab_of(over_black(*own, index=index)), lab_of(over_white(*own, index=index))
    return dark[0], estimate_of(dark[:, 0] / np.maximum(pale[:, 0], 1e-9))
