"""Picture files of every kind, whole and hostile: read as they are meant, or refused with a sentence."""

import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from scumble.card.picture.points import load_picture
from scumble.errors import CardError

SIDE = 420
RNG = np.random.default_rng(4)
CODES = np.repeat(np.repeat(RNG.integers(0, 256, (21, 28, 3), np.uint8), 20, axis=0), 20, axis=1)


def file_of(image, kind, **options):
    file = io.BytesIO()
    image.save(file, kind, **options)
    return file.getvalue()


def coloured(mode="RGB"):
    return Image.fromarray(CODES).convert(mode)


JPEG = file_of(coloured(), "JPEG", quality=90, subsampling=0)
PNG = file_of(coloured(), "PNG")
TIFF = file_of(coloured(), "TIFF")


def png_of(width, height, data=b""):
    """A PNG that claims to be of a size, with so much compressed data."""

    def chunk(kind, content):
        return (
            struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
        )

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = [chunk(b"IHDR", header), chunk(b"IDAT", zlib.compress(data)), chunk(b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


@pytest.mark.parametrize(
    "content", [PNG, TIFF, file_of(coloured("P"), "PNG"), file_of(coloured("RGBA"), "PNG")]
)
def test_lossless_files_keep_their_codes(content):
    picture = load_picture(content)
    assert picture.size_px == CODES.shape[1::-1]
    assert picture.highest == 255
    if content in (PNG, TIFF):
        np.testing.assert_array_equal(picture.codes, CODES)


def test_a_jpeg_is_near_its_codes():
    assert np.abs(load_picture(JPEG).codes.astype(int) - CODES).mean() < 3


def test_the_file_ending_does_not_matter(tmp_path):
    file = tmp_path / "card.tiff"
    file.write_bytes(JPEG)
    assert load_picture(file).size_px == CODES.shape[1::-1]
    assert load_picture(str(file)).size_px == CODES.shape[1::-1]


def test_what_follows_a_picture_is_not_looked_at():
    hidden = JPEG + b"PK\x03\x04<script>alert(1)</script>" * 1000
    np.testing.assert_array_equal(load_picture(hidden).codes, load_picture(JPEG).codes)


def test_a_senseless_orientation_is_passed_over():
    for value in (0, 9, 60000):
        exif = Image.Exif()
        exif[274] = value
        assert load_picture(file_of(coloured(), "JPEG", exif=exif)).size_px == CODES.shape[1::-1]
    broken = JPEG[:2] + b"\xff\xe1\x00\x20Exif\x00\x00II*\x00\xff\xff\xff\xff" + b"\xff" * 14 + JPEG[2:]
    assert load_picture(broken).size_px == CODES.shape[1::-1]


@pytest.mark.parametrize("profile", [b"nonsense", b"\0" * 200, b"\xff" * 4000])
def test_a_broken_colour_profile_is_said(profile):
    picture = load_picture(file_of(coloured(), "PNG", icc_profile=profile))
    assert picture.notes == ("The colour profile cannot be used: taken as sRGB.",)
    np.testing.assert_array_equal(picture.codes, CODES)


SEVERAL = [coloured(), coloured().rotate(90)]

REFUSED = {
    "empty": (b"", "This file is empty"),
    "words": (b"area,film,X,Y,Z\n" * 50, "not a picture that can be read"),
    "nothing but zeros": (bytes(5000), "not a picture that can be read"),
    "a page": (b"%PDF-1.7\n" + bytes(500), "a PDF, not a photograph"),
    "from a phone": (b"\0\0\0\x18ftypheic" + bytes(500), "damaged or cut short"),
    "gif": (file_of(coloured("P"), "GIF"), r"\(GIF, BMP or WebP\)"),
    "bmp": (file_of(coloured(), "BMP"), r"\(GIF, BMP or WebP\)"),
    "webp": (file_of(coloured(), "WEBP"), r"\(GIF, BMP or WebP\)"),
    "print": (file_of(coloured("CMYK"), "JPEG"), "in CMYK, not in red, green and blue. Save it as RGB"),
    "print scan": (file_of(coloured("CMYK"), "TIFF"), "in CMYK, not in red, green and blue"),
    "lab": (file_of(coloured("LAB"), "TIFF"), "in LAB, not in red, green and blue"),
    "grey": (file_of(coloured("L"), "JPEG"), "black and white"),
    "bilevel": (file_of(coloured("1"), "PNG"), "black and white"),
    "grey in 16 bits": (file_of(Image.fromarray(CODES[..., 0].astype(np.uint16)), "PNG"), "black and white"),
    "moving": (file_of(SEVERAL[0], "PNG", save_all=True, append_images=SEVERAL[1:]), "several pictures"),
    "pages": (file_of(SEVERAL[0], "TIFF", save_all=True, append_images=SEVERAL[1:]), "several pictures"),
    "one point": (file_of(Image.new("RGB", (1, 1)), "PNG"), "too small: 1 by 1 points"),
    "a thread": (file_of(Image.new("RGB", (60000, 1)), "JPEG"), "too small: 60000 by 1 points"),
    "see-through": (file_of(Image.new("RGBA", (500, 500), (9, 9, 9, 90)), "PNG"), "transparent in places"),
    "short jpeg": (JPEG[: len(JPEG) // 2], "damaged or cut short"),
    "short png": (PNG[: len(PNG) // 2], "damaged or cut short"),
    "short tiff": (TIFF[: len(TIFF) // 2], "damaged or cut short"),
    "header only": (JPEG[:200], "damaged or cut short|not a picture"),
    "bomb": (png_of(60000, 60000), "3600 million points; at most 120"),
    "smaller bomb": (png_of(13000, 13000), "169 million points; at most 120"),
    "wide bomb": (png_of(60000, 2500), "150 million points; at most 120"),
    "hollow": (png_of(3000, 3000), "damaged or cut short"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_hostile_files_are_refused_with_a_sentence(name):
    content, sentence = REFUSED[name]
    with pytest.raises(CardError, match=sentence) as refused:
        load_picture(content)
    assert refused.value.seen.endswith((".", ")."))
    assert len(str(refused.value)) < 300


def test_a_huge_claim_takes_no_memory():
    import tracemalloc

    tracemalloc.start()
    with pytest.raises(CardError):
        load_picture(png_of(13000, 9900, b"\0" * 1000))
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 50_000_000


def test_missing_files_and_folders_are_named(tmp_path):
    with pytest.raises(CardError, match=r"There is no file absent\.jpg"):
        load_picture(tmp_path / "absent.jpg")
    with pytest.raises(CardError, match="cannot be read"):
        load_picture(tmp_path)


@settings(deadline=None, max_examples=60)
@given(st.binary(max_size=400))
def test_any_bytes_are_refused(content):
    with pytest.raises(CardError):
        load_picture(content)


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from([JPEG, PNG, TIFF, file_of(coloured("CMYK"), "JPEG")]),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), min_size=1, max_size=12),
    st.booleans(),
)
def test_damaged_pictures_are_read_or_refused(content, changes, at_start):
    broken = bytearray(content)
    reach = min(len(broken), 400) if at_start else len(broken)
    for place, value in changes:
        broken[min(int(place * reach), reach - 1)] = value
    try:
        picture = load_picture(bytes(broken))
    except CardError:
        return
    assert picture.codes.ndim == 3
