"""Profiles of invented printers, written byte by byte: a muted three-colour one, and one of four inks."""

from __future__ import annotations

import struct

import numpy as np

from scumble.colour import lab_to_xyz, srgb_to_xyz, white_point, xyz_to_lab, xyz_to_srgb

D50 = np.array([0.9642, 1.0, 0.8249])


def muted_profile() -> bytes:
    """A three-colour device whose primaries lie half way to grey, linear: it reaches no full colour.

    Written after ISO 15076-1:2010, annex F.3 (three-component matrix-based profiles).
    """
    primaries = np.array([[0.4360, 0.2225, 0.0139], [0.3851, 0.7169, 0.0971], [0.1431, 0.0606, 0.7141]])
    grey = np.outer(primaries[:, 1], D50)
    muted = 0.45 * primaries + 0.55 * grey
    tags = {
        "desc": _described("Invented muted printer"),
        "cprt": _said("made for a test"),
        "wtpt": _triple(D50),
        "rXYZ": _triple(muted[0]),
        "gXYZ": _triple(muted[1]),
        "bXYZ": _triple(muted[2]),
        **{name: struct.pack(">4s4xI", b"curv", 0) for name in ("rTRC", "gTRC", "bTRC")},
    }
    return _profile(b"mntr", b"RGB ", b"XYZ ", tags)


def four_ink_profile() -> bytes:
    """A printer of four inks: ink colours by area coverage, black taken from what the three others share.

    Tables after ISO 15076-1:2010, 10.10 (lut8Type); dots mix by area. *Source:* H. E. J. Neugebauer, Die
    theoretischen Grundlagen des Mehrfarbenbuchdrucks, Z. wiss. Photogr. 36, 73 (1937).
    """
    steps = 5
    share = np.linspace(0.0, 1.0, steps)
    inks = np.stack(np.meshgrid(share, share, share, share, indexing="ij"), axis=-1).reshape(-1, 4)
    there = _lab_bytes(_ink_lab(inks))
    grid = 17
    axes = np.linspace(0.0, 1.0, grid)
    lab = np.stack(np.meshgrid(axes, axes, axes, indexing="ij"), axis=-1).reshape(-1, 3)
    lab = lab * [100.0, 255.0, 255.0] - [0.0, 128.0, 128.0]
    back = np.rint(255 * _inks_of(lab)).astype(np.uint8).tobytes()
    tags = {
        "desc": _described("Invented press of four inks"),
        "cprt": _said("made for a test"),
        "wtpt": _triple(D50),
        "A2B0": _table(4, 3, steps, there),
        "B2A0": _table(3, 4, grid, back),
    }
    return _profile(b"prtr", b"CMYK", b"Lab ", tags)


def _ink_lab(inks: np.ndarray) -> np.ndarray:
    """CIELAB of areas of ink: every ink takes most of one light, black most of all."""
    kept = np.prod(1.0 - inks[:, None, :] * _ABSORBED[None], axis=-1)
    return xyz_to_lab(srgb_to_xyz(kept ** (1 / 2.2)), white_point("D65", 2))


_ABSORBED = np.array([[0.92, 0.10, 0.02, 0.95], [0.25, 0.90, 0.05, 0.95], [0.10, 0.40, 0.92, 0.95]])


def _inks_of(lab: np.ndarray) -> np.ndarray:
    rgb, _ = xyz_to_srgb(lab_to_xyz(lab, white_point("D65", 2)))
    wanted = -np.log(np.clip(rgb**2.2, 0.02, 1.0))
    mixing = -np.log(1.0 - _ABSORBED[:, :3])
    covered = np.clip(np.linalg.solve(mixing, wanted.T).T, 0.0, 1.0)
    black = np.where(lab[:, 0] < 40.0, (40.0 - lab[:, 0]) / 40.0, 0.0)
    return np.concatenate([covered, black[:, None]], axis=1)


def _lab_bytes(lab: np.ndarray) -> bytes:
    scaled = (lab + np.array([0.0, 128.0, 128.0])) / [100.0, 255.0, 255.0]
    return np.rint(255 * np.clip(scaled, 0.0, 1.0)).astype(np.uint8).tobytes()


def _table(channels_in: int, channels_out: int, grid: int, cells: bytes) -> bytes:
    head = struct.pack(">4s4xBBBx", b"mft1", channels_in, channels_out, grid)
    identity = struct.pack(">9i", *(65536 if at % 4 == 0 else 0 for at in range(9)))
    return head + identity + bytes(range(256)) * channels_in + cells + bytes(range(256)) * channels_out


def _triple(xyz: np.ndarray) -> bytes:
    return struct.pack(">4s4x3i", b"XYZ ", *(round(65536 * part) for part in xyz))


def _described(words: str) -> bytes:
    plain = words.encode() + b"\0"
    return struct.pack(">4s4xI", b"desc", len(plain)) + plain + bytes(78)


def _said(words: str) -> bytes:
    return b"text" + bytes(4) + words.encode() + b"\0"


def _profile(kind: bytes, space: bytes, connection: bytes, tags: dict[str, bytes]) -> bytes:
    at, index, body = 128 + 4 + 12 * len(tags), b"", b""
    for name, data in tags.items():
        index += struct.pack(">4sII", name.encode(), at + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    table = struct.pack(">I", len(tags)) + index + body
    head = struct.pack(">I4sI4s4s4s", 128 + len(table), bytes(4), 0x02400000, kind, space, connection)
    head += struct.pack(">6H", 2016, 1, 1, 0, 0, 0) + b"acsp" + bytes(28)
    head += struct.pack(">3i", *(round(65536 * part) for part in D50))
    return head + bytes(128 - len(head)) + table
