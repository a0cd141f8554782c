"""A reference target beside the card: found, refused where it is in doubt, and better than no target."""

import cv2
import numpy as np
import pytest
from demo import target as demo_target
from tests.card.photographs import Shot, decode, encode, jpeg, paint, photograph, to_px

from scumble.card.by_target import TargetView, corners_from_text
from scumble.card.read import read_photograph
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.errors import CardError, InputError
from scumble.paint.reference import ReferenceTarget
from scumble.store.readings.reference_cgats import parse_reference

WHITE = white_point("D65", 2)
REFERENCE = parse_reference(demo_target.reference_file(measured_error=0.0))
CAMERA = np.array([[0.80, 0.25, -0.05], [0.12, 0.82, 0.06], [0.02, 0.18, 0.80]])
"""Channels of the camera from linear sRGB; rows sum to 1, as after a white balance."""

XYZ_TO_SRGB = np.linalg.inv([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def at_mm(matrix, points):
    points = np.asarray(points, float)
    seen = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ matrix.T
    return seen[..., :2] / seen[..., 2:]


def scene(*, camera=CAMERA, s_shape=0.2):
    """A picture of a painted card with the target right of it, through a camera of its own; and what is true."""
    card = paint("full", seed=3)
    codes, matrix = photograph(card, Shot(long_side=1900, gradient=0.1, noise=0.004))
    light = np.pad(decode(codes), ((0, 0), (0, 900), (0, 0)), constant_values=0.12)
    page_mm = card.card_map["page_mm"]
    left, top = demo_target.origin_mm(page_mm)
    width, height = demo_target.size_mm()
    mount = [
        [left - 4, top - 4],
        [left - 4 + width, top - 4],
        [left - 4 + width, top - 4 + height],
        [left - 4, top - 4 + height],
    ]
    cv2.fillConvexPoly(light, np.round(at_mm(matrix, mount)).astype(np.int32), (0.03, 0.03, 0.03))
    xyz = demo_target.reflectances() @ spectral_weights("D65", 2) / 100
    # The picture's own light at the card's right edge.
    paper = 0.85 * 0.9 / 0.86
    for number, colour in enumerate(xyz @ XYZ_TO_SRGB.T * paper):
        row, column = divmod(number, demo_target.COLUMNS)
        x, y = left + 9 * column + 0.7, top + 9 * row + 0.7
        box = at_mm(matrix, [[x, y], [x + 7.6, y], [x + 7.6, y + 7.6], [x, y + 7.6]])
        cv2.fillConvexPoly(light, np.round(box).astype(np.int32), tuple(float(part) for part in colour))
    seen = np.clip(light @ camera.T, 0, 1)
    code = encode(seen)
    code = code + s_shape * code * (1 - code) * (2 * code - 1)
    return card, jpeg(code, quality=92), at_mm(matrix, demo_target.corners_mm(page_mm))


@pytest.fixture(scope="module")
def shot():
    return scene()


def off(card, seen):
    return np.array(
        [
            float(
                delta_e_2000(
                    xyz_to_lab(each.reading.values, WHITE), xyz_to_lab(card.true[each.reading.area], WHITE)
                )
            )
            for each in seen.areas
            if each.reading.weight >= 0.5 and not each.reading.blind
        ]
    )


def test_a_target_is_found_and_puts_colours_right(shot):
    card, picture, _ = shot
    with_target = read_photograph(picture, target=TargetView(REFERENCE))
    without = read_photograph(picture)
    assert off(card, with_target).mean() < 1.5
    assert off(card, with_target).mean() < 0.6 * off(card, without).mean()
    assert any("Colours are those of the reference target" in said for said in with_target.assumptions)
    camera, plain = with_target.readings.camera, without.readings.camera
    assert camera.tone < plain.tone
    bounds = [np.median([area.bound_de00 for area in seen.areas]) for seen in (with_target, without)]
    assert bounds[0] < bounds[1]


def test_corners_by_hand_do_as_well(shot):
    card, picture, corners = shot
    shaken = corners + np.random.default_rng(2).uniform(-3, 3, corners.shape)
    view = TargetView(REFERENCE, tuple((float(x), float(y)) for x, y in shaken))
    assert off(card, read_photograph(picture, target=view)).mean() < 1.6


def test_a_target_that_is_not_there_is_asked_for(shot):
    _, picture, _ = shot
    rng = np.random.default_rng(1)
    other = ReferenceTarget(REFERENCE.names, rng.permutation(REFERENCE.xyz))
    with pytest.raises(CardError, match=r"was not found beyond doubt\. Point at its four corners"):
        read_photograph(picture, target=TargetView(other))
    alone = jpeg(photograph(paint("full", seed=3))[0])
    with pytest.raises(CardError, match="target of 12 by 8 patches was not found"):
        read_photograph(alone, target=TargetView(REFERENCE))


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ([[0, 0], [900, 900], [900, 0], [0, 900]], "do not span a four-sided figure"),
        ([[-900, 0], [900, 0], [900, 900], [0, 900]], "do not span a four-sided figure"),
        ([[100, 900], [900, 900], [900, 100], [100, 100]], "wrong way round"),
        ([[100, 100], [120, 100], [120, 120], [100, 120]], "too small in the picture"),
    ],
)
def test_senseless_corners_are_refused(shot, corners, words):
    view = TargetView(REFERENCE, tuple((float(x), float(y)) for x, y in corners))
    with pytest.raises(CardError, match=words):
        read_photograph(shot[1], target=view)


@pytest.mark.parametrize("text", ["", "1,2 3,4", "a,b c,d e,f g,h", "1,2 3,4 5,6 7", "nan,1 2,3 4,5 6,7"])
def test_corners_that_are_none_are_named(text):
    with pytest.raises(InputError, match="four points of the picture"):
        corners_from_text(text)


def test_the_helper_lays_points_as_the_photographs_do(shot):
    card = shot[0]
    matrix = np.eye(3)
    x, y, width, height = card.box("white")
    np.testing.assert_allclose(at_mm(matrix, [[x, y]])[0], to_px(matrix, [x, y, width, height])[0])
