"""A sheet as SVG: the same shapes as in the PDF, for the screen."""

from __future__ import annotations

from collections.abc import Iterable
from functools import singledispatch
from typing import Any, Final
from xml.sax.saxutils import escape, quoteattr
from zlib import crc32

from scumble.chart.lettering import text_width_mm
from scumble.chart.sheet import Colour, Line, Point, Polygon, Rectangle, Sheet, Text, Wash

FAMILY: Final = "Bitstream Vera Sans, DejaVu Sans, Verdana, sans-serif"
"""The font of the PDF where the machine has it, else one of its kin."""


def draw_svg(sheet: Sheet, *, title: str) -> str:
    """Draw one sheet.

    Parameters
    ----------
    sheet : Sheet
        The page; its user unit is the millimetre.
    title : str
        What it shows, in words for who cannot see it.

    Examples
    --------
    >>> print(draw_svg(Sheet(20.0, 10.0, (Rectangle(1.0, 2.0, 3.0, 4.0, fill=(0.0, 0.0, 0.0)),)), title="A box"))
    <svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10" role="img">
    <title>A box</title>
    <rect x="1" y="2" width="3" height="4" fill="#000000"/>
    </svg>
    """
    width, height = _number(sheet.width_mm), _number(sheet.height_mm)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" role="img">',
        f"<title>{escape(title)}</title>",
        *(_draw(shape) for shape in sheet.shapes),
        "</svg>",
    ]
    return "\n".join(lines)


@singledispatch
def _draw(shape: Any) -> str:
    raise TypeError(f"cannot draw {shape!r}")


@_draw.register(Rectangle)
def _(shape: Rectangle) -> str:
    place = zip(
        ("x", "y", "width", "height"), (shape.x_mm, shape.y_mm, shape.width_mm, shape.height_mm), strict=True
    )
    box = " ".join(f'{name}="{_number(value)}"' for name, value in place)
    return f"<rect {box}{_ink(shape.fill, shape.stroke, shape.line_mm)}/>"


@_draw.register(Polygon)
def _(shape: Polygon) -> str:
    rings = " ".join(f"M{_points(ring)}Z" for ring in shape.rings)
    return f'<path d="{rings}" fill-rule="evenodd"{_ink(shape.fill, shape.stroke, shape.line_mm)}/>'


@_draw.register(Line)
def _(shape: Line) -> str:
    dash = f' stroke-dasharray="{" ".join(map(_number, shape.dash_mm))}"' if shape.dash_mm else ""
    ink = _ink(None, shape.stroke, shape.line_mm)
    return f'<polyline points="{_points(shape.points)}"{ink}{dash}/>'


@_draw.register(Wash)
def _(shape: Wash) -> str:
    rings = " ".join(f"M{_points(ring)}Z" for ring in shape.rings)
    if shape.is_flat:
        return f'<path d="{rings}" fill="{_hex(shape.stops[0][1])}"/>'
    ends = zip(("x1", "y1", "x2", "y2"), (*shape.start, *shape.end), strict=True)
    line = " ".join(f'{name}="{_number(value)}"' for name, value in ends)
    stops = "".join(
        f'<stop offset="{_number(share)}" stop-color="{_hex(colour)}"/>' for share, colour in shape.stops
    )
    # Named by what it looks like: two of the same name are the same gradient.
    name = f"w{crc32((line + stops).encode()):08x}"
    return (
        f'<linearGradient id="{name}" gradientUnits="userSpaceOnUse" {line}>{stops}</linearGradient>'
        f'<path d="{rings}" fill="url(#{name})"/>'
    )


@_draw.register(Text)
def _(shape: Text) -> str:
    width = text_width_mm(shape.words, size_mm=shape.size_mm, face=shape.face)
    style = {"regular": "", "bold": ' font-weight="bold"', "italic": ' font-style="italic"'}[shape.face]
    return (
        f'<text x="{_number(shape.x_mm)}" y="{_number(shape.y_mm)}" font-size="{_number(shape.size_mm)}"'
        f' font-family={quoteattr(FAMILY)}{style} text-anchor="{shape.anchor}"'
        f' textLength="{_number(width)}" fill="{_hex(shape.fill)}">{escape(shape.words)}</text>'
    )


def _ink(fill: Colour | None, stroke: Colour | None, line_mm: float) -> str:
    inside = f' fill="{"none" if fill is None else _hex(fill)}"'
    if stroke is None:
        return inside
    return f'{inside} stroke="{_hex(stroke)}" stroke-width="{_number(line_mm)}" stroke-linejoin="round"'


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _number(value: float) -> str:
    """A length with at most four digits behind the point: a tenth of a micrometre."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _hex(colour: Colour) -> str:
    return "#" + "".join(f"{round(255 * part):02x}" for part in colour)
