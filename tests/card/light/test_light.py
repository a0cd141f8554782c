"""Evening out the light, averaging tiles, and calibrating on paper and black."""

import numpy as np
import pytest

from scumble.card.find.fiducials import FoundTag
from scumble.card.find.placement import place_card
from scumble.card.light.calibrate import BLACKEST_SHARE, PAPER_Y, calibrate
from scumble.card.light.lighting import read_lighting
from scumble.card.light.sampling import robust_centre, sample_box
from scumble.card.picture.points import Picture
from scumble.card.picture.profile import Encoding, srgb_encoding
from scumble.card.sheet.geometry import Box, card_geometry
from scumble.colour import white_point
from scumble.errors import CardError

SCALE = 4.0
LINEAR = Encoding("linear", np.tile(np.linspace(0, 1, 65536), (3, 1)), srgb_encoding().rgb_to_xyz)
PLACEMENT = place_card(
    [
        FoundTag(fiducial.number, SCALE * np.array(fiducial.box.corners_mm) - 0.5)
        for fiducial in card_geometry("full").fiducials
    ]
)


def picture_of(light):
    """A picture whose light at x, y [mm] is a function of them, seen straight on."""
    width, height = (round(SCALE * side) for side in PLACEMENT.geometry.page_mm)
    x, y = np.meshgrid((np.arange(width) + 0.5) / SCALE, (np.arange(height) + 0.5) / SCALE)
    codes = np.rint(65535 * np.clip(np.broadcast_to(light(x, y), (height, width, 3)), 0, 1)).astype(np.uint16)
    return Picture(codes, LINEAR, ())


def slope(x, y):
    fall = 0.8 - 0.001 * x + 0.0005 * y - 1.5e-6 * (x - 100) ** 2
    return np.stack([fall, 0.9 * fall, 0.7 * fall * (1 + 0.0004 * y)], axis=-1)


def test_tiles_hold_the_mean_light_of_their_places():
    box = Box(60.0, 70.0, 16.0, 10.0)
    sample = sample_box(picture_of(slope), PLACEMENT, box)
    assert sample.tiles.shape == (40, 3)
    np.testing.assert_allclose(sample.tiles, slope(*sample.centres_mm.T), rtol=5e-4)
    assert sample.points == 64 * 40
    assert (sample.inside, sample.clipped, sample.cut_off) == (1.0, 0.0, (0.0, 0.0, 0.0))


def test_averages_are_of_light_not_of_codes():
    """Half black and half white is half the light (IEC 61966-2-1 has it at code 188 of 255, not 128)."""
    codes = np.zeros((1188, 840, 3), np.uint8)
    codes[:, ::2] = 255
    sample = sample_box(Picture(codes, srgb_encoding(), ()), PLACEMENT, Box(60.0, 70.0, 16.0, 10.0))
    np.testing.assert_allclose(sample.tiles, 0.5, atol=1e-6)


def test_a_box_beside_the_picture_gives_nothing():
    sample = sample_box(picture_of(slope), PLACEMENT, Box(-40.0, 10.0, 16.0, 10.0))
    assert (sample.points, sample.inside, len(sample.tiles)) == (0, 0.0, 0)


def test_the_centre_leaves_out_dust_and_glints_but_not_ridges():
    rng = np.random.default_rng(1)
    film = np.outer(0.2 * (1 + 0.08 * rng.standard_normal(64)), [1.0, 0.5, 0.2])
    centre, scatter, agreeing = robust_centre(film)
    np.testing.assert_allclose(centre, film[agreeing].mean(axis=0))
    assert agreeing.mean() > 0.95
    assert scatter == pytest.approx(0.08, abs=0.025)
    dirty = film.copy()
    dirty[:8] = 0.9
    np.testing.assert_allclose(robust_centre(dirty)[0], film[8:].mean(axis=0), rtol=0.02)


