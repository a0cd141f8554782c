"""A scanner's own ICC profile made of tables (ICC.1:2022, lut16Type), from colours that a target showed it."""

from __future__ import annotations

import struct

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

D50_XYZ = (0.9642, 1.0, 0.8249)


def table_profile(lab: Array, *, white_xyz: Array, name: str = "Scanner (simulated)") -> bytes:
    """Profile from device codes to L*a*b* relative to the medium's white.

    Parameters
    ----------
    lab : array, shape (n, n, n, 3)
        At even steps of red, green and blue codes.
    white_xyz : array, shape (3,)
        The medium's white under D50, Y = 1 for a perfect diffuser.
    """
    size = len(lab)
    # L* of 100 is FF00, zero of a* and b* is 8000.
    coded = np.concatenate([lab[..., :1] / 100 * 65280, (lab[..., 1:] + 128) / 255 * 65280], axis=-1)
    grid = np.clip(np.round(coded), 0, 65535).astype(">u2").tobytes()
    straight = np.array([0, 65535], ">u2").tobytes() * 3
    identity = _fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    table = b"mft2\0\0\0\0" + bytes([3, 3, size, 0]) + identity + struct.pack(">HH", 2, 2)
    tags = {
        b"desc": _text(name),
        b"cprt": _text("Made by a simulator; free to use."),
        b"wtpt": b"XYZ \0\0\0\0" + _fixed(*white_xyz),
        b"A2B0": table + straight + grid + straight,
    }
    offset = 128 + 4 + 12 * len(tags)
    entries, body = struct.pack(">I", len(tags)), b""
    for tag, data in tags.items():
        entries += tag + struct.pack(">II", offset + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    header = struct.pack(">I4xI4s4s4s", 128 + len(entries) + len(body), 0x04300000, b"scnr", b"RGB ", b"Lab ")
    header += struct.pack(">6H", 2024, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + _fixed(*D50_XYZ)
    return header.ljust(128, b"\0") + entries + body


def _fixed(*values: float) -> bytes:
    return b"".join(struct.pack(">i", round(float(value) * 65536)) for value in values)


def _text(text: str) -> bytes:
    encoded = text.encode("utf-16-be")
    return b"mluc" + struct.pack(">IIIHHII", 0, 1, 12, 0x656E, 0x5553, len(encoded), 28) + encoded
