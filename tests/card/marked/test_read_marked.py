"""Charts of somebody's own: boxes that were drawn over a picture, read like a printed card."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from PIL import Image

from scumble.card.marked.boxes import MarkedBox
from scumble.card.marked.read_marked import read_marked
from scumble.card.picture.preview import draw_preview
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import CardError, InputError

SIDE = 100
PAPER = 0.86
"""Y of the paper that is assumed."""

PATCHES = {
    (0, 0): (1.0, 1.0, 1.0),
    (3, 0): (1.0, 1.0, 1.0),
    (0, 2): (1.0, 1.0, 1.0),
    (1, 0): (0.04, 0.04, 0.04),
    (2, 0): (0.50, 0.10, 0.05),
    (1, 1): (0.30, 0.05, 0.03),
    (2, 1): (0.80, 0.40, 0.30),
    (3, 1): (0.70, 0.30, 0.15),
}
"""Linear light of each patch against the paper, by column and row."""

TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""*Source:* IEC 61966-2-1."""

BOXES = (
    MarkedBox("white", (0, 0), (SIDE, SIDE), film="bare"),
    MarkedBox("white 2", (300, 0), (SIDE, SIDE), film="bare"),
    MarkedBox("white 3", (0, 200), (SIDE, SIDE), film="bare"),
    MarkedBox("black", (100, 0), (SIDE, SIDE), film="bare", ground="black"),
    MarkedBox("masstone", (200, 0), (SIDE, SIDE)),
    MarkedBox("over black", (100, 100), (SIDE, SIDE), ground="black"),
    MarkedBox("tint", (200, 100), (SIDE, SIDE), film="tint4", white_parts=4.0),
    MarkedBox("thin", (300, 100), (SIDE, SIDE), film="thin"),
)


def photograph(*, slope: float = 0.0, noise: float = 0.0, exposure: float = 0.7, width: int = 500) -> bytes:
    """The chart in sRGB, with light that falls off to the right."""
    light = np.full((400, width, 3), 0.5)
    for (column, row), seen in PATCHES.items():
        light[row * SIDE : (row + 1) * SIDE, column * SIDE : (column + 1) * SIDE] = seen
    fall = np.exp(-slope * np.arange(width) / width)[None, :, None]
    chance = np.random.default_rng(3).normal(0, noise, light.shape)
    light = np.clip(light * exposure * fall * (1 + chance), 0, 1)
    codes = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    file = io.BytesIO()
    Image.fromarray(np.round(255 * codes).astype(np.uint8)).save(file, "PNG")
    return file.getvalue()


def lab(light: tuple[float, float, float]) -> np.ndarray:
    return xyz_to_lab(100 * PAPER * TO_XYZ @ np.array(light), white_point("D65", 2))


def differences(content: bytes) -> dict[str, float]:
    card = read_marked(content, BOXES)
    true = {
        box.name: lab(PATCHES[(round(box.corner_px[0] / SIDE), round(box.corner_px[1] / SIDE))])
        for box in BOXES
    }
    white = white_point("D65", 2)
    return {
        area.reading.area: float(
            delta_e_2000(xyz_to_lab(area.reading.values, white), true[area.reading.area])
        )
        for area in card.areas
    }


@pytest.mark.parametrize(("slope", "noise"), [(0.0, 0.0), (0.3, 0.0), (0.3, 0.05)])
def test_boxes_are_read_as_they_were_painted(slope: float, noise: float) -> None:
    # What is left is the veil that is taken off a black of 4 %, and steps of 8 bits.
    assert max(differences(photograph(slope=slope, noise=noise)).values()) < 1.5


def test_light_that_falls_off_is_evened_out_only_where_paper_shows_it() -> None:
    few = [box for box in BOXES if box.name not in ("white 2", "white 3")]
    card = read_marked(photograph(slope=0.3), few)
    assert any("light is taken to be even" in said for said in card.assumptions)
    assert card.readings.noise > read_marked(photograph(slope=0.3), BOXES).readings.noise


