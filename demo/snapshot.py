"""A photograph under given conditions: the painted card through a real sensor, with all that goes wrong.

Light is linear until the sensor saturates; then come the camera's matrix, its tone curve and the file. The same
card, conditions and seed give the same file.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from demo import lens, mishap
from demo.camera import CAMERAS
from demo.colorimetry import weights
from demo.conditions import Conditions
from demo.desk import DESK_MARGIN_MM, DESK_PX_PER_MM, Desk, draw_desk
from demo.falling_light import PAPER_GLOSS, glare_field, lamp_share, light_field
from demo.inks import GROUNDS
from demo.lens import Projection
from demo.painting import PaintedCard
from demo.raw_file import dng_file
from demo.sensor import colour_matrix, raw_weights

Map = NDArray[np.float32]
Array = NDArray[np.float64]

NOISE_AT_ISO_100 = 0.0045
"""Standard deviation at full scale after the camera's own smoothing; grows as the root of the speed.

A small sensor holds some 6000 electrons a point at its lowest speed, 1.3 % of noise; smoothing takes two thirds
(*common practice, no source*). ISO 3200 leaves 2.5 %."""
READ_NOISE_AT_ISO_100 = 0.0004


@dataclass(frozen=True)
class Snapshot:
    """A photograph and what is true of it.

    Parameters
    ----------
    file : bytes
        JPEG, or PNG of a scan.
    projection : Projection
        Where the card lies in it.
    glare : dict of str to float
        Mirrored light over each area, its mean against white [1].
    """

    file: bytes
    projection: Projection
    glare: dict[str, float]


def photograph(
    card: PaintedCard, conditions: Conditions, seed: int, *, lay: Callable[[Desk], Desk] | None = None
) -> Snapshot:
    """Photograph a painted card under the given conditions; `lay` puts something on the desk beside it."""
    rng = np.random.default_rng(seed)
    counted, projection = _counted(card, conditions, rng, lay)
    return Snapshot(_developed(counted, conditions, rng), projection, _glare_of_areas(card, conditions))


RAW_GAINS = np.array([2.0, 1.0, 1.6])
"""By which a camera multiplies its red, green and blue, as its raw file says (*common practice, no source*)."""


def photograph_raw(
    card: PaintedCard, conditions: Conditions, seed: int, *, lay: Callable[[Desk], Desk] | None = None
) -> Snapshot:
    """The same shot as a camera raw file: what the sensor counted, before any matrix, space or tone curve."""
    rng = np.random.default_rng(seed)
    counted, projection = _counted(card, conditions, rng, lay)
    height, width = (side // 2 * 2 for side in counted.shape[:2])
    session = conditions.session
    to_xyz = colour_matrix(session.sensor, dict(session.blend))
    file = dng_file(counted[:height, :width], to_xyz=to_xyz, gains=RAW_GAINS)
    return Snapshot(file, projection, _glare_of_areas(card, conditions))


def _counted(
    card: PaintedCard,
    conditions: Conditions,
    rng: np.random.Generator,
    lay: Callable[[Desk], Desk] | None,
) -> tuple[Map, Projection]:
    """Balanced channels as the sensor counted them, noise and full scale with them, and where the card lies."""
    page_mm = page_of(card)
    projection = lens.project(conditions.session, conditions.view, page_mm)
    raw = _raw_scene(card, conditions, projection, rng, lay)
    raw = lens.blur(raw, conditions.sharpness, projection.px_per_mm((page_mm[0] / 2, page_mm[1] / 2)))
    return np.clip(
        _noisy(raw * _gain(raw, conditions, projection, page_mm), conditions, rng), 0, 1
    ), projection


def page_of(card: PaintedCard) -> tuple[float, float]:
    """Width and height of a card's page [mm]."""
    width, height = card.sheet.card_map["page_mm"]
    return float(width), float(height)


