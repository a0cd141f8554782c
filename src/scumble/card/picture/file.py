"""Open a picture file with care: decode what can be read within bounds of memory, refuse the rest in words."""

from __future__ import annotations

import io
import struct
import warnings
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.kinds import HEIC, picture_kind
from scumble.errors import CardError

MAX_BYTES: Final = 400_000_000
MAX_PIXELS: Final = 120_000_000
"""Picture points; 8 bits take 0.4 GB at this size."""

MAX_DEEP_PIXELS: Final = 60_000_000
"""The same of 16 bits a channel; an A4 page at 600 dots per inch has 35 million."""

REDUCED_FROM_PIXELS: Final = 50_000_000
"""Points from which a JPEG is decoded at half, a quarter or an eighth of its size, which its blocks allow for nothing:
a phone's largest pictures hold no more detail than that."""

MOST_REDUCED_PIXELS: Final = 3_000_000_000

MIN_SIDE_PX: Final = 400

_FORMATS: Final = ("JPEG", "PNG", "TIFF")
"""Readers that may try a file; the MPO of a phone opens as the JPEG it begins with."""

_DAMAGE: Final = (
    OSError,
    SyntaxError,
    ValueError,
    KeyError,
    TypeError,
    IndexError,
    OverflowError,
    struct.error,
)
"""What Pillow raises on a damaged file."""

_KINDS: Final = "a JPEG, PNG, TIFF, HEIC or camera raw picture"
_GREY_MODES: Final = ("1", "L", "LA", "I", "F", "I;16", "I;16B", "I;16L", "I;16N")


def decode_picture(
    content: bytes, *, least_side_px: int = MIN_SIDE_PX
) -> tuple[NDArray[np.integer], bytes | None]:
    """Code values of a JPEG, PNG, TIFF or HEIC file, upright, and the ICC profile it carries.

    Parameters
    ----------
    content : bytes
        The file.
    least_side_px : int [px]
        Of the shorter side.

    Returns
    -------
    codes, profile : array of uint8 or uint16, shape (height, width, 3); bytes or None
        A very large JPEG comes at half, a quarter or an eighth of its size.

    Raises
    ------
    CardError
        If it is no such picture, is damaged, too small or too large, has no colour, moves, or is meant for print.
    """
    image = _open(content)
    _reduce(image)
    check_size(*image.size, least_side_px=least_side_px)
    _check_kind(image)
    deep = _is_deep(image, content)
    _decode(image)
    codes = _codes(image)
    if deep:
        codes = _deep_codes(content, codes)
    return _upright(codes, image), image.info.get("icc_profile")


