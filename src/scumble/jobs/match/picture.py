"""A wanted colour taken from a small area of a photograph."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.points import Picture, load_picture
from scumble.colour import adapt_xyz, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.solve.recipe.target import Target, target_of_bare_colour

Floats = NDArray[np.float64]

SIDE_PX = 9
"""Side of the area that is averaged when none is named."""

KMEANS_ROUNDS = 30

LEAST_SIDE_PX = 20
"""Of a picture that colours are taken from."""


@dataclass(frozen=True, slots=True)
class PictureColour:
    """Mean colour of an area.

    Parameters
    ----------
    lab : array, shape (3,)
        CIELAB, D65, 2 degrees.
    spread : float
        Standard deviation of L* within the area: large where it holds an edge or texture.
    """

    lab: Floats
    spread: float


def target_of_picture(
    source: Path | str | bytes,
    x_px: int,
    y_px: int,
    *,
    side_px: int = SIDE_PX,
    lights: tuple[str, ...] = ("D65",),
    observer: int = 2,
) -> Target:
    """The mean colour of a square of a photograph, averaged in linear light.

    Parameters
    ----------
    source : path or bytes
        The picture; its embedded profile is honoured, without one it is taken as sRGB.
    x_px, y_px : int
        Middle of the square, counted from the top left of the upright picture.
    side_px : int
        Side of the square.
    lights : tuple of str
        Lights it is wanted under; the picture's own white is taken to be the first light's, the others are guessed.

    Raises
    ------
    InputError
        If the point lies outside the picture.
    CardError
        If the picture cannot be read.
    """
    picture = load_picture(source, least_side_px=LEAST_SIDE_PX)
    seen = colour_at(picture, x_px, y_px, side_px=side_px)
    light = lights[0]
    white = white_point(light, observer)
    name = Path(source).name if isinstance(source, (Path, str)) else "the photograph"
    lab = np.clip(seen.lab, [0.0, -200.0, -200.0], [100.0, 200.0, 200.0])
    if light != "D65" or observer != 2:
        from scumble.colour import lab_to_xyz

        xyz = lab_to_xyz(lab, white_point("D65", 2))
        lab = xyz_to_lab(adapt_xyz(xyz, white_point("D65", 2), white), white)
    return target_of_bare_colour(lab, lights=lights, observer=observer, label=f"{name} at {x_px}, {y_px}")


def colour_at(picture: Picture, x_px: int, y_px: int, *, side_px: int = SIDE_PX) -> PictureColour:
    """Mean colour of a square of a picture.

    Raises
    ------
    InputError
        If its middle lies outside the picture, or it has no size.
    """
    width, height = picture.size_px
    if not (0 <= x_px < width and 0 <= y_px < height):
        raise InputError("at", f"{x_px},{y_px}", f"a point from 0,0 to {width - 1},{height - 1}")
    if not 1 <= side_px <= min(width, height):
        raise InputError("area", side_px, f"a side from 1 to {min(width, height)} points")
    half = side_px // 2
    top, left = max(y_px - half, 0), max(x_px - half, 0)
    codes = picture.codes[top : top + side_px, left : left + side_px]
    linear = np.asarray(picture.encoding.to_linear(codes), dtype=np.float64).reshape(-1, 3)
    labs = _labs(picture, linear)
    return PictureColour(_labs(picture, linear.mean(axis=0)), float(labs[:, 0].std()))


@dataclass(frozen=True, slots=True)
class GroupedPicture:
    """A small copy of a picture in few colours.

    Parameters
    ----------
    labs : array, shape (colours, 3)
        CIELAB, D65, 2 degrees; the commonest first.
    places : array of int, shape (height, width)
        Which colour each point has.
    """

    labs: Floats
    places: NDArray[np.intp]

    @property
    def shares(self) -> Floats:
        """Share of the picture that each colour takes, shape (colours,)."""
        return np.bincount(self.places.ravel(), minlength=len(self.labs)) / self.places.size


def colours_of_picture(source: Path | str | bytes, *, count: int = 40, thumb_px: int = 160) -> Floats:
    """The colours that a picture is made of, CIELAB (D65, 2 degrees), shape (colours, 3): see :func:`group_picture`."""
    return group_picture(source, count=count, thumb_px=thumb_px).labs


def group_picture(source: Path | str | bytes, *, count: int = 40, thumb_px: int = 160) -> GroupedPicture:
    """A picture in the colours that it is made of, by k-means in CIELAB on a small copy of it.

    Parameters
    ----------
    source : path or bytes
        The picture.
    count : int
        Colours at most.
    thumb_px : int
        Points along the longer side of the small copy.

    Raises
    ------
    CardError
        If the picture cannot be read.
    """
    picture = load_picture(source, least_side_px=LEAST_SIDE_PX)
    step = max(max(picture.size_px) // thumb_px, 1)
    height, width = (side // step * step for side in picture.codes.shape[:2])
    linear = np.asarray(picture.encoding.to_linear(picture.codes[:height, :width]), dtype=np.float64)
    blocks = linear.reshape(height // step, step, width // step, step, 3).mean(axis=(1, 3))
    labs = _labs(picture, blocks.reshape(-1, 3))
    middles = group_colours(labs, count)
    return GroupedPicture(middles, nearest_colour(labs, middles).reshape(blocks.shape[:2]))


def nearest_colour(labs: Floats, middles: Floats) -> NDArray[np.intp]:
    """Which of some colours each colour is nearest to in CIELAB, shape (colours,)."""
    return np.asarray(np.argmin(((labs[:, None, :] - middles) ** 2).sum(axis=-1), axis=1))


def group_colours(labs: Floats, count: int) -> Floats:
    """Middles of groups of colours, the largest group first; started from colours as far apart as can be.

    Examples
    --------
    >>> group_colours(np.array([[50.0, 0, 0], [50.2, 0, 0], [80.0, 10, 20]]), 2).round(1).tolist()
    [[50.1, 0.0, 0.0], [80.0, 10.0, 20.0]]
    """
    middles = labs[[int(np.argmin(np.abs(labs - labs.mean(axis=0)).sum(axis=1)))]]
    away = np.linalg.norm(labs - middles[0], axis=1)
    while len(middles) < count and away.max() > 1.0:
        middles = np.vstack([middles, labs[int(np.argmax(away))]])
        away = np.minimum(away, np.linalg.norm(labs - middles[-1], axis=1))
    for _ in range(KMEANS_ROUNDS):
        own = nearest_colour(labs, middles)
        moved = np.array(
            [labs[own == at].mean(axis=0) if (own == at).any() else middles[at] for at in range(len(middles))]
        )
        if np.allclose(moved, middles, atol=0.05):
            break
        middles = moved
    sizes = np.bincount(own, minlength=len(middles))
    return np.asarray(middles[np.argsort(-sizes, kind="stable")])


def _labs(picture: Picture, linear: Floats) -> Floats:
    """CIELAB of linear red, green and blue."""
    xyz = 100.0 * linear @ np.asarray(picture.encoding.rgb_to_xyz, dtype=np.float64).T
    return xyz_to_lab(np.clip(xyz, 0.0, None), white_point("D65", 2))
