"""What the numbers in a picture file mean: tone curves and primaries, from its ICC profile or sRGB.

*Source:* ICC.1:2022 (profile header and tag table; matrix column and TRC tags; curve, parametric curve and XYZ
types); IEC 61966-2-1:1999 for sRGB.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import adapt_xyz, decode_srgb, white_point
from scumble.colour.screen import LINEAR_RGB_TO_XYZ

Floats = NDArray[np.float64]

PCS_WHITE: Final = 100.0 * np.array([0.9642, 1.0, 0.8249])
"""White of the profile connection space, D50 (ICC.1:2022)."""

_CHANNELS: Final = (b"r", b"g", b"b")
_MAX_TAGS: Final = 200


@dataclass(frozen=True, slots=True)
class Encoding:
    """From code values to light.

    Parameters
    ----------
    name : str
        What it is called to a person.
    curves : array, shape (3, codes) [1]
        Linear light of each code value of each channel.
    rgb_to_xyz : array, shape (3, 3)
        From linear channels to XYZ under D65, 2 degrees; channels of 1 give the white with Y = 1.
    """

    name: str
    curves: Floats
    rgb_to_xyz: Floats

    def to_linear(self, codes: NDArray[np.integer]) -> NDArray[np.float32]:
        """Linear light of code values, shape (..., 3)."""
        curves = self.curves.astype(np.float32)
        return np.stack([curves[channel][codes[..., channel]] for channel in range(3)], axis=-1)


def srgb_encoding(codes: int = 256) -> Encoding:
    """The encoding of a picture that says nothing about itself.

    Examples
    --------
    >>> float(srgb_encoding().curves[0][128].round(4))
    0.2159
    """
    curve = decode_srgb(np.linspace(0.0, 1.0, codes))
    return Encoding("sRGB", np.tile(curve, (3, 1)), LINEAR_RGB_TO_XYZ)


def is_device_profile(profile: bytes) -> bool:
    """Whether a profile is that of a scanner or camera and not of a screen or a colour space."""
    return profile[12:16] == b"scnr" and profile[36:40] == b"acsp"


def encoding_from_icc(profile: bytes, *, codes: int = 256, is_absolute: bool = False) -> Encoding | None:
    """Read a profile of three curves and a matrix.

    Parameters
    ----------
    profile : bytes
        The ICC profile.
    codes : int
        Number of code values: 256 or 65536.
    is_absolute : bool
        Whether colours are wanted against a perfect diffuser and not against the profile's own white.

    Returns
    -------
    Encoding or None
        ``None`` when the profile is of another kind (tables, grey, CMYK) or damaged.
    """
    try:
        if profile[36:40] != b"acsp" or profile[16:20] != b"RGB ":
            return None
        tags = profile_tags(profile)
        if b"A2B0" in tags:
            # Where there are tables too they are the better measured of the two (ICC.1:2022, 8.3).
            return None
        columns = np.array([_xyz(tags[letter + b"XYZ"]) for letter in _CHANNELS]).T
        place = np.linspace(0.0, 1.0, codes)
        curves = np.array([_curve(tags[letter + b"TRC"], place) for letter in _CHANNELS])
        name = profile_name(tags)
        white = media_white(tags) if is_absolute else PCS_WHITE
    except (KeyError, IndexError, ValueError, struct.error):
        return None
    if not _is_sensible(columns, curves):
        return None
    # Each of X, Y and Z against the medium's white is scaled to that white (ICC.1:2022, 6.3.2, media-relative).
    return Encoding(name, curves, _to_d65(columns) * (to_d65(white) / white_point("D65", 2))[:, None])


def media_white(tags: dict[bytes, bytes]) -> Floats:
    """XYZ of the medium's white under D50, against a perfect diffuser of 100; the connection space's white if none."""
    if b"wtpt" not in tags:
        return PCS_WHITE
    white = 100.0 * _xyz(tags[b"wtpt"])
    if not 20.0 < white[1] <= 130.0 or np.any(white < 0.3 * white[1]):
        raise ValueError("no white")
    return white


def to_d65(xyz: Floats) -> Floats:
    """XYZ under the connection space's D50 adapted to D65, shape (..., 3)."""
    return np.asarray(adapt_xyz(xyz, PCS_WHITE, white_point("D65", 2)), dtype=np.float64)