def test_smooth_light_is_found_to_two_thousandths():
    lighting = read_lighting(picture_of(slope), PLACEMENT)
    places = np.random.default_rng(0).uniform([25, 40], [185, 255], (200, 2))
    np.testing.assert_allclose(lighting.paper_at(places), slope(*places.T), rtol=2e-3)
    assert lighting.residual < 2e-3
    assert lighting.patches_left_out == 0


def test_painted_margins_do_not_pull_the_light():
    def splashed(x, y):
        light = slope(x, y)
        for box in PLACEMENT.geometry.bare_paper[::5]:
            inside = (abs(x - box.x_mm - 3) < 4) & (abs(y - box.y_mm - 3) < 4)
            light[inside] *= 0.4
        return light

    lighting = read_lighting(picture_of(splashed), PLACEMENT)
    places = np.random.default_rng(0).uniform([40, 60], [170, 230], (200, 2))
    np.testing.assert_allclose(lighting.paper_at(places), slope(*places.T), rtol=5e-3)
    assert lighting.patches_left_out >= 5


@pytest.mark.parametrize("width_mm", [4.0, 20.0, 50.0])
def test_the_edge_of_a_shadow_is_followed(width_mm):
    """Behind an edge across the card 60 % of the light is left; beside its penumbra the paper is right."""

    def shaded(x, y):
        behind = (0.8 * x + 0.6 * y) - 170.0
        return slope(x, y) * (1 - 0.4 / (1 + np.exp(-4.4 * behind / width_mm)))[..., None]

    lighting = read_lighting(picture_of(shaded), PLACEMENT)
    places = np.random.default_rng(0).uniform([40, 60], [170, 230], (400, 2))
    missed = np.abs(lighting.paper_at(places) / shaded(*places.T) - 1).max(axis=1)
    away = np.abs(0.8 * places[:, 0] + 0.6 * places[:, 1] - 170.0) > 30.0
    assert np.percentile(missed[away], 95) < 0.03
    assert np.median(missed[~away]) < 0.05
    assert lighting.patches_left_out <= 6


def test_overexposed_paper_is_refused():
    with pytest.raises(CardError, match="The paper is overexposed"):
        read_lighting(picture_of(lambda x, y: 2.0 * slope(x, y)), PLACEMENT)


def test_paper_comes_out_as_assumed_or_given():
    black = np.full(3, 0.05)
    assumed = calibrate(srgb_encoding(), black)
    np.testing.assert_allclose(assumed.to_xyz(np.ones(3)), white_point("D65", 2) * PAPER_Y / 100, rtol=1e-9)
    assert assumed.notes == (f"The paper is taken to be a neutral white of Y {PAPER_Y:g}.",)
    paper = np.array([78.0, 81.0, 92.0])
    given = calibrate(srgb_encoding(), black, paper_xyz=paper, black_share=0.04)
    np.testing.assert_allclose(given.to_xyz(np.ones(3)), paper, rtol=1e-9)
    np.testing.assert_allclose(given.to_xyz(black), 0.04 * paper, rtol=1e-9)
    assert given.notes == ()


def test_a_believable_black_is_believed():
    black = np.full(3, 0.07)
    calibration = calibrate(srgb_encoding(), black)
    np.testing.assert_array_equal(calibration.flare, 0.0)
    assert calibration.to_xyz(black)[1] == pytest.approx(0.07 * PAPER_Y)


def test_a_veiled_black_is_brought_to_the_palest_black():
    calibration = calibrate(srgb_encoding(), np.full(3, 0.2))
    assert calibration.to_xyz(np.full(3, 0.2))[1] == pytest.approx(BLACKEST_SHARE * PAPER_Y)
    assert any("veiling light" in note for note in calibration.notes)


def test_nothing_is_darker_than_no_light():
    assert calibrate(srgb_encoding(), np.full(3, 0.3)).to_xyz(np.zeros(3)).min() == 0.0
