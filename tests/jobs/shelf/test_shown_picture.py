"""Pictures of the shelf as browsers can show them; the original is never touched."""

from __future__ import annotations

import io

import numpy as np
import pytest
import tifffile
from PIL import Image
from tests.card.picture.test_formats import CODES, DNG, HEIC

from scumble.jobs.shelf.shown_picture import kind_words, show_picture, shown_size
from scumble.store.picture import Picture

HIGH, WIDE = CODES.shape[:2]


def deep_tiff() -> bytes:
    file = io.BytesIO()
    tifffile.imwrite(file, CODES.astype(np.uint16) * 257, photometric="rgb")
    return file.getvalue()


def jpeg() -> bytes:
    file = io.BytesIO()
    Image.fromarray(CODES).save(file, "JPEG")
    return file.getvalue()


@pytest.mark.parametrize(
    ("content", "kind"),
    [(HEIC, "image/heic"), (deep_tiff(), "image/tiff"), (DNG, "image/x-raw")],
    ids=["HEIC", "TIFF of 16 bits", "raw"],
)
def test_what_browsers_do_not_show_comes_as_a_jpeg(content: bytes, kind: str) -> None:
    picture = Picture(content, kind)
    shown = show_picture(picture)
    assert shown is not None and shown.media_type == "image/jpeg"
    assert shown.size_px == shown_size(picture) == (WIDE, HIGH)
    with Image.open(io.BytesIO(shown.content)) as copy:
        assert copy.size == (WIDE, HIGH)
    assert picture.content == content


def test_colours_of_a_deep_tiff_are_shown_as_they_are() -> None:
    shown = show_picture(Picture(deep_tiff(), "image/tiff"))
    assert shown is not None
    with Image.open(io.BytesIO(shown.content)) as copy:
        seen = np.asarray(copy).astype(int)[10::20, 10::20]
    assert np.abs(seen - CODES[10::20, 10::20]).mean() < 6


def test_a_small_jpeg_comes_as_it_came() -> None:
    shown = show_picture(Picture(jpeg(), "image/jpeg"))
    assert shown is not None and shown.content == jpeg() and shown.size_px == (WIDE, HIGH)


@pytest.mark.parametrize("kind", ["image/jpeg", "image/heic", "image/x-raw"])
def test_what_cannot_be_opened_is_not_shown(kind: str) -> None:
    broken = Picture(b"\xff\xd8\xffnothing", kind)
    assert show_picture(broken) is None and shown_size(broken) is None


def test_what_it_is_is_said() -> None:
    assert kind_words(Picture(bytes(10_600_000), "image/x-raw")) == "camera raw, 10.6 MB"
