"""An invented reference target beside the card: patches painted out of colourants that no tube of the demo holds.

Each patch is an endless layer of a mixture by Kubelka and Munk's two constants, with a face by Saunderson; nothing was
measured. Its reference file is CGATS.17 text with XYZ under D50, as such targets come.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import colour
import numpy as np
from numpy.typing import NDArray

from demo.colorimetry import FINE_NM, fold
from demo.conditions import Conditions
from demo.desk import DESK_MARGIN_MM, DESK_PX_PER_MM, Desk
from demo.paints import WAVELENGTH_NM, Band, Edge

Map = NDArray[np.float32]
Array = NDArray[np.float64]

ROWS, COLUMNS = 12, 8
PITCH_MM, PATCH_MM, RIM_MM = 9.0, 7.6, 4.0
GAP_MM = 8.0
"""Between the page and the target's mount."""

FILL = 0.60
"""Share of the frame that the page fills where a target lies beside it."""

COLOURANTS: tuple[tuple[tuple[Band | Edge, ...], float], ...] = (
    ((Edge(515, 0.05, 9.0),), 0.5),
    ((Edge(468, 0.05, 10.0), Band(510, 70, 0.8)), 0.1),
    ((Edge(598, 0.04, 8.0), Band(520, 90, 2.0)), 0.4),
    ((Edge(545, 0.09, 6.0), Band(640, 120, 0.3)), 0.7),
    ((Band(548, 40, 8.0), Band(512, 50, 7.0), Band(400, 90, 2.0)), 0.07),
    ((Band(572, 44, 9.0), Band(538, 52, 8.0), Band(490, 70, 3.0)), 0.08),
    ((Band(625, 50, 6.0), Band(585, 55, 8.0), Band(545, 60, 6.0), Band(400, 70, 1.0)), 0.08),
    ((Band(612, 65, 14.0), Band(676, 66, 11.0), Band(560, 70, 4.0), Band(375, 70, 5.0)), 0.06),
    ((Band(590, 150, 5.0), Band(540, 60, 2.0)), 0.25),
    ((Band(642, 70, 13.0), Band(705, 70, 9.0), Band(430, 80, 6.0)), 0.08),
    ((Band(598, 110, 4.0), Band(445, 95, 6.0)), 0.4),
)
"""Features of the absorption, and scattering against white's, of each hue column's full-strength colourant."""

STRENGTHS = (1.0, 0.5, 0.22, 0.1, 0.045, 0.02, 0.008)
"""Shares of the colourant in white, down a hue."""

_WHITE_SCATTER, _WHITE_FLOOR = 18.0, 0.006
_K1, _K2 = 0.0, 0.6
"""Saunderson's share of light mirrored outside, left out as an instrument at 45 degrees does, and within."""


def reflectances() -> Array:
    """Spectra of the patches row by row, shape (96, 36): eleven hues in seven steps, then mixtures and greys."""
    white_absorption = _WHITE_FLOOR + Edge(391, 0.042, 8.0).spectrum()
    black_absorption = 1.0 + Edge(900, 1.2, 14.0).spectrum()
    patches = []
    for features, scatter in COLOURANTS:
        absorption = 0.05 + np.sum([feature.spectrum() for feature in features], axis=0)
        for share in STRENGTHS:
            patches.append(_mixed(share, absorption, 18.0 * scatter, white_absorption))
    first, second = patches[0 :: len(STRENGTHS)], patches[7 :: len(STRENGTHS)]
    patches += [np.sqrt(one * other) for one, other in zip(first[:9], second[2:] + first[:4], strict=False)][
        :9
    ]
    for share in (0.0, 0.004, 0.012, 0.03, 0.07, 0.15, 0.3, 0.55, 0.8, 1.0):
        patches.append(_mixed(share, black_absorption, 2.0, white_absorption))
    return np.array(patches[: ROWS * COLUMNS])


def _mixed(share: float, absorption: Array, scatter: float, white_absorption: Array) -> Array:
    """Endless layer of a colourant in white, seen through a smooth face."""
    k = share * absorption + (1 - share) * white_absorption
    s = share * scatter * (550 / WAVELENGTH_NM) + (1 - share) * _WHITE_SCATTER * (550 / WAVELENGTH_NM) ** 0.9
    ratio = k / np.maximum(s, 1e-6)
    inside = 1 + ratio - np.sqrt(ratio**2 + 2 * ratio)
    return _K1 + (1 - _K1) * (1 - _K2) * inside / (1 - _K2 * inside)


def names() -> list[str]:
    """``A1`` to ``L8``, row by row."""
    return [f"{chr(65 + row)}{column + 1}" for row in range(ROWS) for column in range(COLUMNS)]


