"""Photographs of painted cards made from the printed PDF and its map; shares no code with the reader."""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import cv2
import numpy as np
import pypdfium2
from demo.colorimetry import weights
from demo.light import film_response
from demo.paints import TUBES
from demo.sheet import print_step
from PIL import Image

from scumble.jobs.cards.print_card import card_map, print_card

PX_PER_MM = 6.0
PAPER_Y = 0.86
BLACK = 0.045
"""Light the printed black gives back, of the paper's."""

SRGB_TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)  # IEC 61966-2-1


def decode(codes):
    codes = np.asarray(codes, float)
    return np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)


def encode(light):
    light = np.clip(light, 0, 1)
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


@cache
def printed(layout: str, page: str) -> np.ndarray:
    """Linear light of the unpainted card relative to its paper."""
    document = pypdfium2.PdfDocument(print_card(layout=layout, page=page, serials=["03NQK8NG"]))
    try:
        picture = document[0].render(scale=PX_PER_MM * 25.4 / 72).to_numpy()[..., 2::-1]
    finally:
        document.close()
    light = (BLACK + (1 - BLACK) * decode(picture / 255)).astype(np.float32)
    for step in card_map(layout=layout, page=page).get("steps", ()):
        # A renderer softens edges in code values, which would change the shares of black; so they are drawn exactly.
        coverage = np.zeros(light.shape[:2], np.float32)
        print_step(step, coverage, PX_PER_MM)
        x, y, width, height = step["box_mm"]
        window = (
            slice(int(y * PX_PER_MM), int(np.ceil((y + height) * PX_PER_MM))),
            slice(int(x * PX_PER_MM), int(np.ceil((x + width) * PX_PER_MM))),
        )
        light[window] = (1 - (1 - BLACK) * coverage[window])[..., None]
    return light


@dataclass
class Painted:
    """A painted card: its light relative to the paper, its map, and the true mean of each area."""

    light: np.ndarray
    card_map: dict[str, Any]
    true: dict[str, np.ndarray] = field(default_factory=dict)

    def box(self, area: str) -> list[float]:
        return next(each["box_mm"] for each in self.card_map["areas"] if each["area"] == area)

    def window(self, area: str, inset_mm: float = 0.0) -> tuple[slice, slice]:
        x, y, width, height = self.box(area)
        return (
            slice(round((y + inset_mm) * PX_PER_MM), round((y + height - inset_mm) * PX_PER_MM)),
            slice(round((x + inset_mm) * PX_PER_MM), round((x + width - inset_mm) * PX_PER_MM)),
        )


COATS = {"full": 1.0, "thin1": 0.3, "thin2": 0.1, "tint1": 1.0, "tint4": 0.95, "tint19": 1.05}
"""Thickness of each film."""

TUBES_OF_SEEDS = ("dull-green", "warm-earth")
PALE = 0.4
"""Share of their absorption: colours that every picture's space can hold, and dark ones are other tests' matter."""


@cache
def film(tube: str, name: str) -> Any:
    """How a film of a tube answers to light."""
    paint, white = (next(each for each in TUBES if each.key == f"classroom-{key}") for key in (tube, "white"))
    parts = float(name.removeprefix("tint")) if name.startswith("tint") else 0.0
    absorption = (PALE * paint.absorption() + parts * white.absorption()) / (1 + parts)
    scattering = (paint.scattering() + parts * white.scattering()) / (1 + parts)
    return film_response(COATS[name] * absorption, COATS[name] * scattering, points=8)


def smooth(light: np.ndarray) -> np.ndarray:
    """A smooth reflectance of a colour, from its linear light relative to the paper."""
    xyz = 100 * PAPER_Y * SRGB_TO_XYZ @ light
    rough = np.diff(np.eye(36), n=2, axis=0)
    equations = np.block([[rough.T @ rough + 1e-6 * np.eye(36), weights()], [weights().T, np.zeros((3, 3))]])
    return np.clip(np.linalg.solve(equations, np.concatenate([np.zeros(36), xyz]))[:36], 0.001, 1.0)


def shown(tube: str, name: str, ground: np.ndarray) -> np.ndarray:
    """Linear light relative to the paper of a film over a ground of such light."""
    xyz = film(tube, name).over(smooth(ground)) @ weights()
    return np.linalg.solve(100 * PAPER_Y * SRGB_TO_XYZ, xyz)


