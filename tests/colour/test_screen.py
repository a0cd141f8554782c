"""The colour on a screen: against IEC 61966-2-1 and colour-science, and what it keeps when it must clip."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.colour import (
    LIGHTS,
    OBSERVERS,
    decode_srgb,
    encode_srgb,
    lab_to_xyz,
    lch_to_lab,
    rgb_to_hex,
    srgb_to_xyz,
    white_point,
    xyz_to_srgb,
)
from scumble.colour.gamut import reduce_chroma, rgb_to_opponent
from scumble.colour.screen import LINEAR_RGB_TO_XYZ
from scumble.errors import InputError

with warnings.catch_warnings(), np.printoptions():  # it sets numpy's print options for everyone
    warnings.simplefilter("ignore")  # and warns about its optional parts
    import colour

RGB = st.tuples(*[st.floats(0, 1)] * 3).map(np.array)

# Surface colours far beyond any screen.
STRONG = (
    st.tuples(st.floats(5, 97), st.floats(0, 130), st.floats(0, 360))
    .map(lambda lch: lab_to_xyz(lch_to_lab(np.array(lch)), white_point()))
    .filter(lambda xyz: np.all(xyz > 0.05))
)


def test_the_matrix_is_the_one_the_standard_prints() -> None:
    # IEC 61966-2-1:1999, printed to 4 decimals.
    printed = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    assert np.abs(LINEAR_RGB_TO_XYZ - printed).max() <= 0.5e-4


@given(RGB)
def test_the_transfer_curve_agrees_with_colour_science(rgb: np.ndarray) -> None:
    # Its curve breaks at the rounded 0.0031308 as the standard's does; the two pieces miss each other by 1e-7 there.
    assert np.allclose(encode_srgb(rgb), colour.cctf_encoding(rgb, function="sRGB"), atol=2e-7)
    assert np.allclose(decode_srgb(rgb), colour.cctf_decoding(rgb, function="sRGB"), atol=2e-7)
    assert np.allclose(decode_srgb(encode_srgb(rgb)), rgb, atol=2e-7)


@given(RGB)
def test_screen_colours_agree_with_colour_science(rgb: np.ndarray) -> None:
    # The standard's matrix is printed to 4 decimals, the reference keeps those digits, this one derives them all.
    assert np.allclose(srgb_to_xyz(rgb), 100 * colour.sRGB_to_XYZ(rgb), atol=0.02)


@given(RGB, st.sampled_from(LIGHTS), st.sampled_from(OBSERVERS))
def test_what_the_screen_can_show_survives_the_way_there_and_back(
    rgb: np.ndarray, light: str, observer: int
) -> None:
    there, in_gamut = xyz_to_srgb(
        srgb_to_xyz(rgb, light=light, observer=observer), light=light, observer=observer
    )
    assert in_gamut
    assert np.allclose(there, rgb, atol=1e-6)


@pytest.mark.parametrize("observer", OBSERVERS)
@pytest.mark.parametrize("light", LIGHTS)
def test_the_white_of_every_light_is_the_white_of_the_screen(light: str, observer: int) -> None:
    rgb, in_gamut = xyz_to_srgb(white_point(light, observer), light=light, observer=observer)
    assert rgb.tolist() == pytest.approx([1.0, 1.0, 1.0], abs=1e-9)
    assert in_gamut


@given(STRONG)
def test_a_clipped_colour_keeps_its_luminance_and_hue_and_gains_no_chroma(xyz: np.ndarray) -> None:
    rgb, in_gamut = xyz_to_srgb(xyz)
    assert np.all((rgb >= 0.0) & (rgb <= 1.0))
    shown = srgb_to_xyz(rgb)
    # Out to the tolerance of the gamut: 1e-4 of linear light.
    assert shown[1] == pytest.approx(xyz[1], abs=0.01)
    if not in_gamut:
        before, after = (
            rgb_to_opponent(np.linalg.solve(LINEAR_RGB_TO_XYZ, colour_ / 100)) for colour_ in (xyz, shown)
        )
        assert np.hypot(*after[1:]) <= np.hypot(*before[1:]) * (after[0] / before[0]) + 1e-3
        across = before[1] * after[2] - before[2] * after[1]
        assert abs(across) <= 1e-3 * np.hypot(*before[1:])


@given(STRONG)
def test_a_clipped_colour_lies_on_the_edge_of_the_screen(xyz: np.ndarray) -> None:
    rgb, in_gamut = xyz_to_srgb(xyz)
    if not in_gamut:
        edge = min(decode_srgb(rgb).min(), 1.0 - decode_srgb(rgb).max())
        assert edge < 2e-3


def test_clipping_is_smooth_along_a_ramp_of_chroma() -> None:
    lch = np.stack([np.full(400, 55.0), np.linspace(0.0, 110.0, 400), np.full(400, 190.0)], axis=-1)
    rgb, in_gamut = xyz_to_srgb(lab_to_xyz(lch_to_lab(lch), white_point()))
    assert in_gamut[0] and not in_gamut[-1]
    assert np.all(np.diff(in_gamut.astype(int)) <= 0)
    assert np.abs(np.diff(rgb, axis=0)).max() < 0.03


def test_lighter_than_white_is_white_and_darker_than_black_is_black() -> None:
    rgb, in_gamut = xyz_to_srgb([[120.0, 130.0, 140.0], [-1.0, -1.0, -1.0]])
    assert np.allclose(rgb, [[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]], atol=1e-8)
    assert in_gamut.tolist() == [False, False]


def test_an_image_keeps_its_shape() -> None:
    image = np.linspace(0.0, 95.0, 4 * 5 * 3).reshape(4, 5, 3)
    rgb, in_gamut = xyz_to_srgb(image)
    assert rgb.shape == (4, 5, 3)
    assert in_gamut.shape == (4, 5)
    one, flag = xyz_to_srgb(image[3, 2])
    assert np.allclose(rgb[3, 2], one, atol=1e-12)
    assert in_gamut[3, 2] == flag


def test_reducing_chroma_leaves_a_grey_alone() -> None:
    grey = np.array([[0.2, 0.2, 0.2]])
    assert np.allclose(reduce_chroma(grey, luminance=LINEAR_RGB_TO_XYZ[1]), grey, atol=1e-12)


def test_unknown_light_is_refused() -> None:
    with pytest.raises(InputError, match="light: saw 'D55'; allowed is one of D65, D50, A, LED-B3"):
        xyz_to_srgb([20.0, 20.0, 20.0], light="D55")


def test_hex_rounds_and_clips() -> None:
    assert rgb_to_hex([0.0, 0.5, 1.0]) == "#0080ff"
    assert rgb_to_hex([-0.2, 1.2, 0.2]) == "#00ff33"
