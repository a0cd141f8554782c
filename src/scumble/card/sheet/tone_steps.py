"""Fine black-white checker steps: patches whose mean light is known, so that a camera's tone curve shows itself.

Where the squares are too fine to be seen apart, a picture point holds the mean light of black and white, and its code
value is one point of the tone curve. Ink spreads, though, and adds to the black; by the same width round every
square. So each share is printed twice, fine and four times as coarse: seen apart, the coarse squares show the true
mean whatever the tone curve, and with it how far the ink has spread.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from scumble.card.sheet.box import Box

FINE_MM: Final = 25.4 / 120
"""Side of a fine square: a whole number of dots of printers with 360, 600, 720 and 1200 dots an inch."""

COARSE_MM: Final = 4 * FINE_MM

STEP_MM: Final = 40 * FINE_MM
"""Side of a patch: 20 fine periods, 5 coarse ones."""

_CELLS: Final = {
    0.0: (),
    0.25: ((0, 0),),
    0.5: ((0, 0), (1, 1)),
    0.75: ((0, 0), (1, 1), (0, 1)),
    1.0: ((0, 0), (1, 1), (0, 1), (1, 0)),
}
"""Black squares (column, row) of a period of two by two."""

_ORDER: Final = (
    ("step-black", 1.0, COARSE_MM),
    ("fine-75", 0.75, FINE_MM),
    ("coarse-75", 0.75, COARSE_MM),
    ("fine-50", 0.5, FINE_MM),
    ("coarse-50", 0.5, COARSE_MM),
    ("fine-25", 0.25, FINE_MM),
    ("coarse-25", 0.25, COARSE_MM),
    ("step-white", 0.0, COARSE_MM),
)


@dataclass(frozen=True, slots=True)
class ToneStep:
    """A patch of black squares on bare paper.

    Parameters
    ----------
    name : str
        ``fine-50`` and the like; ``step-black`` and ``step-white`` are solid and bare.
    black_share : float [1]
        Share of the patch that is black, as drawn; it holds over any whole number of periods.
    square_mm : float [mm]
        Side of a square; a period is two squares across and two down, the first one at the patch's top left.
    box : Box
        The patch.
    """

    name: str
    black_share: float
    square_mm: float
    box: Box

    @property
    def black_cells(self) -> tuple[tuple[int, int], ...]:
        """Which squares of a period are black: (column, row), 0 or 1 each.

        Examples
        --------
        >>> tone_steps(0.0, 0.0)[3].black_cells
        ((0, 0), (1, 1))
        """
        return _CELLS[self.black_share]


def tone_steps(x_mm: float, y_mm: float) -> tuple[ToneStep, ...]:
    """The steps side by side from a top left corner: solid, then 75, 50 and 25 % fine and coarse, then bare.

    Parameters
    ----------
    x_mm, y_mm : float [mm]
        Top left of the first.

    Examples
    --------
    >>> [step.name for step in tone_steps(0.0, 0.0)][:3]
    ['step-black', 'fine-75', 'coarse-75']
    """
    return tuple(
        ToneStep(name, share, square, Box(x_mm + STEP_MM * place, y_mm, STEP_MM, STEP_MM))
        for place, (name, share, square) in enumerate(_ORDER)
    )