def _raw_scene(
    card: PaintedCard,
    conditions: Conditions,
    projection: Projection,
    rng: np.random.Generator,
    lay: Callable[[Desk], Desk] | None,
) -> Map:
    """Balanced raw channels of the sharp scene with all its light, a perfect diffuser near 1."""
    session, falling = conditions.session, conditions.falling
    blend = dict(session.blend)
    place_mm = projection.coarse_mm()
    place_frame = _in_frame(place_mm, projection)
    desk, scales = draw_desk_of(page_of(card), seed_of(rng)), _Scales(card, conditions, rng)
    desk = lay(desk) if lay else desk
    scene, glossy = np.zeros(()), None
    for step, (name, share) in enumerate(session.blend):
        light = raw_weights(session.sensor, name, balanced_for=blend)
        if len(session.blend) > 1:
            second = lamp_share(
                session.blend[1][1], falling.lamp_slope, falling.direction_degree, place_frame
            )
            share = lens.enlarge(second if step else 1 - second, projection.size_px)[..., None]
        scene = scene + share * _under(card, desk, scales, light, projection, place_mm)
    scene = _coloured(
        scene, conditions, lens.enlarge(light_field(falling, place_mm, place_frame), projection.size_px)
    )
    if falling.glare:
        glossy = _warp(scales.gloss(card), card.sheet.px_per_mm, 0.0, projection, place_mm)
        mirrored = lens.enlarge(glare_field(falling.glare, place_mm), projection.size_px)
        scene += (mirrored * glossy)[..., None]
    return (scene + falling.flare).astype(np.float32)


def _coloured(scene: Map, conditions: Conditions, light: Map) -> Map:
    """Let light fall that differs in colour: its red, green and blue are those of the picture, not of the sensor."""
    to_space = _to_space(conditions)
    return cv2.transform(cv2.transform(scene, to_space) * light, np.linalg.inv(to_space))


def _to_space(conditions: Conditions) -> Map:
    """Matrix from balanced raw channels to the linear channels of the picture."""
    session = conditions.session
    to_xyz = colour_matrix(session.sensor, dict(session.blend), own_lamp=session.route == "scan")
    return (np.linalg.inv(CAMERAS[session.space].rgb_to_xyz()) @ to_xyz).astype(np.float32)


class _Scales:
    """What is the same under every lamp: splashes, the torn corner and the thumb of one card."""

    def __init__(self, card: PaintedCard, conditions: Conditions, rng: np.random.Generator) -> None:
        size, scale = card.sheet.ground.shape[::-1], card.sheet.px_per_mm
        self.mishaps, self.page_mm = conditions.mishaps, page_of(card)
        self.splashes = mishap.splash_mask(size, scale, conditions.mishaps.splashes, rng)
        self.paper = mishap.paper_left(size, scale, conditions.mishaps, rng)

    def gloss(self, card: PaintedCard) -> Map:
        """How much of a mirrored lamp each point of the page shows [1]."""
        cover = np.maximum(card.cover(), self.splashes)
        return (PAPER_GLOSS + (1 - PAPER_GLOSS) * cover) * self.paper


