"""A picture: its points, and what their numbers mean; how to load one from any file that is read."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.file import MIN_SIDE_PX, check_size, decode_picture, load_content
from scumble.card.picture.kinds import RAW, picture_kind
from scumble.card.picture.profile import Encoding, encoding_from_icc, is_device_profile, srgb_encoding
from scumble.card.picture.profile_table import table_from_icc
from scumble.card.picture.raw_picture import load_raw
from scumble.errors import CardError
from scumble.paint.camera_doubt import CameraDoubt

RAW_DOUBT: Final = CameraDoubt(sensor=0.7, tone=0.005)
"""What is in doubt of a camera's own linear values: its sensitivities, and stray charge at either end."""

PROFILE_DOUBT: Final = CameraDoubt(sensor=0.25, tone=0.01, chroma=0.01)
"""The same of a device's own profile, which somebody measured: its channels are not the eye's."""


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
    doubt : CameraDoubt, optional
        What its numbers leave in doubt, where the way into the computer says more than that of a common picture.
    is_absolute : bool
        Whether the numbers say how light a paper is, not only how light against it: a device's own profile does.
    """

    codes: NDArray[np.integer]
    encoding: Encoding
    notes: tuple[str, ...]
    doubt: CameraDoubt | None = None
    is_absolute: bool = False

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return self.codes.shape[1], self.codes.shape[0]

    @property
    def highest(self) -> int:
        """The highest code value: 255 or 65535."""
        return int(np.iinfo(self.codes.dtype).max)


def load_picture(
    source: Path | str | bytes, *, profile: bytes | None = None, least_side_px: int = MIN_SIDE_PX
) -> Picture:
    """Open a picture file.

    Parameters
    ----------
    source : path or bytes
        A JPEG, PNG, TIFF, HEIC or camera raw file, or its content; what it is, its first bytes say and not its name.
    profile : bytes, optional
        ICC profile of the scanner or camera; it stands in place of the one that the picture carries.
    least_side_px : int [px]
        Of the shorter side: what a card needs unless said; colours alone can be taken from less.

    Raises
    ------
    CardError
        If it is no such picture, is damaged, too small or too large, has no colour, moves, or is meant for print.
    """
    content = source if isinstance(source, bytes) else load_content(Path(source))
    if picture_kind(content) == RAW:
        return _raw_picture(content, profile, least_side_px)
    codes, carried = decode_picture(content, least_side_px=least_side_px)
    return _meant(codes, profile or carried, is_own=profile is not None)


def _raw_picture(content: bytes, profile: bytes | None, least_side_px: int) -> Picture:
    codes, encoding, notes = load_raw(content)
    check_size(codes.shape[1], codes.shape[0], least_side_px=least_side_px)
    if profile is not None:
        return _meant(codes, profile, is_own=True)
    return Picture(codes, encoding, notes, None if notes else RAW_DOUBT)


def _meant(codes: NDArray[np.integer], profile: bytes | None, *, is_own: bool) -> Picture:
    """What code values mean, by the device's own profile, the picture's, or none."""
    count = int(np.iinfo(codes.dtype).max) + 1
    if not profile:
        return Picture(
            codes, srgb_encoding(count), ("The picture carries no colour profile: taken as sRGB.",)
        )
    device = is_own or is_device_profile(profile)
    encoding = encoding_from_icc(profile, codes=count, is_absolute=device) or table_from_icc(
        profile, codes=count
    )
    if encoding is not None:
        return Picture(codes, encoding, (), PROFILE_DOUBT if device else None, device)
    if is_own:
        raise CardError(
            "The colour profile that was given cannot be used: it is damaged, or not one from red, green and blue.",
            "Give the ICC profile of the scanner or camera itself, or leave it out.",
        )
    converted = _through_tables(profile, codes)
    if converted is None:
        return Picture(codes, srgb_encoding(count), ("The colour profile cannot be used: taken as sRGB.",))
    note = "The colour profile was applied in 8 bits; colours beyond sRGB are clipped."
    return Picture(converted, srgb_encoding(), (note,))


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
