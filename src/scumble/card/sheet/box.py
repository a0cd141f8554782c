"""An upright rectangle on the card, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.card.sheet.layouts import Point


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle.

    Parameters
    ----------
    x_mm, y_mm : float [mm]
        Its top left corner.
    width_mm, height_mm : float [mm]
        Its size.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def corners_mm(self) -> tuple[Point, Point, Point, Point]:
        """Top left, top right, bottom right, bottom left."""
        right, bottom = self.x_mm + self.width_mm, self.y_mm + self.height_mm
        return (self.x_mm, self.y_mm), (right, self.y_mm), (right, bottom), (self.x_mm, bottom)

    def shrunk(self, margin_mm: float) -> Box:
        """The box without a margin all round."""
        return Box(
            self.x_mm + margin_mm,
            self.y_mm + margin_mm,
            self.width_mm - 2 * margin_mm,
            self.height_mm - 2 * margin_mm,
        )

    def shifted(self, right_mm: float, down_mm: float) -> Box:
        """The box elsewhere."""
        return Box(self.x_mm + right_mm, self.y_mm + down_mm, self.width_mm, self.height_mm)
