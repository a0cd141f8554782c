"""The card's map for other programs: where every area, fiducial and ground lies, as plain data."""

from __future__ import annotations

from typing import Any

from scumble.card.sheet.box import Box
from scumble.card.sheet.geometry import Area, CardGeometry
from scumble.card.sheet.layouts import GROUNDS, Point


def geometry_to_json(geometry: CardGeometry) -> dict[str, Any]:
    """The card's map for other programs: areas, fiducials, code, tone steps and grounds, from the page's top left [mm].

    Of a tone step ``black_cells`` says which squares (column, row) of a period of two by two are black; the first
    period lies at the top left of its box.

    Examples
    --------
    >>> from scumble.card.sheet.geometry import card_geometry
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
        "layout_code": geometry.layout_code,
        "code_mm": _box(geometry.code) if geometry.code else None,
        "steps": [
            {
                "step": step.name,
                "black_share": step.black_share,
                "square_mm": round(step.square_mm, 6),
                "black_cells": [list(cell) for cell in step.black_cells],
                "box_mm": _box(step.box),
            }
            for step in geometry.steps
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
    return {
        "area": area.name,
        "film": area.film,
        "paint_parts": area.paint_parts,
        "white_parts": area.white_parts,
        "ground": area.ground,
        "box_mm": _box(area.box),
    }


def _box(box: Box) -> list[float]:
    return [round(length, 6) for length in (box.x_mm, box.y_mm, box.width_mm, box.height_mm)]


def _rounded(corner: Point) -> list[float]:
    return [round(length, 3) for length in corner]