def paint(
    layout: str = "full",
    page: str = "A4",
    *,
    seed: int = 1,
    leave: tuple[str, ...] = (),
    tube: str = "",
) -> Painted:
    """Paint every area with one tube, with furrows along the stroke; leave some films out."""
    rng = np.random.default_rng(seed)
    tube = tube or TUBES_OF_SEEDS[seed % len(TUBES_OF_SEEDS)]
    card = Painted(printed(layout, page).copy(), card_map(layout=layout, page=page))
    for area in card.card_map["areas"]:
        rows, columns = card.window(area["area"], inset_mm=0.6)
        if area["film"] != "bare" and area["film"] not in leave:
            furrows = rng.standard_normal((rows.stop - rows.start, 1)) * np.ones(
                (1, columns.stop - columns.start)
            )
            furrows = cv2.GaussianBlur(furrows, (0, 0), 1.5)
            ground = card.light[card.window(area["ground"], inset_mm=4.0)].mean(axis=(0, 1))
            colour = shown(tube, area["film"], ground)
            card.light[rows, columns] = colour * (1 + 0.05 * furrows / furrows.std())[..., None]
        inner = card.light[card.window(area["area"], inset_mm=4.0)]
        card.true[area["area"]] = 100 * PAPER_Y * SRGB_TO_XYZ @ inner.mean(axis=(0, 1), dtype=float)
    return card


@dataclass(frozen=True)
class Shot:
    """How the photograph is taken."""

    long_side: int = 1600
    turn_degree: float = 3.0
    tilt: float = 0.12
    """How much smaller the far edge of the card is than the near one."""
    fill: float = 0.9
    gradient: float = 0.25
    """Loss of light from the bright side to the dark one; a little more in blue."""
    exposure: float = 0.85
    noise: float = 0.01
    blur: float = 0.6


def lens(card: Painted, shot: Shot) -> tuple[np.ndarray, tuple[int, int]]:
    """Homography from card millimetres to picture points, and the picture's size."""
    width, height = card.card_map["page_mm"]
    size = (round(shot.long_side * 0.75), shot.long_side)
    angle = np.radians(shot.turn_degree)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    corners = np.array([[-width, -height], [width, -height], [width, height], [-width, height]]) / 2
    corners[:2] *= 1 - shot.tilt
    seen = corners @ turn.T
    scale = shot.fill * min(np.array(size) / np.ptp(seen, axis=0))
    seen = seen * scale + np.array(size) / 2
    page = np.array([[0, 0], [width, 0], [width, height], [0, height]])
    return cv2.getPerspectiveTransform(page.astype(np.float32), seen.astype(np.float32)), size


def photograph(card: Painted, shot: Shot | None = None, *, seed: int = 5) -> tuple[np.ndarray, np.ndarray]:
    """Encoded picture 0-1 in sRGB, and the homography from millimetres to points (centres at whole numbers)."""
    shot = shot or Shot()
    rng = np.random.default_rng(seed)
    matrix, size = lens(card, shot)
    raster = np.array([[1 / PX_PER_MM, 0, 0.5 / PX_PER_MM], [0, 1 / PX_PER_MM, 0.5 / PX_PER_MM], [0, 0, 1]])
    fine = np.diag([2.0, 2.0, 1.0]) @ np.array([[1, 0, 0.25], [0, 1, 0.25], [0, 0, 1]])
    desk = (0.25, 0.17, 0.1)
    scene = cv2.warpPerspective(
        card.light,
        fine @ matrix @ raster,
        (2 * size[0], 2 * size[1]),
        borderValue=desk,
        flags=cv2.INTER_LINEAR,
    )
    scene = cv2.resize(scene, size, interpolation=cv2.INTER_AREA)
    x, y = np.meshgrid(np.linspace(0, 1, size[0]), np.linspace(0, 1, size[1]))
    fall = 1 - shot.gradient * (0.7 * x + 0.3 * y**2)[..., None] * np.array([1.0, 1.0, 1.1])
    scene = cv2.GaussianBlur(scene * fall.astype(np.float32), (0, 0), shot.blur) * shot.exposure
    scene += shot.noise * np.sqrt(np.maximum(scene, 0)) * rng.standard_normal(scene.shape)
    return encode(scene), matrix


def jpeg(picture: np.ndarray, *, quality: int = 88, **options: Any) -> bytes:
    return save(picture, "JPEG", quality=quality, **options)


def save(picture: np.ndarray, kind: str, **options: Any) -> bytes:
    file = io.BytesIO()
    Image.fromarray(np.rint(255 * picture).astype(np.uint8)).save(file, kind, **options)
    return file.getvalue()


def save_deep(picture: np.ndarray, ending: str) -> bytes:
    """Sixteen bits a channel, as PNG or TIFF."""
    codes = np.rint(65535 * picture).astype(np.uint16)
    done, file = cv2.imencode(ending, np.ascontiguousarray(codes[..., ::-1]))
    assert done
    return file.tobytes()


def to_px(matrix: np.ndarray, box_mm: list[float]) -> np.ndarray:
    """Corners of a box in the picture."""
    x, y, width, height = box_mm
    corners = np.array([[x, y, 1], [x + width, y, 1], [x + width, y + height, 1], [x, y + height, 1]])
    mapped = corners @ matrix.T
    return mapped[:, :2] / mapped[:, 2:]
