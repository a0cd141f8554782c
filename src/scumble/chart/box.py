"""An upright box on the sheet, and how it is cut up."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.chart.sheet import Colour, Point, Rectangle


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle to draw in.

    Parameters
    ----------
    x_mm, y_mm, width_mm, height_mm : float [mm]
        Its top left corner and size.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """Where it ends on the right [mm]."""
        return self.x_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        """Where it ends at the bottom [mm]."""
        return self.y_mm + self.height_mm

    @property
    def centre(self) -> Point:
        """Its middle [mm]."""
        return self.x_mm + self.width_mm / 2, self.y_mm + self.height_mm / 2

    @property
    def ring(self) -> tuple[Point, ...]:
        """Its corners, clockwise from the top left [mm]."""
        x, y, right, bottom = self.x_mm, self.y_mm, self.right_mm, self.bottom_mm
        return (x, y), (right, y), (right, bottom), (x, bottom)

    def inside(self, left: float, top: float, width: float, height: float) -> Box:
        """A box given from this one's corner [mm]."""
        return Box(self.x_mm + left, self.y_mm + top, width, height)

    def shrunk(self, across_mm: float, down_mm: float | None = None) -> Box:
        """The box without a margin on its sides, and on its top and bottom."""
        down = across_mm if down_mm is None else down_mm
        return Box(
            self.x_mm + across_mm, self.y_mm + down, self.width_mm - 2 * across_mm, self.height_mm - 2 * down
        )

    def drawn(
        self, *, fill: Colour | None = None, stroke: Colour | None = None, line_mm: float = 0.25
    ) -> Rectangle:
        """The box as a shape."""
        return Rectangle(self.x_mm, self.y_mm, self.width_mm, self.height_mm, fill, stroke, line_mm)
