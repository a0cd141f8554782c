"""Cameras: how each turns a reflectance into linear channels, encodes them, and says so in its file.

A camera is a matrix from the 36 bands to three linear channels (a perfect diffuser gives 1, 1, 1), a tone curve
and an ICC profile. Both cameras here are colorimetric: their channels are XYZ under D65 expressed in the
primaries of a display. One that is not (real sensitivities, another lamp) needs only its own matrix.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from demo.colorimetry import weights

Array = NDArray[np.float64]

_D50_XYZ = np.array([0.9642, 1.0, 0.8249])
_BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""Bradford cone matrix and profile white as in ICC.1:2022 (annex E, clause 7.2.16)."""


@dataclass(frozen=True)
class Camera:
    """A colorimetric camera that looks under D65.

    Parameters
    ----------
    name : str
        What its profile is called.
    primaries_xy : tuple of three (x, y)
        Chromaticities of red, green and blue; white is D65.
    """

    name: str
    primaries_xy: tuple[tuple[float, float], ...]

    def rgb_to_xyz(self) -> Array:
        """Matrix from linear channels to XYZ (white Y = 1), columns red, green, blue."""
        columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in self.primaries_xy]).T
        white = weights().sum(axis=0) / 100
        return columns * np.linalg.solve(columns, white)

    def weights(self) -> Array:
        """Weights with ``reflectance @ weights = linear channels``, shape (36, 3)."""
        return weights() / 100 @ np.linalg.inv(self.rgb_to_xyz()).T

    def linear(self, reflectance: Array) -> Array:
        """Linear channels of a reflectance; below 0 where the colour lies outside the primaries."""
        return reflectance @ self.weights()

    @staticmethod
    def encode(linear: Array) -> Array:
        """Tone curve of IEC 61966-2-1 (sRGB), clipped to 0-1."""
        kept = np.clip(linear, 0, 1)
        return np.where(kept <= 0.0031308, 12.92 * kept, 1.055 * kept ** (1 / 2.4) - 0.055)

    def profile(self) -> bytes:
        """Matrix and curve of this camera as an ICC.1:2022 (version 4) display profile."""
        white = self.rgb_to_xyz().sum(axis=1)
        gains = (_BRADFORD @ _D50_XYZ) / (_BRADFORD @ white)
        adapt = np.linalg.inv(_BRADFORD) @ np.diag(gains) @ _BRADFORD
        colorants = adapt @ self.rgb_to_xyz()
        curve = (
            b"para" + struct.pack(">IHH", 0, 3, 0) + _fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
        )
        tags = {
            b"desc": _text(self.name),
            b"cprt": _text("Made by a simulator; free to use."),
            b"wtpt": b"XYZ \0\0\0\0" + _fixed(*_D50_XYZ),
            b"chad": b"sf32\0\0\0\0" + _fixed(*adapt.ravel()),
        }
        for letter, colorant in zip("rgb", colorants.T, strict=True):
            tags[f"{letter}XYZ".encode()] = b"XYZ \0\0\0\0" + _fixed(*colorant)
            tags[f"{letter}TRC".encode()] = curve
        return _icc(tags)


def _fixed(*values: float) -> bytes:
    """Numbers as s15Fixed16."""
    return b"".join(struct.pack(">i", round(value * 65536)) for value in values)


def _text(text: str) -> bytes:
    """One English text as multiLocalizedUnicode."""
    encoded = text.encode("utf-16-be")
    return b"mluc" + struct.pack(">IIIHHII", 0, 1, 12, 0x656E, 0x5553, len(encoded), 28) + encoded


def _icc(tags: dict[bytes, bytes]) -> bytes:
    """Header, tag table and padded tags."""
    offset = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, data in tags.items():
        table += name + struct.pack(">II", offset + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    size = 128 + len(table) + len(body)
    header = struct.pack(">I4xI4s4s4s", size, 0x04300000, b"mntr", b"RGB ", b"XYZ ")
    header += struct.pack(">6H", 2024, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + _fixed(*_D50_XYZ)
    return header.ljust(128, b"\0") + table + body


CAMERAS: dict[str, Camera] = {
    "srgb": Camera("sRGB camera (simulated)", ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))),
    "phone": Camera("P3 camera (simulated)", ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))),
    "wide": Camera("Wide camera (simulated)", ((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001))),
}
"""Primaries of IEC 61966-2-1 (sRGB), of SMPTE EG 432-1 with a D65 white (as many phones save), and of ISO 22028-2
(ROMM RGB, as a raw converter saves: no film of paint here leaves it)."""
