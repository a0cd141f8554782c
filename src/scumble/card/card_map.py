"""The card's map for other programs: where every area, fiducial and ground lies, as plain data."""

from __future__ import annotations

from typing import Any

from scumble.card.geometry import Area, CardGeometry
from scumble.card.layouts import GROUNDS, Point


def geometry_to_json(geometry: CardGeometry) -> dict[str, Any]:
    """The card's map for other programs: areas, fiducials and grounds, millimetres from the top left of the page.

    Examples
    --------
    >>> from scumble.card.geometry import card_geometry
    >>> geometry_to_json(card_geometry())["areas"][0]["box_mm"]
    [46.0, 57.0, 23.0, 23.0]
    """
    return {
        "layout": geometry.layout,
        "page": geometry.page,
        "page_mm": list(geometry.page_mm),
        "areas": [_area_to_json(area) for area in geometry.areas],
        "fiducials": [
            {"id": fiducial.number, "corners_mm": [_rounded(corner) for corner in fiducial.box.corners_mm]}
            for fiducial in geometry.fiducials
        ],
        "grounds": {
            area.name: {"paper": True}
            if GROUNDS[area.name] is None
            else {"srgb": list(GROUNDS[area.name] or ())}
            for area in geometry.areas
            if area.is_bare
        },
    }


def _area_to_json(area: Area) -> dict[str, Any]:
    box = area.box
    return {
        "area": area.name,
        "film": area.film,
        "paint_parts": area.paint_parts,
        "white_parts": area.white_parts,
        "ground": area.ground,
        "box_mm": [box.x_mm, box.y_mm, box.width_mm, box.height_mm],
    }


def _rounded(corner: Point) -> list[float]:
    return [round(length, 3) for length in corner]
