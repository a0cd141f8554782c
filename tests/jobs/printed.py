"""Looking at a printed chart: rendering a page and reading it in millimetres."""

from __future__ import annotations

import io

import numpy as np
import pypdf
import pypdfium2

from scumble.chart.lettering import text_width_mm
from scumble.chart.sheet import Line, Polygon, Rectangle, Sheet, Text, Wash

PX_PER_MM = 6.0


def render(content: bytes, page: int = 0) -> np.ndarray:
    document = pypdfium2.PdfDocument(content)
    try:
        return document[page].render(scale=PX_PER_MM * 25.4 / 72).to_numpy()[..., 2::-1].copy()
    finally:
        document.close()


def words_of(content: bytes, page: int = 0) -> str:
    document = pypdfium2.PdfDocument(content)
    try:
        return str(document[page].get_textpage().get_text_range())
    finally:
        document.close()


def page_sizes_mm(content: bytes) -> list[tuple[float, float]]:
    reader = pypdf.PdfReader(io.BytesIO(content))
    return [tuple(float(side) * 25.4 / 72 for side in page.mediabox[2:]) for page in reader.pages]


def fonts_embedded(content: bytes) -> list[bool]:
    found = []
    for page in pypdf.PdfReader(io.BytesIO(content)).pages:
        for font in page["/Resources"]["/Font"].get_object().values():
            own = font.get_object()
            own = own["/DescendantFonts"][0].get_object() if "/DescendantFonts" in own else own
            found.append("/FontDescriptor" in own and "/FontFile2" in own["/FontDescriptor"].get_object())
    return found


def colour_at(picture: np.ndarray, x_mm: float, y_mm: float) -> np.ndarray:
    """Screen colour of a spot, 0-1."""
    return picture[round(y_mm * PX_PER_MM), round(x_mm * PX_PER_MM)] / 255


def dark_run_mm(picture: np.ndarray, y_mm: float, from_mm: float, to_mm: float) -> float:
    """Length of what is dark along a line."""
    row = round(y_mm * PX_PER_MM)
    dark = (
        picture[row - 2 : row + 3, round(from_mm * PX_PER_MM) : round(to_mm * PX_PER_MM), 0].min(axis=0) < 128
    )
    return float(np.ptp(np.flatnonzero(dark)) / PX_PER_MM)


def bounds(sheet: Sheet) -> tuple[float, float, float, float]:
    """Least and greatest x and y of all that is drawn, with the ends of its words [mm]."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in sheet.shapes:
        match shape:
            case Rectangle():
                xs += [shape.x_mm, shape.x_mm + shape.width_mm]
                ys += [shape.y_mm, shape.y_mm + shape.height_mm]
            case Polygon() | Wash():
                xs += [x for ring in shape.rings for x, _ in ring]
                ys += [y for ring in shape.rings for _, y in ring]
            case Line():
                xs += [x for x, _ in shape.points]
                ys += [y for _, y in shape.points]
            case Text():
                width = text_width_mm(shape.words, size_mm=shape.size_mm, face=shape.face)
                start = shape.x_mm - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor]
                xs += [start, start + width]
                # Ascent and descent of the font's letters.
                ys += [shape.y_mm - 0.77 * shape.size_mm, shape.y_mm + 0.24 * shape.size_mm]
    return min(xs), max(xs), min(ys), max(ys)
