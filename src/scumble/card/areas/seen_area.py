"""From one box of the picture to its reading: its film told from what lies in it, evened out, calibrated, judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.areas.agreement import find_contradictions
from scumble.card.areas.flaws import MOST_LEFT_OUT, look_closely
from scumble.card.areas.judge import CUT_OFF, find_unpainted, judge_area, judge_flaws, judge_thickness
from scumble.card.areas.strangers import find_strangers
from scumble.card.areas.thickness import LEAST_LEFT, Evened, endless_film, even_out
from scumble.card.find.placement import Placement
from scumble.card.light.calibrate import Calibration
from scumble.card.light.lighting import Lighting
from scumble.card.light.lost import lost_channels
from scumble.card.light.sampling import Sample, robust_centre, sample_box
from scumble.card.light.veil import take_off
from scumble.card.photographed import AreaSeen, Direction, Fault, Outline
from scumble.card.picture.points import Picture
from scumble.card.sheet.geometry import Area
from scumble.card.sheet.layouts import Point
from scumble.errors import CardError
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import Reading

Floats = NDArray[np.float64]

GUESSED_CONTRAST: Final = 0.12
"""Share of its light by which a film must differ from its own thickest part, where that stands for an endless one."""

INSET_MM: Final = 4.0
"""Left off around each area: ragged edges, and the doubt about where it lies."""


@dataclass(frozen=True, slots=True)
class SeenArea:
    """An area before calibration.

    Parameters
    ----------
    area : Area
        Which one.
    sample : Sample
        What the picture shows of it.
    cells : array, shape (rows, columns, 3) [1]
        Light of its film against the paper; not a number where something else lies.
    centre : array, shape (3,) [1]
        Its mean.
    scatter : float [1]
        Relative deviation of its tiles.
    faults : tuple of Fault
        What is wrong with it by itself.
    """

    area: Area
    sample: Sample
    cells: Floats
    centre: Floats
    scatter: float
    faults: tuple[Fault, ...]

    def without(self, veil: float | Floats) -> SeenArea:
        """The same with veiling light taken off."""
        return replace(self, centre=take_off(self.centre, veil), cells=take_off(self.cells, veil))


def see_areas(picture: Picture, placement: Placement, lighting: Lighting) -> list[SeenArea]:
    """Every area relative to the paper, the bare ones first looked at: films are held against their grounds."""
    bare = {
        area.name: _see_area(picture, placement, lighting, area, None)
        for area in placement.geometry.areas
        if area.is_bare
    }
    return [
        bare[area.name]
        if area.is_bare
        else _see_area(picture, placement, lighting, area, bare[area.ground].centre)
        for area in placement.geometry.areas
    ]


def _see_area(
    picture: Picture, placement: Placement, lighting: Lighting, area: Area, ground: Floats | None
) -> SeenArea:
    """Read one area relative to the paper."""
    sample = sample_box(picture, placement, area.box.shrunk(INSET_MM))
    if not len(sample.tiles):
        outside = Fault("outside", "It lies outside the picture.", 0.0)
        return SeenArea(area, sample, sample.cells, np.zeros(3), 0.0, (outside,))
    light = sample.tiles / lighting.paper_at(sample.centres_mm)
    cells = sample.cells / lighting.paper_at(sample.cell_centres_mm)
    closer = look_closely(cells, sample.cell_mm, ground=ground)
    film = np.where(closer.film[..., None], cells, np.nan)
    doubt = float(np.median(lighting.doubt_at(sample.centres_mm)))
    centre, scatter, agreeing = robust_centre(light)
    if closer.left_out < MOST_LEFT_OUT and closer.film.any():
        centre = np.asarray(np.nanmean(film, axis=(0, 1)))
        scatter = _scatter(film)
    faults = judge_area(sample, light, scatter, agreeing, light_doubt=doubt, closer=closer)
    # What cannot be used at all needs no word on what lies in it.
    more = judge_flaws(closer) if all(fault.trust for fault in faults) else ()
    return SeenArea(area, sample, film, centre, scatter, (*faults, *more))


def _scatter(film: Floats) -> float:
    """Relative deviation of the brightness of tiles of four by four cells that are mostly film."""
    brightness = film.sum(axis=-1)
    size = min(4, *brightness.shape)
    rows, columns = (side // size * size for side in brightness.shape)
    tiles = brightness[:rows, :columns].reshape(rows // size, size, columns // size, size)
    tiles = tiles.transpose(0, 2, 1, 3).reshape(-1, size * size)
    mostly = np.isfinite(tiles).sum(axis=1) > 0.5 * size * size
    if mostly.sum() < 2:
        return 0.0
    means = np.nanmean(tiles[mostly], axis=1)
    return float(means.std() / max(float(means.mean()), 1e-9))


def read_areas(
    placement: Placement,
    seen: Sequence[SeenArea],
    calibration: Calibration,
    *,
    noise: float,
    camera: CameraDoubt,
) -> tuple[AreaSeen, ...]:
    """Calibrate every area, set uneven films to their mean thickness, and hold areas against one another.

    Parameters
    ----------
    placement : Placement
        Where they lie.
    seen : sequence of SeenArea
        All areas of the card.
    calibration : Calibration
        From light to XYZ.
    noise : float [1]
        Relative scatter of one reading.
    camera : CameraDoubt
        What all of them share.

    Raises
    ------
    CardError
        If nothing is painted, or the bare paper or black cannot be believed.
    """
    evened = _even_out(seen)
    xyz = {each.area.name: calibration.to_xyz(each.centre) for each in seen if each.sample.points}
    unpainted = find_unpainted([each.area for each in seen], xyz)
    fit = {
        each.area.name: each.centre
        for each in seen
        if each.area.name not in unpainted and all(fault.trust for fault in each.faults)
    }
    one_paint = placement.geometry.is_one_paint
    odd = find_contradictions([each.area for each in seen], fit) if one_paint else {}
    areas = []
    for each in seen:
        name = each.area.name
        even = evened.get(name)
        uneven = judge_thickness(even, each.centre, each.scatter) if even and not each.faults else ()
        said = (unpainted[name],) if name in unpainted else ()
        areas.append(
            _read_area(placement, each, calibration, (*each.faults, *uneven, *said), even if uneven else None)
        )
    _check_painted(areas)
    # Boxes that are each a paint of their own say nothing of one another.
    strange = find_strangers([area.reading for area in areas], noise, camera) if one_paint else {}
    # Who shines all over is known by that, unless another film of the card explains it better.
    strange |= {name: fault for name, fault in odd.items() if not _is_explained(strange.get(name))}
    return tuple(_with_fault(area, strange.get(area.reading.area)) for area in areas)


def _is_explained(fault: Fault | None) -> bool:
    return fault is not None and fault.kind in ("swapped", "thickness")


def _with_fault(area: AreaSeen, fault: Fault | None) -> AreaSeen:
    if fault is None:
        return area
    reading = replace(area.reading, weight=min(area.reading.weight, fault.trust))
    return replace(area, reading=reading, faults=(*area.faults, fault))


def _even_out(seen: Sequence[SeenArea]) -> dict[str, Evened]:
    """How thick the films lie, from their own light, that of their grounds, and that of endless films."""
    centre = {each.area.name: each.centre for each in seen}
    grounds = centre["white"], centre["black"]
    endless = {
        film: endless_film(centre[f"{film}-white"], centre[f"{film}-black"], *grounds)
        for film in dict.fromkeys(each.area.film for each in seen)
        if f"{film}-white" in centre and f"{film}-black" in centre
    }
    full = endless.get("full")
    found = {}
    for each in seen:
        if each.area.is_bare or not np.isfinite(each.cells).any():
            continue
        ground = centre[each.area.ground]
        own = endless.get(each.area.film) if each.area.white_parts or full is None else full
        told = GUESSED_CONTRAST if own is None else LEAST_LEFT
        deepest = _deepest(each.cells, ground) if own is None else own
        found[each.area.name] = even_out(each.cells, each.centre, ground, deepest, least_left=told)
    return found


def _deepest(cells: Floats, ground: Floats) -> Floats:
    """What the thickest twentieth of a film shows: near what it would without end."""
    seen = cells[np.isfinite(cells).all(axis=-1)]
    away = np.abs(seen - ground).sum(axis=1)
    return np.asarray(seen[away >= np.quantile(away, 0.95)].mean(axis=0))


def _read_area(
    placement: Placement,
    each: SeenArea,
    calibration: Calibration,
    faults: tuple[Fault, ...],
    even: Evened | None,
) -> AreaSeen:
    """One area calibrated."""
    area, light = each.area, each.centre if even is None else even.light
    lost = lost_channels(each.sample.cut_off, light)
    if lost.any() and CUT_OFF not in faults:
        faults = (*faults, CUT_OFF)
    values, blind = calibration.to_reading(area.name, light, lost)
    if even is not None:
        blind = (*blind, *(_direction(calibration.rgb_to_xyz @ doubt) for doubt in even.doubts))
    reading = Reading(
        area.name,
        area.film,
        area.paint_parts,
        area.white_parts,
        area.ground,
        values,
        weight=min((fault.trust for fault in faults), default=1.0),
        blind=blind,
    )
    return AreaSeen(
        reading, outline(placement.outline_px(area.box)), each.scatter, each.sample.points, faults
    )


def _direction(xyz: Floats) -> Direction:
    x, y, z = xyz.tolist()
    return x, y, z


def _check_painted(areas: Sequence[AreaSeen]) -> None:
    """Refuse a blank card, and one whose bare paper or black cannot be believed."""
    painted = [area for area in areas if not area.reading.is_bare]
    if all(any(fault.kind == "unpainted" for fault in area.faults) for area in painted):
        raise CardError("This sample card has not been painted yet.", "Paint it and photograph it again.")
    for area in areas:
        if area.reading.area in ("white", "black") and area.reading.weight == 0.0:
            raise CardError(
                f"The bare {area.reading.area} of the card cannot be read: {area.verdict}",
                "Photograph it again; the bare squares must be in view, unpainted and free of glare.",
            )


def outline(corners_px: Floats) -> Outline:
    """Corners as plain numbers."""
    a, b, c, d = (_point(corner) for corner in corners_px)
    return a, b, c, d


def _point(corner: Floats) -> Point:
    return round(float(corner[0]), 2), round(float(corner[1]), 2)