def _is_sensible(columns: Floats, curves: Floats) -> bool:
    """Whether white comes out near the white of the connection space, and the channels differ."""
    white = 100.0 * columns @ curves[:, -1]
    return bool(np.allclose(white, PCS_WHITE, atol=10.0) and abs(np.linalg.det(columns)) > 1e-3)


def _to_d65(columns: Floats) -> Floats:
    """Matrix under D65 whose white is that of D65 exactly."""
    white = white_point("D65", 2)
    matrix = adapt_xyz(100.0 * columns.T, PCS_WHITE, white).T / 100.0
    return np.asarray(matrix * (white / 100.0 / matrix.sum(axis=1))[:, None], dtype=np.float64)


def profile_tags(profile: bytes) -> dict[bytes, bytes]:
    """Contents of the tags by signature."""
    (count,) = struct.unpack_from(">I", profile, 128)
    if count > _MAX_TAGS:
        raise ValueError(f"{count} tags")
    tags = {}
    for number in range(count):
        signature, start, size = struct.unpack_from(">4sII", profile, 132 + 12 * number)
        tags[signature] = profile[start : start + size]
    return tags


def _xyz(tag: bytes) -> Floats:
    """One XYZ number."""
    if tag[:4] != b"XYZ ":
        raise ValueError("not an XYZ tag")
    return np.array(struct.unpack_from(">3i", tag, 8)) / 65536.0


def _curve(tag: bytes, place: Floats) -> Floats:
    """Linear light at the places of a curve, 0-1."""
    if tag[:4] == b"curv":
        (count,) = struct.unpack_from(">I", tag, 8)
        if count == 0:
            return place
        values = np.frombuffer(tag, ">u2", count=count, offset=12)
        if count == 1:
            return np.asarray(place ** (values[0] / 256.0), dtype=np.float64)
        return np.interp(place, np.linspace(0.0, 1.0, count), values / 65535.0)
    if tag[:4] == b"para":
        (kind,) = struct.unpack_from(">H", tag, 8)
        count = (1, 3, 4, 5, 7)[kind]
        return _parametric(kind, [v / 65536.0 for v in struct.unpack_from(f">{count}i", tag, 12)], place)
    raise ValueError("not a curve")


def _parametric(kind: int, values: list[float], place: Floats) -> Floats:
    """The five parametric curves, written as one: (a x + b)^g + e from d upward, c x + f below."""
    g, a, b, c, d, e, f = (*values, *[0.0] * (7 - len(values)))
    if not 0.1 < g < 10.0 or (kind in (1, 2) and a <= 0.0):
        raise ValueError("not a tone curve")
    if kind == 0:
        a = 1.0
    if kind in (1, 2):
        # These two break where the power begins, and lie flat before it.
        c, d, e, f = 0.0, -b / a, c, c
        if kind == 1:
            e = f = 0.0
    power = np.maximum(a * place + b, 0.0) ** g + e
    return np.where(place >= d, power, c * place + f)


def profile_name(tags: dict[bytes, bytes]) -> str:
    """The profile's own name."""
    tag = tags.get(b"desc", b"")
    if tag[:4] == b"desc":
        (length,) = struct.unpack_from(">I", tag, 8)
        return tag[12 : 12 + length].split(b"\0")[0].decode("ascii", "replace")[:80] or "its ICC profile"
    if tag[:4] == b"mluc":
        length, start = struct.unpack_from(">II", tag, 20)
        return tag[start : start + length].decode("utf-16-be", "replace")[:80] or "its ICC profile"
    return "its ICC profile"
