"""A scanner's own ICC profile, made as such profiles are: a target is scanned, its patches are fitted and tabulated."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from demo.camera import CAMERAS
from demo.conditions import Session
from demo.device_profile import D50_XYZ, table_profile
from demo.sensor import colour_matrix, raw_weights
from demo.target import reflectances, weights_d50

Array = NDArray[np.float64]

GRID = 17
STRAY = 0.004
"""Light that a scanner's lid and glass add everywhere, against white, as `demo.conditions` draws it."""


def scanner_profile(session: Session) -> bytes:
    """Tables from the codes that a session's scanner writes to L*a*b* against a perfect diffuser."""
    codes = np.linspace(0, 1, GRID)
    grid = np.stack(np.meshgrid(codes, codes, codes, indexing="ij"), axis=-1)
    xyz = np.maximum(_terms(np.maximum(_decode(grid) - STRAY, 0)) @ _fit(session), 0)
    return table_profile(_lab(xyz), white_xyz=np.array(D50_XYZ))


def _fit(session: Session) -> Array:
    """Terms of linear codes to XYZ under D50, least squares in relative terms over the target's patches."""
    name = session.blend[0][0]
    to_space = np.linalg.inv(CAMERAS[session.space].rgb_to_xyz()) @ colour_matrix(
        session.sensor, dict(session.blend), own_lamp=True
    )
    seen = reflectances() @ raw_weights(session.sensor, name, balanced_for=dict(session.blend)) @ to_space.T
    wanted = reflectances() @ weights_d50() / 100
    pull = 1 / (wanted[:, 1:2] + 0.02)
    return np.linalg.lstsq(pull * _terms(np.maximum(seen, 0)), pull * wanted, rcond=None)[0]


def _terms(linear: Array) -> Array:
    r, g, b = np.moveaxis(linear, -1, 0)
    return np.stack([r, g, b, np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)], axis=-1)


def _decode(code: Array) -> Array:
    """Linear light of a code (IEC 61966-2-1)."""
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


def _lab(xyz: Array) -> Array:
    """CIELAB under D50 (CIE 15:2018)."""
    share = xyz / np.array(D50_XYZ)
    f = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    )
