"""What is doubtful about a picture of a card as a whole, in sentences."""

from __future__ import annotations

from typing import Final

from scumble.card.find.placement import Placement
from scumble.card.light.lighting import Lighting

UNEVEN_LIGHT: Final = 2.0
DIM_PAPER: Final = 0.15
ABRUPT: Final = 0.02


def picture_warnings(placement: Placement, lighting: Lighting) -> tuple[str, ...]:
    """Doubts about the picture as a whole.

    Parameters
    ----------
    placement, lighting : Placement, Lighting
        Of the card in it.
    """
    warnings = []
    if lighting.unevenness > UNEVEN_LIGHT:
        times = f"{lighting.unevenness:.1f} times"
        warnings.append(
            f"The light is very uneven: {times} as bright at the brightest place as at the darkest."
        )
    if lighting.patches_left_out > len(placement.geometry.bare_paper) // 4:
        warnings.append(
            "Much of the card's bare paper is painted, shaded or shining; the light is less certain."
        )
    if lighting.residual > ABRUPT:
        warnings.append(
            f"The light changes abruptly across the card ({100 * lighting.residual:.0f} %): a shadow?"
        )
    middle = lighting.paper_at(lighting.middle_mm)
    if middle.max() < DIM_PAPER:
        warnings.append("The photograph is dark; dark paints are read with less certainty.")
    return tuple(warnings)