def load_content(path: Path) -> bytes:
    """Bytes of a file that is not too large.

    Raises
    ------
    CardError
        If it is missing, too large or cannot be read.
    """
    try:
        if path.stat().st_size > MAX_BYTES:
            raise CardError(
                f"{path.name} is larger than {MAX_BYTES // 1_000_000} MB.", "Save a smaller copy."
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise CardError(f"There is no file {path.name}.", "Check its name and folder.") from None
    except OSError as error:
        raise CardError(f"{path.name} cannot be read: {error.strerror}.", "") from None


@cache
def _pillow() -> Any:
    """Pillow, told for good that the size of a picture and broken remarks in its file are judged here, in words.

    It can't be told for a moment only: what one thread of a program takes back, it takes from the others as well.
    """
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = None
    for module in ("PIL", "pillow_heif", "tifffile"):
        warnings.filterwarnings("ignore", module=module)
    return Image


def _open(content: bytes) -> Any:
    """The picture before its points are decoded."""
    from PIL import UnidentifiedImageError

    if picture_kind(content) == HEIC:
        return _open_heic(content)
    try:
        return _pillow().open(io.BytesIO(content), formats=_FORMATS)
    except UnidentifiedImageError:
        raise CardError(f"This file is {_guess(content)}.", f"Give {_KINDS}.") from None
    except _DAMAGE as error:
        raise _damaged(error) from None


def _open_heic(content: bytes) -> Any:
    """The picture of a HEIC file as its reader turns it upright by itself."""
    import pillow_heif

    _pillow()
    open_heif: Any = pillow_heif.HeifImageFile
    try:
        opened = open_heif(io.BytesIO(content))
    except (*_DAMAGE, RuntimeError, EOFError) as error:
        raise _damaged(error) from None
    return opened


def _reduce(image: Any) -> None:
    """Have a very large JPEG decoded at a part of its size."""
    width, height = image.size
    points = width * height
    if image.format not in ("JPEG", "MPO") or not REDUCED_FROM_PIXELS < points <= MOST_REDUCED_PIXELS:
        return
    shrink = next((each for each in (2, 4, 8) if points / each**2 <= REDUCED_FROM_PIXELS), 8)
    image.draft("RGB", (width // shrink, height // shrink))


def _guess(content: bytes) -> str:
    """What a file that is no picture we read looks like."""
    if not content:
        return "empty"
    if content[4:8] == b"ftyp":
        return "a film, or a picture of a kind that is not read"
    if content.startswith(b"%PDF"):
        return "a PDF, not a photograph"
    if content.startswith((b"GIF8", b"BM", b"RIFF")):
        return "a picture of a kind that is not read (GIF, BMP or WebP)"
    return "not a picture that can be read"


def _too_large(count: str) -> CardError:
    return CardError(
        f"The picture has {count} points; at most {MAX_PIXELS // 1_000_000} million are read.",
        "Scan at 600 dots per inch or less, or save a smaller copy.",
    )


def _damaged(error: Exception) -> CardError:
    return CardError(f"The picture is damaged or cut short ({error}).", "Copy it from the camera again.")


def check_size(width: int, height: int, *, least_side_px: int = MIN_SIDE_PX) -> None:
    """Refuse a picture that is too large to hold or too small to read."""
    if width * height > MAX_PIXELS:
        raise _too_large(f"{width * height / 1e6:.0f} million")
    if min(width, height) < least_side_px:
        better = ", better 2000" if least_side_px == MIN_SIDE_PX else ""
        raise CardError(
            f"The picture is too small: {width} by {height} points.",
            f"The shorter side needs at least {least_side_px}{better}.",
        )


def _check_kind(image: Any) -> None:
    """Refuse what has no colour, moves, or is separated for print; a phone's file may hold more beside the picture."""
    if image.mode in _GREY_MODES:
        raise CardError("The picture is black and white.", "Photograph or scan the card in colour.")
    if image.mode not in ("RGB", "RGBA", "RGBX", "P", "PA"):
        raise CardError(f"The picture is in {image.mode}, not in red, green and blue.", "Save it as RGB.")
    if image.format not in ("MPO", "HEIF") and _has_more(image):
        raise CardError("The file holds several pictures.", "Give the photograph of one card.")


def _has_more(image: Any) -> bool:
    try:
        image.seek(1)
    except EOFError:
        return False
    except _DAMAGE as error:
        raise _damaged(error) from None
    finally:
        image.seek(0)
    return True


def _is_deep(image: Any, content: bytes) -> bool:
    """Whether channels have 16 bits, of which Pillow would keep 8."""
    if image.format == "PNG":
        deep = content[24] == 16
    else:
        bits = image.tag_v2.get(258, (8,)) if image.format == "TIFF" else (8,)
        deep = tuple(bits)[:3] == (16, 16, 16)
    if deep and image.size[0] * image.size[1] > MAX_DEEP_PIXELS:
        points = image.size[0] * image.size[1] / 1e6
        raise CardError(
            f"The picture has {points:.0f} million points of 16 bits; at most {MAX_DEEP_PIXELS // 1_000_000} million"
            " are read.",
            "Save it with 8 bits a channel, or a smaller copy.",
        )
    return deep


def _decode(image: Any) -> None:
    try:
        image.load()
    except (*_DAMAGE, RuntimeError, MemoryError) as error:
        raise _damaged(error) from None


def _codes(image: Any) -> NDArray[np.integer]:
    """Eight-bit channels; a picture one can see through is refused, for it has no colour of its own there."""
    if image.mode in ("RGBA", "PA") or "transparency" in image.info:
        seen = np.asarray(image.convert("RGBA"))
        if seen[..., 3].min() < 255:
            raise CardError("The picture is transparent in places.", "Save it without transparency.")
        return np.ascontiguousarray(seen[..., :3])
    return np.asarray(image if image.mode == "RGB" else image.convert("RGB"))


def _deep_codes(content: bytes, eight_bits: NDArray[np.integer]) -> NDArray[np.integer]:
    """Sixteen-bit channels; the eight bits that Pillow kept where OpenCV does not see the same picture."""
    import cv2

    decoded = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_UNCHANGED)
    if decoded is None or decoded.dtype != np.uint16 or decoded.shape[:2] != eight_bits.shape[:2]:
        return eight_bits
    return np.ascontiguousarray(decoded[..., 2::-1])


def _upright(codes: NDArray[np.integer], image: Any) -> NDArray[np.integer]:
    """Turn the picture as its EXIF orientation (CIPA DC-008, tag 274) asks; a senseless one is passed over."""
    try:
        orientation = image.getexif().get(274, 1)
    except _DAMAGE:
        orientation = 1
    # Each as (transpose, turn upside down, mirror), applied in this order.
    turns = {
        2: (False, False, True),
        3: (False, True, True),
        4: (False, True, False),
        5: (True, False, False),
        6: (True, False, True),
        7: (True, True, True),
        8: (True, True, False),
    }
    transpose, flip, mirror = turns.get(orientation, (False, False, False))
    seen = codes.transpose(1, 0, 2) if transpose else codes
    return np.ascontiguousarray(seen[:: -1 if flip else 1, :: -1 if mirror else 1])
