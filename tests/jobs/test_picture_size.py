"""Sizes of picture files, as browsers show them."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from scumble.jobs.picture_size import picture_size


def picture(kind: str, size: tuple[int, int], **more: object) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", size, "grey").save(file, kind, **more)  # type: ignore[arg-type]
    return file.getvalue()


@pytest.mark.parametrize("size", [(640, 480), (1, 3), (3001, 17)])
@pytest.mark.parametrize("more", [{}, {"progressive": True}, {"quality": 30, "icc_profile": b"x" * 5000}])
def test_jpeg(size: tuple[int, int], more: dict[str, object]) -> None:
    assert picture_size(picture("JPEG", size, **more)) == size


@pytest.mark.parametrize(
    ("orientation", "shown"), [(1, (60, 40)), (3, (60, 40)), (6, (40, 60)), (8, (40, 60))]
)
def test_a_turned_jpeg_is_as_it_is_shown(orientation: int, shown: tuple[int, int]) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    assert picture_size(picture("JPEG", (60, 40), exif=exif)) == shown


def test_png_and_others() -> None:
    assert picture_size(picture("PNG", (31, 7))) == (31, 7)
    assert picture_size(picture("TIFF", (31, 7))) is None
    assert picture_size(b"") is None and picture_size(b"not a picture") is None


def test_a_cut_file_has_no_size_and_raises_nothing() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    whole = picture("JPEG", (60, 40), exif=exif)
    start = whole.index(b"\xff\xda")
    for length in range(start):
        assert picture_size(whole[:length]) in (None, (40, 60), (60, 40))
    for length in range(40):
        picture_size(picture("PNG", (3, 3))[:length])
