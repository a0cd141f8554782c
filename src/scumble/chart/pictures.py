"""Pictures of one paint on a sheet: its lying strip, its ladder into white, and its films over several grounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scumble.chart.box import Box
from scumble.chart.frame import SOFT
from scumble.chart.lying import LyingColours, draw_lying, draw_ticks
from scumble.chart.patch import Patch, draw_ladder, draw_patch
from scumble.chart.sheet import Colour, Shape, Text


@dataclass(frozen=True, slots=True)
class Tile:
    """A ground with films of the paint on it.

    Parameters
    ----------
    name : str
        What the ground is called.
    ground : Colour
        The bare ground.
    films : tuple of Patch
        From the thinnest to the thickest.
    """

    name: str
    ground: Colour
    films: tuple[Patch, ...]


@dataclass(frozen=True, slots=True)
class PaintPictures:
    """All pictures of one paint.

    Parameters
    ----------
    strip : LyingColours or None
        Of its stroke; ``None`` leaves it blank.
    ticks : tuple of (share, words)
        Thickness along the stroke.
    paper, bar : Colour
        The grounds of the strip.
    ladder : tuple of Patch
        Steps into white; may be empty.
    ladder_says, tiles_say : str
        Heading of the ladder and of the tiles.
    tiles : tuple of Tile
        The grounds.
    seed : int
        Decides the hand.
    """

    strip: LyingColours | None
    ticks: tuple[tuple[float, str], ...]
    paper: Colour
    bar: Colour
    ladder: tuple[Patch, ...]
    ladder_says: str
    tiles: tuple[Tile, ...]
    tiles_say: str
    seed: int


STRIP_MM, LADDER_MM, TILE_MM = 40.0, 15.0, 21.0
"""Heights of the three pictures on a page of A4."""


@dataclass(frozen=True, slots=True)
class Placed:
    """Where the pictures came to lie.

    Parameters
    ----------
    panel : Box
        Of the strip.
    ladder : Box
        Of the steps into white.
    tiles : tuple of Box
        Of the grounds.
    films : tuple of tuple of Box
        Of the films on each ground.
    bottom_mm : float [mm]
        Where the next thing may begin.
    """

    panel: Box
    ladder: Box
    tiles: tuple[Box, ...]
    films: tuple[tuple[Box, ...], ...]
    bottom_mm: float


def place_pictures(pictures: PaintPictures, box: Box, *, scale: float) -> Placed:
    """Set the pictures into the width of a box, from its top.

    Parameters
    ----------
    pictures : PaintPictures
        What is shown.
    box : Box
        Its width and its top count.
    scale : float [1]
        1 on A4.
    """
    panel = Box(box.x_mm, box.y_mm, box.width_mm, STRIP_MM * scale)
    ladder = Box(box.x_mm, panel.bottom_mm + 13.5 * scale, box.width_mm, LADDER_MM * scale)
    y = ladder.bottom_mm + 12.0 * scale if pictures.ladder else ladder.y_mm
    count, gap = len(pictures.tiles), 3.0 * scale * min(box.width_mm / (186.0 * scale), 1.0)
    wide = (box.width_mm - gap * (count - 1)) / count
    tiles = tuple(Box(box.x_mm + (wide + gap) * each, y, wide, TILE_MM * scale) for each in range(count))
    films = tuple(_films(tile, len(own.films)) for tile, own in zip(tiles, pictures.tiles, strict=True))
    return Placed(panel, ladder, tiles, films, tiles[0].bottom_mm + 8.5 * scale)


def _films(tile: Box, count: int) -> tuple[Box, ...]:
    inner = tile.shrunk(0.1 * tile.width_mm, 0.16 * tile.height_mm)
    wide = inner.width_mm / count
    return tuple(inner.inside(wide * each, 0.0, wide, inner.height_mm) for each in range(count))


def draw_pictures(
    pictures: PaintPictures, placed: Placed, *, scale: float, words: float = 1.0
) -> tuple[Shape, ...]:
    """Draw the pictures where they were placed.

    Parameters
    ----------
    pictures : PaintPictures
        What is shown.
    placed : Placed
        Where, from :func:`place_pictures`.
    scale : float [1]
        As there.
    words : float [1]
        Size of the letters to that on a handout.
    """
    small, head = 2.4 * scale * words, 3.2 * scale * words
    shapes: list[Shape] = [
        *draw_lying(placed.panel, pictures.strip, paper=pictures.paper, bar=pictures.bar, seed=pictures.seed),
        *draw_ticks(placed.panel, pictures.ticks, size_mm=small),
    ]
    if pictures.ladder:
        ladder = placed.ladder
        shapes.append(Text(ladder.x_mm, ladder.y_mm - 2.0 * scale, pictures.ladder_says, head, "bold"))
        shapes += draw_ladder(ladder, pictures.ladder, size_mm=small, gap_mm=1.2 * scale)
    tiles = zip(pictures.tiles, placed.tiles, placed.films, strict=True)
    shapes.append(
        Text(placed.tiles[0].x_mm, placed.tiles[0].y_mm - 2.0 * scale, pictures.tiles_say, head, "bold")
    )
    for tile, box, films in tiles:
        shapes += _draw_tile(tile, box, films, small)
    return tuple(shapes)


def _draw_tile(tile: Tile, box: Box, films: Sequence[Box], size_mm: float) -> list[Shape]:
    shapes: list[Shape] = [box.drawn(fill=tile.ground)]
    for patch, own in zip(tile.films, films, strict=True):
        shapes += draw_patch(
            own, patch, size_mm=0.9 * size_mm if patch.colour is None else 0.0, ground=tile.ground
        )
    x = box.centre[0]
    return [*shapes, Text(x, box.bottom_mm + 1.4 * size_mm, tile.name, size_mm, anchor="middle", fill=SOFT)]
