"""Profiles made of tables: against what they were made from, against another reader, and broken."""

import io

import numpy as np
import pytest
from demo.device_profile import table_profile
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from scumble.card.picture.points import load_picture
from scumble.card.picture.profile import PCS_WHITE
from scumble.card.picture.profile_table import TableEncoding, table_from_icc
from scumble.colour import delta_e_2000, lab_to_xyz, white_point, xyz_to_lab
from scumble.errors import CardError

STEPS = np.linspace(0, 1, 9)
RED, GREEN, BLUE = np.meshgrid(STEPS, STEPS, STEPS, indexing="ij")
TABLE = np.stack(
    [
        100 * (0.3 * RED + 0.6 * GREEN + 0.1 * BLUE),
        60 * (RED - GREEN) * (0.4 + 0.6 * GREEN),
        70 * (0.5 * RED + 0.5 * GREEN - BLUE),
    ],
    axis=-1,
)
PAPER = np.array([0.83, 0.86, 0.70])
PROFILE = table_profile(TABLE, white_xyz=PAPER)


def lab_d50(encoding, codes):
    """Colours against the medium's white, back under D50 by the same smooth spectra."""
    xyz = 100 * encoding.to_linear(codes) @ encoding.rgb_to_xyz.T
    return xyz_to_lab(xyz, white_point("D65", 2))


def test_neutral_colours_come_out_against_a_perfect_diffuser():
    encoding = table_from_icc(PROFILE)
    assert isinstance(encoding, TableEncoding)
    for code in (255, 128, 64):
        codes = np.full((1, 3), code, np.uint8)
        lab = np.array([100 * code / 255, 0, 0])
        expected = lab_to_xyz(lab, PCS_WHITE) * PAPER / (PCS_WHITE / 100)
        seen = 100 * encoding.to_linear(codes)[0] @ encoding.rgb_to_xyz.T
        # A near-neutral's Y hardly depends on the light; between its table's nodes lightness runs straight.
        assert seen[1] == pytest.approx(expected[1], rel=0.01)


def test_colours_that_no_surface_has_are_led_on_evenly():
    """Nodes whose Z was cut at zero: X and Y come out near where plain adaptation leads them, whatever their Z."""
    lab = np.stack([30 + 20 * RED, 30 * GREEN, 60 + 70 * (1 - BLUE)], axis=-1)
    encoding = table_from_icc(table_profile(lab, white_xyz=PCS_WHITE / 100))
    codes = np.round(np.linspace(0, 255, 40)).astype(np.uint8)
    walk = np.stack([np.full(40, 128, np.uint8), np.full(40, 128, np.uint8), codes], axis=-1)
    luminance = (100 * encoding.to_linear(walk) @ encoding.rgb_to_xyz.T)[:, 1]
    np.testing.assert_allclose(luminance, lab_to_xyz(np.array([40.0, 0, 0]), PCS_WHITE)[1], rtol=0.06)


def test_the_grid_itself_is_met():
    encoding = table_from_icc(table_profile(TABLE, white_xyz=PCS_WHITE / 100), codes=65536)
    codes = np.round(STEPS * 65535).astype(np.uint16)
    at = np.stack(np.meshgrid(codes[3:7], codes[3:7], codes[3:7], indexing="ij"), axis=-1).reshape(-1, 3)
    seen = lab_d50(encoding, at)
    expected = TABLE[3:7, 3:7, 3:7].reshape(-1, 3)
    # Not the same light: what stays between D50 and D65 after each white is adapted to is small.
    off = delta_e_2000(seen, expected)
    assert off.mean() < 2.5
    np.testing.assert_allclose(seen[:, 0], expected[:, 0], atol=2.5)


def test_littlecms_sees_the_same_lightness():
    codes = np.stack(np.meshgrid([60, 140, 220], [60, 140, 220], [60, 140, 220]), axis=-1).reshape(1, -1, 3)
    codes = codes.astype(np.uint8)
    own = table_from_icc(table_profile(TABLE, white_xyz=PCS_WHITE / 100))
    lab = ImageCms.profileToProfile(
        Image.fromarray(codes),
        ImageCms.ImageCmsProfile(io.BytesIO(table_profile(TABLE, white_xyz=PCS_WHITE / 100))),
        ImageCms.createProfile("LAB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="LAB",
    )
    lightness = np.asarray(lab)[0, :, 0] / 255 * 100
    seen = lab_d50(own, codes[0])[:, 0]
    assert np.abs(seen - lightness).mean() < 1.5


def test_a_given_profile_stands_in_place_of_the_pictures_own():
    file = io.BytesIO()
    Image.fromarray(np.full((500, 500, 3), 180, np.uint8)).save(file, "PNG")
    picture = load_picture(file.getvalue(), profile=PROFILE)
    assert picture.is_absolute
    assert picture.encoding.name == "Scanner (simulated)"
    assert picture.notes == ()
    with pytest.raises(CardError, match="profile that was given cannot be used"):
        load_picture(file.getvalue(), profile=b"nonsense")
    with pytest.raises(CardError, match="profile that was given cannot be used"):
        load_picture(
            file.getvalue(), profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
        )


@settings(deadline=None, max_examples=150)
@given(
    st.lists(st.tuples(st.integers(0, 400), st.integers(0, 255)), min_size=1, max_size=12),
    st.integers(0, 3000),
)
def test_damaged_tables_give_light_or_nothing(changes, cut):
    broken = bytearray(PROFILE)
    for place, value in changes:
        broken[place] = value
    encoding = table_from_icc(bytes(broken[: len(broken) - cut]))
    if encoding is not None:
        codes = np.arange(256, dtype=np.uint8)[:, None].repeat(3, axis=1)
        assert np.isfinite(encoding.to_linear(codes)).all()
