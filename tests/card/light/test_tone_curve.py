"""The tone curve by the card's own checker steps: a bent one is found, a straight one left alone."""

import numpy as np
import pytest
from tests.card.photographs import Shot, jpeg, paint, photograph

from scumble.card.find.fiducials import find_tags
from scumble.card.find.placement import place_card
from scumble.card.light.lighting import read_lighting
from scumble.card.light.tone_bend import bend_light
from scumble.card.light.tone_curve import read_tone_curve
from scumble.card.picture.points import load_picture
from scumble.colour import decode_srgb, encode_srgb


def tone_of(codes):
    picture = load_picture(jpeg(codes, quality=95))
    placement = place_card(find_tags(picture, enough=7), size_px=picture.size_px)
    return read_tone_curve(picture, placement, read_lighting(picture, placement))


@pytest.fixture(scope="module")
def straight():
    return photograph(paint("full", seed=2), Shot(noise=0.003))[0]


def bent(code, s_shape):
    return code + s_shape * code * (1 - code) * (2 * code - 1)


def test_bends_undo_what_was_done_to_codes():
    code = np.linspace(0, 1, 101)
    for s_shape, one_side in ((0.3, 0.0), (-0.2, 0.1), (0.0, -0.2)):
        file = code + s_shape * code * (1 - code) * (2 * code - 1) + one_side * code * (1 - code)
        back = encode_srgb(bend_light(decode_srgb(file), np.array([s_shape, one_side])))
        np.testing.assert_allclose(back, code, atol=2e-3)


@pytest.mark.parametrize("s_shape", [0.25, 0.4])
def test_a_bent_curve_is_found(straight, s_shape):
    tone = tone_of(bent(straight, s_shape))
    assert tone is not None
    assert 0.4 * s_shape < tone.bends[0] < 1.3 * s_shape
    assert tone.known < 1.0


def test_a_straight_curve_is_left_alone(straight):
    assert tone_of(straight) is None
