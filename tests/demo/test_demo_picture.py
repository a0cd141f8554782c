"""Painting and photographing a small card of our own: reproducible, true to the films, and where the matrix says."""

import io

import numpy as np
import pytest
from demo.brush import strokes_of
from demo.camera import CAMERAS
from demo.inks import GROUNDS
from demo.light import film_response
from demo.painting import FULL_LIMIT, paint_card
from demo.paints import TUBES
from demo.photograph import draw_shot, take, transform
from demo.sheet import GROUND_NAMES, Sheet, sort_inks
from PIL import Image

CAMERA = CAMERAS["wide"]
EARTH = next(tube for tube in TUBES if tube.key == "classroom-warm-earth")
PX_PER_MM = 5.0


def area(name, film, ground, box_mm, paint_parts=1, white_parts=0):
    described = {"area": name, "film": film, "ground": ground, "box_mm": box_mm}
    return {**described, "paint_parts": paint_parts, "white_parts": white_parts}


CARD_MAP = {
    "page_mm": [90, 70],
    "grounds": {
        "white": {"paper": True},
        "black": {"srgb": [0.0, 0.0, 0.0]},
        "yellow": {"srgb": [1.0, 0.95, 0.0]},
    },
    "areas": [
        area("white", "bare", "white", [10, 10, 16, 14], 0),
        area("black", "bare", "black", [30, 10, 16, 14], 0),
        area("yellow", "bare", "yellow", [50, 10, 16, 14], 0),
        area("full-white", "full", "white", [10, 28, 16, 14]),
        area("full-black", "full", "black", [26, 28, 16, 14]),
        area("thin1-white", "thin1", "white", [10, 46, 16, 14]),
        area("thin1-black", "thin1", "black", [26, 46, 16, 14]),
        area("thin1-yellow", "thin1", "yellow", [42, 46, 16, 14]),
        area("tint4-white", "tint4", "white", [64, 28, 16, 14], 1, 4),
    ],
}


@pytest.fixture(scope="module")
def sheet():
    ground = np.zeros((350, 450), np.uint8)
    for described in CARD_MAP["areas"]:
        x, y, width, height = (round(side * PX_PER_MM) for side in described["box_mm"])
        ground[y : y + height, x : x + width] = GROUND_NAMES.index(described["ground"])
    coverage = (ground == GROUND_NAMES.index("black")).astype(np.float32)
    ground[coverage > 0] = 0
    return Sheet(CARD_MAP, PX_PER_MM, ground, coverage, {"Tube": (4.0, 67.0)})


@pytest.fixture(scope="module")
def painted(sheet):
    return paint_card(sheet, EARTH, CAMERA, np.random.default_rng(3))


def middle(picture, box_mm):
    x, y, width, height = (side * PX_PER_MM for side in box_mm)
    rows = slice(int(y + 0.3 * height), int(y + 0.7 * height))
    return picture[rows, int(x + 0.3 * width) : int(x + 0.7 * width)].mean(axis=(0, 1))


def test_strokes_run_over_touching_areas():
    strokes = {stroke.film: [area["area"] for area in stroke.areas] for stroke in strokes_of(CARD_MAP)}
    assert strokes == {
        "full": ["full-white", "full-black"],
        "thin1": ["thin1-white", "thin1-black", "thin1-yellow"],
        "tint4": ["tint4-white"],
    }


def test_inks_are_sorted_by_the_colours_of_the_map():
    picture = np.full((10, 40, 3), 255, np.uint8)
    picture[:, 10:20] = 0
    picture[:, 20:30] = (255, 242, 0)
    picture[:, 30:] = 128
    ground, coverage = sort_inks(picture, CARD_MAP)
    assert [GROUND_NAMES[number] for number in ground[5, 5::10]] == ["white", "white", "yellow", "white"]
    # sRGB code 128 is 0.2159 of the light (IEC 61966-2-1).
    np.testing.assert_allclose(coverage[5, 5::10], [0, 1, 0, 1 - 0.2159], atol=1e-3)


def test_same_seed_same_picture(sheet, painted):
    again, hand = paint_card(sheet, EARTH, CAMERA, np.random.default_rng(3))
    np.testing.assert_array_equal(again, painted[0])
    assert hand == painted[1]
    other, _ = paint_card(sheet, EARTH, CAMERA, np.random.default_rng(4))
    assert np.abs(other - painted[0]).max() > 0.01


def test_the_hand_stays_within_its_habits(painted):
    hand = painted[1]
    assert abs(hand.thickness["full"] - 1) <= FULL_LIMIT
    assert 0.12 < hand.thickness["thin1"] < 0.75
    assert 2.5 < hand.white_parts["tint4"] < 6.5


def test_painted_areas_show_their_films(painted):
    picture, hand = painted
    for described in CARD_MAP["areas"]:
        expected = GROUNDS[described["ground"]]
        if described["film"] != "bare" and not described["white_parts"]:
            coats = hand.area_thickness[described["area"]]
            film = film_response(EARTH.absorption() * coats, EARTH.scattering() * coats)
            expected = film.over(expected)
        elif described["white_parts"]:
            continue
        # Ridges of 6.5 % and the drift of the stroke into its neighbours move the mean of so small an area a little.
        np.testing.assert_allclose(middle(picture, described["box_mm"]), CAMERA.linear(expected), rtol=0.06)


def test_ridges_and_ragged_edges_are_there(painted):
    picture, _ = painted
    x, y, width, height = (round(side * PX_PER_MM) for side in CARD_MAP["areas"][6]["box_mm"])
    inside = picture[y + 20 : y + height - 20, x + 20 : x + width - 20, 1]
    assert 0.005 < inside.std() / inside.mean() < 0.15
    across = inside.mean(axis=1).std()
    along = inside.mean(axis=0).std()
    assert across > along


def test_a_photograph_is_reproducible_and_lies_where_its_matrix_says(painted):
    shot = draw_shot(480, np.random.default_rng(5))
    file, matrix = take(painted[0], PX_PER_MM, shot, CAMERA, np.random.default_rng(6))
    again, _ = take(painted[0], PX_PER_MM, shot, CAMERA, np.random.default_rng(6))
    assert file == again
    with Image.open(io.BytesIO(file)) as picture:
        assert picture.size == shot.size()
        assert picture.info["icc_profile"] == CAMERA.profile()
        codes = np.asarray(picture).astype(int)
    black, white, yellow = (codes[*_centre(matrix, name)] for name in ("black", "white", "yellow"))
    assert black.max() < 80
    assert white.min() > 190
    assert yellow[0] - yellow[2] > 60


def _centre(matrix, name):
    x, y, width, height = next(area["box_mm"] for area in CARD_MAP["areas"] if area["area"] == name)
    column, row = transform(matrix, np.array([x + width / 2, y + height / 2]))
    return round(row), round(column)


def test_light_is_uneven_but_bounded():
    for seed in range(20):
        shot = draw_shot(2000, np.random.default_rng(seed))
        assert np.hypot(shot.tilt_degree, shot.turn_degree) <= 20
        assert 0.05 <= shot.light_slope <= 0.15