def reference_file(*, measured_error: float = 0.004, seed: int = 0) -> str:
    """CGATS.17 text with XYZ under D50, 2 degrees, as the target's maker measured it, with that relative error."""
    rng = np.random.default_rng([seed, 17])
    xyz = reflectances() @ weights_d50()
    xyz *= np.exp(measured_error * rng.standard_normal((len(xyz), 1)))
    lines = ["IT8.7/2", 'ORIGINATOR "A simulator"', 'ILLUMINANT "D50"', 'OBSERVER "2"', "NUMBER_OF_FIELDS 4"]
    lines += [
        "BEGIN_DATA_FORMAT",
        "SAMPLE_ID XYZ_X XYZ_Y XYZ_Z",
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(xyz)}",
    ]
    lines += [
        "BEGIN_DATA",
        *(f"{name} {x:.3f} {y:.3f} {z:.3f}" for name, (x, y, z) in zip(names(), xyz, strict=True)),
    ]
    return "\n".join([*lines, "END_DATA", ""])


def weights_d50() -> Array:
    """Weights with ``reflectance @ weights = XYZ`` under D50, white Y = 100, shape (36, 3)."""
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = colour.SDS_ILLUMINANTS["D50"]
    at = np.searchsorted(observer.wavelengths, FINE_NM)
    power = np.interp(FINE_NM, light.wavelengths, light.values)
    fine = observer.values[at] * power[:, None]
    return 100 * fold(fine) / fine[:, 1].sum()


@dataclass(frozen=True)
class TargetDesk(Desk):
    """A table top on which the target lies, right of a page of some size.

    Parameters
    ----------
    page_mm : (float, float)
        Size of the page that lies with its top left at 0, 0.
    """

    page_mm: tuple[float, float] = (210.0, 297.0)

    def seen_by(self, weights: Array) -> Map:
        """The table with the target on it."""
        picture = super().seen_by(weights)
        left, top = origin_mm(self.page_mm)
        self._fill(picture, left - RIM_MM, top - RIM_MM, size_mm(), np.full(36, 0.045) @ weights)
        rim = (PITCH_MM - PATCH_MM) / 2
        for number, spectrum in enumerate(reflectances()):
            row, column = divmod(number, COLUMNS)
            x, y = left + column * PITCH_MM + rim, top + row * PITCH_MM + rim
            self._fill(picture, x, y, (PATCH_MM, PATCH_MM), spectrum @ weights)
        return picture

    def _fill(self, picture: Map, x: float, y: float, size: tuple[float, float], seen: Array) -> None:
        """Lay a box of one colour."""
        scale = DESK_PX_PER_MM
        rows, columns = (
            slice(round((start + DESK_MARGIN_MM) * scale), round((start + side + DESK_MARGIN_MM) * scale))
            for start, side in ((y, size[1]), (x, size[0]))
        )
        picture[rows, columns] = seen.astype(np.float32)


def lay_beside(desk: Desk, page_mm: tuple[float, float]) -> TargetDesk:
    """The table with the target beside the page."""
    return TargetDesk(desk.wood, desk.shade, page_mm)


def size_mm() -> tuple[float, float]:
    """Width and height of the mount."""
    return COLUMNS * PITCH_MM + 2 * RIM_MM, ROWS * PITCH_MM + 2 * RIM_MM


def origin_mm(page_mm: tuple[float, float]) -> tuple[float, float]:
    """Top left of the grid of patches."""
    return page_mm[0] + GAP_MM + RIM_MM, (page_mm[1] - ROWS * PITCH_MM) / 2


def corners_mm(page_mm: tuple[float, float]) -> Array:
    """Outer corners of the grid: top left, top right, bottom right, bottom left."""
    x, y = origin_mm(page_mm)
    right, bottom = x + COLUMNS * PITCH_MM, y + ROWS * PITCH_MM
    return np.array([[x, y], [right, y], [right, bottom], [x, bottom]])


def make_room(conditions: Conditions, page_mm: tuple[float, float]) -> Conditions:
    """The same photograph from farther away and to the side, so that the target is in it."""
    view, (width, height) = conditions.view, conditions.session.size_px
    turn = np.radians(view.roll_degree)
    extent = np.abs([[np.cos(turn), np.sin(turn)], [np.sin(turn), np.cos(turn)]]) @ page_mm
    px_per_mm = FILL / (extent / (width, height)).max()
    aside = -(GAP_MM + size_mm()[0]) / 2 * np.array([np.cos(turn), np.sin(turn)])
    shift = aside * px_per_mm / (width, height)
    tilt = min(view.tilt_degree, 20.0)
    return replace(
        conditions, view=replace(view, fill=FILL, shift=(float(shift[0]), float(shift[1])), tilt_degree=tilt)
    )
