"""Colorimetry and cameras of the simulator, against published whites and a colour-management engine."""

import io

import numpy as np
import pytest
from demo.camera import CAMERAS
from demo.colorimetry import lab, weights, xyz
from demo.inks import GROUNDS
from PIL import Image, ImageCms


def test_white_of_daylight():
    """ASTM E308 white of D65, 2 degrees: 95.047, 100, 108.883."""
    np.testing.assert_allclose(weights().sum(axis=0), [95.047, 100, 108.883], atol=0.002)


def test_lab_of_greys():
    """CIE 15:2018: L* = 116 (Y/Yn)^(1/3) - 16, so 18 % grey is 49.496."""
    np.testing.assert_allclose(lab(np.full(36, 0.18)), [49.496, 0, 0], atol=1e-3)


@pytest.mark.parametrize("name", CAMERAS)
def test_a_perfect_diffuser_is_full_scale(name):
    np.testing.assert_allclose(CAMERAS[name].linear(np.ones(36)), 1, atol=1e-9)


def test_srgb_matrix():
    """IEC 61966-2-1 matrix, printed to four digits for a white rounded to (0.3127, 0.3290)."""
    expected = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    np.testing.assert_allclose(CAMERAS["srgb"].rgb_to_xyz(), expected, atol=3e-4)


@pytest.mark.parametrize("name", CAMERAS)
def test_the_profile_says_what_the_camera_did(name):
    camera = CAMERAS[name]
    spectra = [0.85 * GROUNDS["white"], GROUNDS["red"] * 0.9, np.full(36, 0.2)]
    codes = np.round(255 * camera.encode(np.array([camera.linear(spectrum) for spectrum in spectra])))
    picture = Image.fromarray(codes[None].astype(np.uint8))
    profile = ImageCms.ImageCmsProfile(io.BytesIO(camera.profile()))
    to_lab = ImageCms.buildTransform(
        profile,
        ImageCms.createProfile("LAB"),
        "RGB",
        "LAB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )
    raw = np.asarray(ImageCms.applyTransform(picture, to_lab))[0].astype(float)
    lightness = raw[:, 0] * 100 / 255
    # L* hardly depends on the adaptation to D50: 0.4 is the step of 8-bit L*, and red moves by about 1.
    difference = np.abs(lightness - lab(np.array(spectra))[:, 0])
    assert np.all(difference < [0.5, 1.6, 0.5])


def test_wide_camera_keeps_what_srgb_clips():
    blue = GROUNDS["cyan"]
    assert CAMERAS["srgb"].linear(blue).min() < 0 < CAMERAS["wide"].linear(blue).min()
    assert xyz(blue).min() > 0
