"""HEIC, camera raw, 16 bits and very large pictures: read as they are meant, or refused with a sentence."""

import io
import struct

import numpy as np
import pytest
import tifffile
from demo.camera import CAMERAS
from demo.raw_file import dng_file
from demo.sensor import colour_matrix
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from scumble.card.picture.kinds import media_type_of, picture_kind
from scumble.card.picture.points import load_picture
from scumble.errors import CardError

WIDE, HIGH = 640, 420
RNG = np.random.default_rng(7)
CODES = np.repeat(np.repeat(RNG.integers(20, 236, (21, 32, 3), np.uint8), 20, axis=0), 20, axis=1)
GAINS = np.array([2.0, 1.0, 1.6])
TO_XYZ = colour_matrix("mosaic", {"D65": 1.0})
LIGHT = np.repeat(np.repeat(RNG.uniform(0.02, 0.9, (7, 8, 3)), 60, axis=0), 80, axis=1)
DNG = dng_file(LIGHT, to_xyz=TO_XYZ, gains=GAINS)


def heic(image, **options):
    import pillow_heif

    file = io.BytesIO()
    pillow_heif.from_pillow(image).save(file, quality=95, **options)
    return file.getvalue()


HEIC = heic(Image.fromarray(CODES), icc_profile=CAMERAS["phone"].profile())


def test_kinds_are_told_by_first_bytes():
    assert picture_kind(DNG) == "camera raw"
    assert picture_kind(HEIC) == "HEIC"
    assert media_type_of(HEIC) == "image/heic"
    assert media_type_of(DNG[:4096]) == "image/x-raw"
    assert media_type_of(b"PK\x03\x04") is None
    # A raw file of another maker: a small copy first, the sensor's values in a directory below.
    entries = struct.pack("<HHHIHHHHIIHHIII", 2, 254, 4, 1, 1, 0, 330, 4, 1, 99, 0, 0, 0, 0, 0)
    assert picture_kind(b"II*\0" + struct.pack("<I", 8) + entries) == "camera raw"


def test_heic_keeps_its_colours_and_its_profile():
    picture = load_picture(HEIC)
    assert picture.size_px == (WIDE, HIGH)
    assert picture.encoding.name == CAMERAS["phone"].name
    middles = (slice(10, None, 20), slice(10, None, 20))
    assert np.abs(picture.codes[middles].astype(int) - CODES[middles]).mean() < 4


def test_heic_is_turned_once():
    """The box in the file turns it (ISO/IEC 23008-12); what EXIF says beside it must not turn it again."""
    exif = Image.Exif()
    exif[274] = 6
    picture = load_picture(heic(Image.fromarray(CODES), exif=exif.tobytes()))
    turned = CODES if picture.size_px == (WIDE, HIGH) else np.rot90(CODES, -1)
    assert picture.codes.shape == turned.shape
    middles = (slice(10, None, 20), slice(10, None, 20))
    assert np.abs(picture.codes[middles].astype(int) - turned[middles]).mean() < 6


def test_raw_gives_the_light_that_fell_on_the_sensor():
    picture = load_picture(DNG)
    assert picture.size_px == (WIDE, HIGH)
    assert picture.highest == 65535
    assert picture.notes == ()
    assert picture.doubt is not None
    seen = picture.encoding.to_linear(picture.codes[30::60, 40::80])
    np.testing.assert_allclose(seen / seen[0, 0], LIGHT[30::60, 40::80] / LIGHT[30, 40], rtol=0.02)
    # DNG holds its matrix in ten-thousandths.
    np.testing.assert_allclose(picture.encoding.rgb_to_xyz, TO_XYZ, atol=1e-3)


def test_raw_white_is_the_sensors_own_and_not_the_pictures():
    dim = load_picture(dng_file(0.5 * LIGHT, to_xyz=TO_XYZ, gains=GAINS))
    full = load_picture(DNG)
    np.testing.assert_allclose(
        dim.codes[30::60, 40::80] * 2.0, full.codes[30::60, 40::80], rtol=0.02, atol=40
    )


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bits_are_kept(kind):
    deep = CODES.astype(np.uint16) * 257 + np.uint16(3)
    file = io.BytesIO()
    if kind == "TIFF":
        tifffile.imwrite(file, deep, photometric="rgb", metadata=None)
    else:
        import cv2

        file.write(cv2.imencode(".png", deep[..., ::-1])[1].tobytes())
    np.testing.assert_array_equal(load_picture(file.getvalue()).codes, deep)


@pytest.mark.slow
def test_a_very_large_jpeg_is_decoded_at_a_part_of_its_size():
    file = io.BytesIO()
    Image.new("RGB", (60000, 1000), (200, 120, 60)).save(file, "JPEG")
    picture = load_picture(file.getvalue())
    assert picture.size_px == (30000, 500)
    np.testing.assert_allclose(picture.codes[200, 20000], (200, 120, 60), atol=3)


def jpeg_that_claims(width, height):
    file = io.BytesIO()
    Image.new("RGB", (64, 64)).save(file, "JPEG")
    content = bytearray(file.getvalue())
    frame = content.index(b"\xff\xc0")
    struct.pack_into(">HH", content, frame + 5, height, width)
    return bytes(content)


def test_a_jpeg_that_claims_more_than_it_holds_takes_little():
    import tracemalloc

    tracemalloc.start()
    with pytest.raises(CardError):
        load_picture(jpeg_that_claims(65000, 65000))
    assert tracemalloc.get_traced_memory()[1] < 50_000_000
    tracemalloc.stop()


@pytest.mark.parametrize("content", [DNG[:3000], HEIC[: len(HEIC) // 2], b"IIRO" + b"\1" * 500, DNG[:200]])
def test_short_files_are_refused_in_words(content):
    with pytest.raises(CardError, match=r"damaged|cut short|not a picture") as refused:
        load_picture(content)
    assert len(str(refused.value)) < 320


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from([DNG, HEIC]),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), min_size=1, max_size=8),
    st.booleans(),
)
def test_damaged_files_are_read_or_refused(content, changes, at_start):
    broken = bytearray(content)
    reach = min(len(broken), 900) if at_start else len(broken)
    for place, value in changes:
        broken[min(int(place * reach), reach - 1)] = value
    try:
        picture = load_picture(bytes(broken))
    except CardError:
        return
    assert picture.codes.ndim == 3


@settings(deadline=None, max_examples=100)
@given(st.sampled_from([b"II*\0", b"MM\0*", b"\0\0\0\x18ftyp"]), st.binary(max_size=200))
def test_any_bytes_have_a_kind_or_none(start, rest):
    assert picture_kind(start + rest) in ("", "TIFF", "camera raw", "HEIC")
