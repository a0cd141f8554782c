"""Veiling light from dark places, lost channels, and what a reading promises."""

import numpy as np
import pytest

from scumble.card.light.beyond_space import LEARNT, lost_in
from scumble.card.light.lost import KEPT, restore_lost
from scumble.card.light.veil import Veil, estimate_veil, take_off
from scumble.card.promise import reading_bounds
from scumble.colour import spectral_weights, white_point
from scumble.colour.screen import LINEAR_RGB_TO_XYZ
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import CardReadings, Quantity, Reading


def test_a_veil_never_exceeds_the_darkest_place():
    for black in (0.03, 0.05, 0.1):
        for darkest in (0.002, 0.02, black):
            veil = estimate_veil(black, darkest)
            assert 0.0 <= veil.light <= min(black, darkest)
            assert 0.0 < veil.doubt <= min(black, darkest)


def test_a_veil_has_one_light_or_one_for_each_channel():
    assert Veil(0.01, 0.002).each.tolist() == [0.01] * 3
    tinted = Veil(0.01, 0.002, np.array([0.012, 0.01, 0.008]))
    own = np.array([0.3, 0.2, 0.1])
    veiled = tinted.each + own * (1.0 - tinted.each)
    np.testing.assert_allclose(take_off(veiled, tinted.each), own)


def test_veils_drawn_from_what_is_believed_are_found_without_bias():
    """Blacks and veils as the estimate believes them: off by no more than it says, in the mean by nothing."""
    rng = np.random.default_rng(0)
    missed, said = [], []
    for _ in range(400):
        veil, own = rng.exponential(0.012), 0.045 * np.exp(0.4 * rng.standard_normal())
        found = estimate_veil(veil + own * (1 - veil), veil + own * (1 - veil))
        missed.append(found.light - veil)
        said.append(found.doubt)
    assert abs(np.mean(missed)) < 0.002
    assert np.std(missed) == pytest.approx(np.sqrt(np.mean(np.square(said))), rel=0.35)


def test_a_veil_is_taken_off_and_leaves_white_alone():
    np.testing.assert_allclose(take_off(np.array([1.0, 0.03, 0.515]), 0.03), [1.0, 0.0, 0.5])


def test_what_was_not_lost_is_left_as_it_was():
    xyz = np.array([30.0, 40.0, 50.0])
    kept, directions = restore_lost(xyz, np.full(3, 0.4), 100 * LINEAR_RGB_TO_XYZ, np.zeros(3, bool))
    np.testing.assert_array_equal(kept, xyz)
    assert directions == ()


def test_a_restored_colour_never_falls_to_nothing():
    light = np.array([0.0, 0.01, 0.9])
    xyz = 100 * LINEAR_RGB_TO_XYZ @ light
    moved, directions = restore_lost(xyz, light, 100 * LINEAR_RGB_TO_XYZ, np.array([True, True, False]))
    assert np.all(moved >= (KEPT - 1e-9) * xyz)
    assert len(directions) == 2


def promised(values, *, camera=None, noise=0.003, blind=()):
    reading = Reading("full-white", "full", 1.0, 0.0, "white", np.array(values), blind=blind)
    return reading_bounds(CardReadings((reading,), Quantity.XYZ, noise=noise, camera=camera))[0]


def test_a_bound_grows_with_every_doubt():
    plain = promised([30.0, 25.0, 10.0])
    assert 0.3 < plain < 1.0
    for doubt in (
        CameraDoubt(sensor=0.5),
        CameraDoubt(paper=0.03),
        CameraDoubt(tint=0.02),
        CameraDoubt(veil=0.01),
        CameraDoubt(tone=0.05),
        CameraDoubt(chroma=0.05),
    ):
        assert promised([30.0, 25.0, 10.0], camera=doubt) > 1.05 * plain
    assert promised([30.0, 25.0, 10.0], blind=((0.0, 0.0, 5.0),)) > 2 * plain


def test_a_bound_holds_for_cameras_drawn_at_random():
    """Smooth reflectances through the cameras that are believed: 19 of 20 lie within it, give or take."""
    from benchmarks.cameras import camera_weights

    from scumble.colour import delta_e_2000, xyz_to_lab

    white, wave = white_point("D65", 2), np.linspace(-1, 1, 36)
    rng = np.random.default_rng(3)
    within = []
    for seed in range(40):
        seen_by = 100 * camera_weights(seed)
        for _ in range(8):
            height, slope, bend = rng.normal(-0.5, 1.0), rng.normal(0, 1.5), rng.normal(0, 1.5)
            film = 1 / (1 + np.exp(-(height + slope * wave + bend * np.cos(3 * wave))))
            read, true = film @ seen_by, film @ spectral_weights("D65", 2)
            off = float(delta_e_2000(xyz_to_lab(read, white), xyz_to_lab(true, white)))
            within.append(off <= promised(read, camera=CameraDoubt(sensor=1.0), noise=0.005))
    assert 0.88 <= np.mean(within) <= 1.0


def test_a_white_card_is_promised_as_closely_as_it_is_read():
    """Scatter moves X, Y and Z alike for the most part: a white is off in lightness, hardly in hue."""
    white = (0.86 * white_point("D65", 2)).tolist()
    singly = promised(white, camera=CameraDoubt(apart=1.0), noise=0.015)
    together = promised(white, camera=CameraDoubt(apart=0.35), noise=0.015)
    assert together < 0.5 * singly
    # The sensor hardly shows on a grey, whose spectrum is level; on a strong colour it does.
    sensor = CameraDoubt(sensor=0.5, apart=0.0)
    assert 3 * promised(white, camera=sensor) < promised([35.0, 20.0, 4.0], camera=sensor)


@pytest.mark.parametrize("space", range(2))
def test_lost_channels_are_what_random_films_and_cameras_leave(space):
    """The numbers that stand in the table are those that its command counts."""
    from benchmarks.lost_channels import count_lost, rgb_to_xyz

    primaries = list(LEARNT)[space]
    counted, count = count_lost(primaries)
    assert min(count) > 5000
    np.testing.assert_allclose(LEARNT[primaries].middle, counted.middle, atol=0.002)
    np.testing.assert_allclose(LEARNT[primaries].spread, counted.spread, atol=0.002)
    assert lost_in(80 * rgb_to_xyz(primaries)) is LEARNT[primaries]
