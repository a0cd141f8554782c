"""Films over the photograph of a painting: one table from colour to colour serves every picture."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field

from scumble.card.picture.preview import draw_preview
from scumble.chart.strip import write_colour
from scumble.colour import (
    decode_srgb,
    encode_srgb,
    name_colour,
    srgb_to_xyz,
    upsample_colours,
    white_point,
    xyz_to_lab,
)
from scumble.errors import InputError
from scumble.jobs.bench.build import Built, Tubes, build
from scumble.jobs.bench.request import Bench, write_query
from scumble.jobs.bench.words import say_difference, say_lab
from scumble.paint import Ground, GroundFace, predict_look
from scumble.paint.over_picture import Surface, predict_over_picture
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

NODES = 25
"""Of the table along red, green and blue, even in sRGB. ``python -m benchmarks.painting`` says what fewer or more
would change."""

MOST_PX, QUALITY = 8000, 95
"""Longer side and quality of a photograph that was changed for the browser."""

STRONGEST_GAIN = 20.0
"""Largest factor on a channel's light that still counts as putting a photograph's white right."""

Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
Colour = Annotated[tuple[Share, Share, Share], Field(description="sRGB, 0-1")]


class Sheen(BaseModel):
    """What is assumed about a painting that was photographed and not measured."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    surface: Literal["glossy", "matte", "bare"] = "glossy"
    white: Colour | None = Field(default=None, description="a place of the photograph that is white")
    white_is: float = Field(default=0.85, gt=0.02, le=1.0, description="what that place reflects")


class PaintingAsk(BaseModel):
    """Films to lay over a photograph."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    layering: Bench = Field(description="its films, light and state; its ground does not matter")
    sheen: Sheen = Sheen()


class PointAsk(PaintingAsk):
    """Films to lay over one colour of a photograph."""

    colour: Colour


class Place(BaseModel):
    """One colour of a photograph, as it is or under films."""

    colour: str = Field(description="screen colour, #rrggbb")
    name: str
    says: str = Field(description="CIELAB and interval in words")


class PointAnswer(BaseModel):
    """What films do to one colour of a photograph."""

    before: Place
    after: Place
    difference: str
    interval_de00: float
    in_gamut: bool
    ground: str = Field(description="the layering on this colour as the query of a bench's address")


def draw_table(shelf: Shelf, tubes: Tubes, ask: PaintingAsk) -> bytes:
    """The table from a photograph's colours to what they become.

    Parameters
    ----------
    shelf : Shelf
        Open.
    tubes : Tubes
        Its paints.
    ask : PaintingAsk
        The films, and what is assumed about the painting.

    Returns
    -------
    bytes
        sRGB as half floats, little-endian: red, green, blue of each node, red of the nodes running fastest.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    built = build(shelf, tubes, ask.layering)
    shown = _nodes(_gains(ask.sheen))
    rgb, _ = _lay(built, shown, ask.sheen)
    return rgb.astype("<f2").tobytes()


def look_at_point(shelf: Shelf, tubes: Tubes, ask: PointAsk) -> PointAnswer:
    """What one colour of the photograph becomes, and how sure that is.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    built = build(shelf, tubes, ask.layering)
    shown = shown_reflectance(np.array([ask.colour]), _gains(ask.sheen))
    light = ask.layering.light
    before, _ = _lay(build(shelf, tubes, Bench(light=light)), shown, ask.sheen)
    after, in_gamut = _lay(built, shown, ask.sheen)
    interval = _interval(built, shown[0], ask.sheen, light)
    labs = [_lab(rgb[0]) for rgb in (before, after)]
    return PointAnswer(
        before=_place(before[0], 0.0),
        after=_place(after[0], interval),
        difference=say_difference(*labs, sentence="It turns {ways}"),
        interval_de00=round(interval, 2),
        in_gamut=bool(in_gamut[0]),
        ground=write_query(_on_bench(ask, before[0])),
    )


def convert_photograph(content: bytes) -> bytes:
    """A photograph that browsers do not open, as a JPEG that they do.

    Parameters
    ----------
    content : bytes
        HEIC, TIFF or a camera's raw file; any picture that cards are read from.

    Raises
    ------
    CardError
        If it cannot be opened.
    """
    jpeg, _ = draw_preview(content, longest_px=MOST_PX, quality=QUALITY)
    return jpeg


def shown_reflectance(rgb: Floats, gains: tuple[float, float, float]) -> Floats:
    """Reflectance of colours of a photograph, shape (colours, 36) [1].

    Parameters
    ----------
    rgb : array, shape (colours, 3) [1]
        sRGB of the photograph.
    gains : tuple of float
        Factor on the linear light of each channel.
    """
    linear = np.minimum(decode_srgb(rgb) * np.array(gains), 1.0)
    return upsample_colours(srgb_to_xyz(encode_srgb(linear)))


@lru_cache(maxsize=4)
def _nodes(gains: tuple[float, float, float]) -> Floats:
    """Reflectances of the table's nodes, blue slowest."""
    step = np.linspace(0.0, 1.0, NODES)
    blue, green, red = np.meshgrid(step, step, step, indexing="ij")
    return shown_reflectance(np.stack([red, green, blue], axis=-1).reshape(-1, 3), gains)


def _gains(sheen: Sheen) -> tuple[float, float, float]:
    if sheen.white is None:
        return (1.0, 1.0, 1.0)
    red, green, blue = (sheen.white_is / np.maximum(decode_srgb(sheen.white), 1e-6)).round(4).tolist()
    if max(red, green, blue) > STRONGEST_GAIN:
        seen = write_colour(np.asarray(sheen.white))
        raise InputError("white", seen, "a pale place", "This one is too dark or too coloured to be white.")
    return (red, green, blue)


def _lay(built: Built, shown: Floats, sheen: Sheen) -> tuple[Floats, NDArray[np.bool_]]:
    return predict_over_picture(
        built.layering, shown, surface=Surface(sheen.surface), light=built.bench.light
    )


def _interval(built: Built, shown: Floats, sheen: Sheen, light: str) -> float:
    """How far the films may be off over this colour; the photograph's own error is not in it."""
    if not built.films:
        return 0.0
    face = GroundFace.NONE if sheen.surface == "bare" else GroundFace.GLOSS
    layering = replace(built.layering, ground=Ground(shown, face))
    return predict_look(layering, light=light).interval_de00


def _lab(rgb: Floats) -> Floats:
    return xyz_to_lab(srgb_to_xyz(rgb), white_point("D65", 2))


def _place(rgb: Floats, interval: float) -> Place:
    return Place(
        colour=write_colour(rgb), name=name_colour(srgb_to_xyz(rgb)), says=say_lab(_lab(rgb), interval)
    )


def _on_bench(ask: PointAsk, before: Floats) -> Bench:
    """The same films on the bench, this colour their ground."""
    return ask.layering.model_copy(
        update={"ground": "own", "own": write_colour(before), "painted": ask.sheen.surface != "bare"}
    )