def _under(
    card: PaintedCard, desk: Desk, scales: _Scales, light: Array, projection: Projection, place_mm: Array
) -> Map:
    """The scene under one lamp that falls evenly."""
    picture = card.seen_by(light)
    if scales.mishaps.splashes:
        full = next(stroke for stroke in card.strokes if "full-white" in stroke.layer.area_thickness)
        drop = (full.spectra[0, full.spectra.shape[1] // 2] @ light).astype(np.float32)
        picture += scales.splashes[..., None] * (drop - picture)
    scene = _warp(
        desk.seen_by(light),
        DESK_PX_PER_MM,
        -DESK_MARGIN_MM,
        projection,
        place_mm,
        beyond=cv2.BORDER_REFLECT_101,
    )
    page = _warp(picture, card.sheet.px_per_mm, 0.0, projection, place_mm)
    there = _warp(scales.paper, card.sheet.px_per_mm, 0.0, projection, place_mm, beyond=cv2.BORDER_CONSTANT)
    scene += there[..., None] * (page - scene)
    if scales.mishaps.corner == "covered":
        thumb = lens.enlarge(mishap.thumb_mask(scales.mishaps, scales.page_mm, place_mm), projection.size_px)
        scene += thumb[..., None] * ((mishap.SKIN @ light).astype(np.float32) - scene)
    return scene


def _warp(
    raster: Map,
    px_per_mm: float,
    origin_mm: float,
    projection: Projection,
    place_mm: Array,
    *,
    beyond: int = cv2.BORDER_REPLICATE,
) -> Map:
    """A raster of the card's plane as the lens projects it, made small first where the picture is much coarser."""
    middle = (raster.shape[1] / px_per_mm / 2 + origin_mm, raster.shape[0] / px_per_mm / 2 + origin_mm)
    coarser = px_per_mm / projection.px_per_mm(middle)
    if coarser > 1.5:
        size = (round(raster.shape[1] / coarser), round(raster.shape[0] / coarser))
        px_per_mm *= size[0] / raster.shape[1]
        raster = cv2.resize(raster, size, interpolation=cv2.INTER_AREA)
    at = lens.enlarge((place_mm - origin_mm) * px_per_mm - 0.5, projection.size_px)
    return cv2.remap(raster, at, None, cv2.INTER_LINEAR, borderMode=beyond)


def _in_frame(place_mm: Array, projection: Projection) -> Array:
    """Places of `Projection.coarse_mm` in the frame, 0 in its middle, 1 away at its corners."""
    rows, columns = place_mm.shape[:2]
    x, y = (
        (np.arange(count) - (count - 1) / 2) * lens.STEP_PX / (np.hypot(*projection.size_px) / 2)
        for count in (columns, rows)
    )
    return np.stack(np.meshgrid(x, y), axis=-1)


def _gain(raw: Map, conditions: Conditions, projection: Projection, page_mm: tuple[float, float]) -> float:
    """Exposure: the brightest paper at its level, or so bright that a share of the card is clipped."""
    steps = np.linspace(0.02, 0.98, 60)
    places = np.stack(np.meshgrid(steps * page_mm[0], steps * page_mm[1]), axis=-1).reshape(-1, 2)
    at = np.round(projection.to_px(places)).astype(int)
    seen = np.all((at >= 0) & (at < projection.size_px), axis=1)
    paper = raw[at[seen, 1], at[seen, 0]]
    # A camera meters what it will write: the matrix may push a channel of tinted light beyond the raw one.
    brightest = np.maximum(paper.max(axis=-1), (paper @ _to_space(conditions).T).max(axis=-1))
    if conditions.recording.clipped_share:
        return float(1.02 / np.quantile(brightest, 1 - conditions.recording.clipped_share))
    return float(conditions.recording.exposure / np.quantile(brightest, 0.98))


def _noisy(raw: Map, conditions: Conditions, rng: np.random.Generator) -> Map:
    """Photon and read-out noise, smeared a little by the colour filter's interpolation."""
    speed = conditions.recording.iso / 100
    deviation = np.sqrt(
        speed * NOISE_AT_ISO_100**2 * np.maximum(raw, 0) + (speed * READ_NOISE_AT_ISO_100) ** 2
    )
    # A small field of noise, tiled with random shifts, costs a tenth and looks the same.
    tile = rng.standard_normal((1024 + 64, 1024 + 64, raw.shape[2])).astype(np.float32)
    tile = cv2.GaussianBlur(tile, (0, 0), 0.6)[32:-32, 32:-32] / 0.47
    noise = np.empty_like(raw)
    for top in range(0, raw.shape[0], 1024):
        for left in range(0, raw.shape[1], 1024):
            part = noise[top : top + 1024, left : left + 1024]
            turned = np.roll(tile, rng.integers(0, 1024, 2), (0, 1))
            part[:] = turned[: part.shape[0], : part.shape[1]]
    return raw + deviation * noise


def _developed(raw: Map, conditions: Conditions, rng: np.random.Generator) -> bytes:
    """Matrix, colour space, tone curve and file."""
    session = conditions.session
    # A perfect diffuser is 1, 1, 1 before and after the matrix, so paper that is clipped stays white.
    linear = cv2.transform(raw, _to_space(conditions))
    if session.saturation != 1:
        grey = linear @ np.array([0.2126, 0.7152, 0.0722], np.float32)
        linear = grey[..., None] + session.saturation * (linear - grey[..., None])
    # 65537 steps are a twentieth of an 8-bit code where the curve is steepest.
    fine = (255 * tone_curve(np.linspace(0, 1, 65537), session.contrast)).astype(np.float32)
    codes = fine[(np.clip(linear, 0, 1) * 65536 + 0.5).astype(np.int32)]
    codes += rng.random(codes.shape[:2], np.float32)[..., None]
    picture = Image.fromarray(np.minimum(codes, 255).astype(np.uint8))
    return _saved(picture, conditions, CAMERAS[session.space].profile())


def tone_curve(linear: Array, contrast: float) -> Array:
    """Code 0-1 of linear light: sRGB's curve, bent into an S that leaves its ends and its middle."""
    code = CAMERAS["srgb"].encode(linear)
    return code + contrast * (code**2 * (3 - 2 * code) - code)


def _saved(picture: Image.Image, conditions: Conditions, profile: bytes) -> bytes:
    """A JPEG; without a profile where the phone writes none; a scan says its resolution."""
    session, file = conditions.session, io.BytesIO()
    kept = {} if session.route == "phone" else {"icc_profile": profile}
    if session.route == "scan":
        kept["dpi"] = (session.dpi, session.dpi)
    quality = conditions.recording.quality
    sampling = "4:4:4" if quality >= 90 else "4:2:0"
    picture.save(file, "JPEG", quality=quality, subsampling=sampling, **kept)
    return file.getvalue()


def _glare_of_areas(card: PaintedCard, conditions: Conditions) -> dict[str, float]:
    """Mean mirrored light over each area against white."""
    glare, found = conditions.falling.glare, {}
    for area in card.sheet.card_map["areas"]:
        x, y, width, height = area["box_mm"]
        steps = np.linspace(0.2, 0.8, 13)
        places = np.stack(np.meshgrid(x + width * steps, y + height * steps), axis=-1)
        gloss = PAPER_GLOSS if area["film"] == "bare" else 1.0
        found[area["area"]] = float(gloss * glare_field(glare, places).mean()) if glare else 0.0
    return found


def seed_of(rng: np.random.Generator) -> int:
    """One of a few desks."""
    return int(rng.integers(4))


@cache
def draw_desk_of(page_mm: tuple[float, float], seed: int) -> Desk:
    """A desk by its number."""
    return draw_desk(page_mm, np.random.default_rng(seed))


def true_colours(card: PaintedCard, *, inset_mm: float = 4.0) -> dict[str, Array]:
    """XYZ under D65 of each area as it was painted, the perfect diffuser at 100."""
    return {area: seen @ weights() for area, seen in card.area_reflectance(inset_mm=inset_mm).items()}


def shown_colours(card: PaintedCard, *, inset_mm: float = 4.0) -> dict[str, Array]:
    """XYZ under D65 of each area as it lies there, drips, holes and dust included, the perfect diffuser at 100."""
    picture, scale, found = card.seen_by(weights()), card.sheet.px_per_mm, {}
    for area in card.sheet.card_map["areas"]:
        x, y, width, height = area["box_mm"]
        rows = slice(round((y + inset_mm) * scale), round((y + height - inset_mm) * scale))
        columns = slice(round((x + inset_mm) * scale), round((x + width - inset_mm) * scale))
        found[area["area"]] = picture[rows, columns].mean(axis=(0, 1), dtype=float)
    return found


PAPER_XYZ: Array = GROUNDS["white"] @ weights()
"""XYZ of the bare paper under D65."""
