"""ICC profiles of curves and a matrix, made here and by others, whole and broken."""

import io
import struct

import numpy as np
import pytest
from demo.camera import CAMERAS
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from scumble.card.picture.points import load_picture
from scumble.card.picture.profile import encoding_from_icc, srgb_encoding
from scumble.colour import white_point

SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=list(CAMERAS))
def test_matrix_and_curve_come_back(camera):
    encoding = encoding_from_icc(camera.profile())
    assert encoding.name == camera.name
    # Profiles hold s15Fixed16 numbers: steps of 1.5e-5.
    np.testing.assert_allclose(encoding.rgb_to_xyz, camera.rgb_to_xyz(), atol=5e-5)
    np.testing.assert_allclose(encoding.curves, srgb_encoding().curves, atol=3e-5)
    np.testing.assert_allclose(encoding.rgb_to_xyz.sum(axis=1), white_point("D65", 2) / 100, atol=1e-9)


def test_the_srgb_profile_of_another_maker_is_srgb():
    encoding = encoding_from_icc(SRGB)
    # IEC 61966-2-1:1999 prints its matrix to four digits.
    printed = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    np.testing.assert_allclose(encoding.rgb_to_xyz, printed, atol=4e-4)
    np.testing.assert_allclose(encoding.curves, srgb_encoding().curves, atol=3e-5)


def with_curve(curve: bytes) -> bytes:
    """The sRGB camera's profile with another curve for all channels."""
    profile = CAMERAS["srgb"].profile()
    (count,) = struct.unpack_from(">I", profile, 128)
    table = bytearray(profile[: 132 + 12 * count])
    for number in range(count):
        place = 132 + 12 * number
        if bytes(table[place + 1 : place + 4]) == b"TRC":
            struct.pack_into(">II", table, place + 4, len(profile), len(curve))
    return bytes(table) + profile[len(table) :] + curve


def fixed(*values):
    return b"".join(struct.pack(">i", round(65536 * value)) for value in values)


def parametric(kind, *values):
    return b"para" + bytes(4) + struct.pack(">HH", kind, 0) + fixed(*values)


X = np.linspace(0, 1, 256)

# The five functions of the parametric curve type in ICC.1:2022, evaluated here from their printed definition.
CURVES = {
    "identity": (b"curv" + bytes(4) + struct.pack(">I", 0), X),
    "gamma": (b"curv" + bytes(4) + struct.pack(">IH", 1, round(2.2 * 256)), X ** (round(2.2 * 256) / 256)),
    "table": (
        b"curv" + bytes(4) + struct.pack(">I3H", 3, 0, 20000, 65535),
        np.interp(X, [0, 0.5, 1], [0, 20000 / 65535, 1]),
    ),
    "para 0": (parametric(0, 1.8), X**1.8),
    "para 1": (parametric(1, 2.0, 1.1, -0.11), np.where(X >= 0.1, np.maximum(1.1 * X - 0.11, 0) ** 2, 0.0)),
    "para 2": (
        parametric(2, 2.0, 1.1, -0.11, 0.05),
        np.where(X >= 0.1, np.maximum(1.1 * X - 0.11, 0) ** 2 + 0.05, 0.05),
    ),
    "para 3": (parametric(3, 2.0, 0.9, 0.1, 0.5, 0.2), np.where(X >= 0.2, (0.9 * X + 0.1) ** 2, 0.5 * X)),
    "para 4": (
        parametric(4, 2.0, 0.9, 0.05, 0.5, 0.2, 0.02, 0.01),
        np.where(X >= 0.2, (0.9 * X + 0.05) ** 2 + 0.02, 0.5 * X + 0.01),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CURVES)
def test_every_kind_of_curve(name):
    curve, expected = CURVES[name]
    encoding = encoding_from_icc(with_curve(curve))
    np.testing.assert_allclose(encoding.curves, np.tile(expected, (3, 1)), atol=1e-4)


def test_profiles_of_another_kind_are_left_to_others():
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    assert encoding_from_icc(lab) is None
    assert encoding_from_icc(b"") is None
    assert encoding_from_icc(with_curve(b"text" + bytes(20))) is None
    assert encoding_from_icc(with_curve(b"para" + bytes(4) + struct.pack(">HH", 9, 0))) is None


def test_a_profile_without_a_matrix_is_applied_through_tables(monkeypatch):
    """A scanner's profile holds tables; what matters is that its colours arrive in sRGB, and that this is said."""
    monkeypatch.setattr("scumble.card.picture.points.encoding_from_icc", lambda *_args, **_options: None)
    codes = np.full((500, 500, 3), (200, 120, 60), np.uint8)
    file = io.BytesIO()
    Image.fromarray(codes).save(file, "PNG", icc_profile=CAMERAS["phone"].profile())
    picture = load_picture(file.getvalue())
    assert picture.notes == ("The colour profile was applied in 8 bits; colours beyond sRGB are clipped.",)
    linear = srgb_encoding().to_linear(codes[0, 0]) @ CAMERAS["phone"].rgb_to_xyz().T
    shown = picture.encoding.to_linear(picture.codes[0, 0]) @ picture.encoding.rgb_to_xyz.T
    np.testing.assert_allclose(shown, linear, rtol=0.02)


@settings(deadline=None, max_examples=150)
@given(st.binary(max_size=600))
def test_any_bytes_give_nothing(content):
    assert encoding_from_icc(content) is None


@settings(deadline=None, max_examples=200)
@given(st.lists(st.tuples(st.integers(0, len(SRGB) - 1), st.integers(0, 255)), min_size=1, max_size=20))
def test_damaged_profiles_give_light_or_nothing(changes):
    broken = bytearray(SRGB)
    for place, value in changes:
        broken[place] = value
    encoding = encoding_from_icc(bytes(broken))
    if encoding is not None:
        assert np.isfinite(encoding.curves).all()
        assert np.isfinite(encoding.rgb_to_xyz).all()