def test_without_a_bare_black_the_doubt_is_larger_and_said() -> None:
    few = [box for box in BOXES if box.ground != "black"]
    card, known = read_marked(photograph(), few), read_marked(photograph(), BOXES)
    assert any("No bare black was marked" in said for said in card.assumptions)
    assert card.readings.camera is not None and known.readings.camera is not None
    assert card.readings.camera.veil > known.readings.camera.veil


def test_a_measured_paper_is_believed() -> None:
    card = read_marked(photograph(), BOXES, paper_xyz=np.array([85.0, 90.0, 95.0]))
    assert card.areas[0].reading.values == pytest.approx([85.0, 90.0, 95.0], rel=0.01)
    assert card.readings.camera is not None and card.readings.camera.paper == 0.0


def test_readings_name_films_grounds_and_parts() -> None:
    readings = {each.area: each for each in read_marked(photograph(), BOXES).readings.readings}
    assert (readings["tint"].film, readings["tint"].white_parts) == ("tint4", 4.0)
    assert readings["over black"].ground == "black" and readings["thin"].ground == "white"
    assert [name for name, each in readings.items() if each.is_bare] == [
        "white",
        "white 2",
        "white 3",
        "black",
    ]


def test_a_box_on_bare_paper_that_is_said_to_be_paint_is_doubted() -> None:
    liar = MarkedBox("glaze", (0, 200), (SIDE, SIDE), film="thin2")
    boxes = [*(box for box in BOXES if box.name != "white 3"), liar]
    (seen,) = [area for area in read_marked(photograph(), boxes).areas if area.reading.area == "glaze"]
    assert seen.verdict == "It looks unpainted." and seen.reading.weight == 0.5


@pytest.mark.parametrize(
    ("boxes", "said"),
    [
        (BOXES[4:], "no bare paper"),
        (BOXES[:4], "nothing painted"),
        ((*BOXES, BOXES[-1]), "two of that name"),
        ((BOXES[0], replace(BOXES[5], ground="red")), "over red"),
        ((BOXES[0], replace(BOXES[4], corner_px=(450, 0))), "partly outside"),
        ((BOXES[0], replace(BOXES[4], size_px=(3, 90))), "3 by 90 points"),
    ],
)
def test_boxes_that_make_no_chart_are_refused(boxes: tuple[MarkedBox, ...], said: str) -> None:
    with pytest.raises(InputError, match=said):
        read_marked(photograph(), boxes)


def test_overexposed_paper_is_refused() -> None:
    with pytest.raises(CardError, match="bare paper in box white is overexposed"):
        read_marked(photograph(exposure=1.3), BOXES)


@settings(max_examples=40, deadline=None)
@given(
    some.lists(
        some.tuples(some.floats(-20, 600), some.floats(-20, 500), some.floats(0, 600), some.floats(0, 500)),
        min_size=1,
        max_size=4,
    )
)
def test_any_boxes_are_read_or_refused_in_words(places: list[tuple[float, float, float, float]]) -> None:
    films = ["bare", "full", "thin", "tint4"]
    boxes = [
        MarkedBox(f"box {at}", (x, y), (width, height), film=films[at])
        for at, (x, y, width, height) in enumerate(places)
    ]
    try:
        card = read_marked(CONTENT, boxes)
    except (InputError, CardError):
        return
    assert all(np.isfinite(area.reading.values).all() for area in card.areas)


CONTENT = photograph()


def test_a_preview_is_a_small_jpeg_and_knows_the_size_of_the_picture() -> None:
    content, size = draw_preview(photograph(width=900), longest_px=300)
    small = Image.open(io.BytesIO(content))
    assert (small.format, small.size, size) == ("JPEG", (300, 133), (900, 400))
    # The masstone patch keeps its colour: 0.50 of 0.7 linear light is code 160.
    assert abs(int(np.asarray(small)[17, 83, 0]) - 160) < 6
