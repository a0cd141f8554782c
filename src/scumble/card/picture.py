"""A picture file, opened with care: what kind it is, how large, what its numbers mean; or why it cannot be used."""

from __future__ import annotations

import io
import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.profile import Encoding, encoding_from_icc, srgb_encoding
from scumble.errors import CardError

MAX_BYTES: Final = 400_000_000
MAX_PIXELS: Final = 120_000_000
"""Picture points; 8 bits take 0.4 GB at this size."""

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

_KINDS: Final = "a JPEG, PNG or TIFF picture"
_GREY_MODES: Final = ("1", "L", "LA", "I", "F", "I;16", "I;16B", "I;16L", "I;16N")


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture upright as its file says it is to be seen.

    Parameters
    ----------
    codes : array of uint8 or uint16, shape (height, width, 3)
        Red, green and blue code values.
    encoding : Encoding
        What they mean.
    notes : tuple of str
        What had to be assumed.
    """

    codes: NDArray[np.integer]
    encoding: Encoding
    notes: tuple[str, ...]

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.codes.shape[1], self.codes.shape[0]

    @property
    def highest(self) -> int:
        """The highest code value: 255 or 65535."""
        return int(np.iinfo(self.codes.dtype).max)


def load_picture(source: Path | str | bytes) -> Picture:
    """Open a picture file.

    Parameters
    ----------
    source : path or bytes
        A JPEG, PNG or TIFF file of 8 or 16 bits a channel, or its content.

    Raises
    ------
    CardError
        If it is no such picture, is damaged, too small or too large, has no colour, moves, or is meant for print.
    """
    content = source if isinstance(source, bytes) else _content(Path(source))
    image = _open(content)
    _check_size(*image.size)
    _check_kind(image)
    deep = _is_deep(image, content)
    _decode(image)
    codes = _codes(image)
    if deep:
        codes = _deep_codes(content, codes)
    encoding, codes, notes = _encoding(image, codes)
    return Picture(_upright(codes, image), encoding, notes)


def _content(path: Path) -> bytes:
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


def _open(content: bytes) -> Any:
    """The picture before its points are decoded."""
    from PIL import Image, UnidentifiedImageError

    try:
        with _without_warnings():
            return Image.open(io.BytesIO(content), formats=_FORMATS)
    except Image.DecompressionBombError:
        raise _too_large("more than 170 million") from None
    except UnidentifiedImageError:
        raise CardError(f"This file is {_guess(content)}.", f"Give {_KINDS}.") from None
    except _DAMAGE as error:
        raise _damaged(error) from None


@contextmanager
def _without_warnings() -> Iterator[None]:
    """Keep Pillow from warning of size and of broken remarks in a file: both are judged here, in words."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def _guess(content: bytes) -> str:
    """What a file that is no picture we read looks like."""
    if not content:
        return "empty"
    if content[4:8] == b"ftyp":
        return "a HEIC picture or a film, which is not read yet"
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


def _check_size(width: int, height: int) -> None:
    if width * height > MAX_PIXELS:
        raise _too_large(f"{width * height / 1e6:.0f} million")
    if min(width, height) < MIN_SIDE_PX:
        raise CardError(
            f"The picture is too small: {width} by {height} points.",
            f"The shorter side needs at least {MIN_SIDE_PX}, better 2000.",
        )


def _check_kind(image: Any) -> None:
    """Refuse what has no colour, moves, or is separated for print."""
    if image.mode in _GREY_MODES:
        raise CardError("The picture is black and white.", "Photograph or scan the card in colour.")
    if image.mode not in ("RGB", "RGBA", "RGBX", "P", "PA"):
        raise CardError(f"The picture is in {image.mode}, not in red, green and blue.", "Save it as RGB.")
    if image.format != "MPO" and _has_more(image):
        raise CardError("The file holds several pictures.", "Give the photograph of one card.")


def _has_more(image: Any) -> bool:
    try:
        with _without_warnings():
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
        return content[24] == 16
    bits = image.tag_v2.get(258, (8,)) if image.format == "TIFF" else (8,)
    return tuple(bits)[:3] == (16, 16, 16)


def _decode(image: Any) -> None:
    try:
        with _without_warnings():
            image.load()
    except _DAMAGE as error:
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


def _encoding(
    image: Any, codes: NDArray[np.integer]
) -> tuple[Encoding, NDArray[np.integer], tuple[str, ...]]:
    """What the code values mean; a profile made of tables is applied at once."""
    count = int(np.iinfo(codes.dtype).max) + 1
    profile = image.info.get("icc_profile")
    if not profile:
        return srgb_encoding(count), codes, ("The picture carries no colour profile: taken as sRGB.",)
    encoding = encoding_from_icc(profile, codes=count)
    if encoding is not None:
        return encoding, codes, ()
    converted = _through_tables(profile, codes)
    if converted is None:
        return srgb_encoding(count), codes, ("The colour profile cannot be used: taken as sRGB.",)
    note = "The colour profile was applied in 8 bits; colours beyond sRGB are clipped."
    return srgb_encoding(), converted, (note,)


def _through_tables(profile: bytes, codes: NDArray[np.integer]) -> NDArray[np.integer] | None:
    """Convert to sRGB with a profile of tables, such as a scanner's; ``None`` if that fails."""
    from PIL import Image, ImageCms

    eight_bits = codes if codes.dtype == np.uint8 else (codes >> 8).astype(np.uint8)
    try:
        converted = ImageCms.profileToProfile(
            Image.fromarray(eight_bits),
            ImageCms.ImageCmsProfile(io.BytesIO(profile)),
            ImageCms.createProfile("sRGB"),
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return None
    return None if converted is None else np.asarray(converted)


def _upright(codes: NDArray[np.integer], image: Any) -> NDArray[np.integer]:
    """Turn the picture as its EXIF orientation (CIPA DC-008, tag 274) asks; a senseless one is passed over."""
    try:
        with _without_warnings():
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
