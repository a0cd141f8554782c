"""Read a chart that somebody painted by hand, from boxes that they drew over its picture.

Nothing about such a chart is known but what its owner says of each box; sampling, judging, calibration and doubt are
those of the printed card.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.areas.judge import SAME_DE00, judge_area
from scumble.card.light.calibrate import Calibration, calibrate
from scumble.card.light.lost import CUT_OFF_SHARE, restore_lost
from scumble.card.light.route_doubt import KNOWN_SPACE, PAPER_TINT, UNKNOWN_CAMERA
from scumble.card.light.sampling import Sample, robust_centre, sample_box
from scumble.card.light.veil import Veil, estimate_veil, take_off
from scumble.card.photographed import AreaSeen, Fault, Outline, PhotographedCard
from scumble.card.picture.points import Picture, load_picture
from scumble.card.promise import reading_bounds
from scumble.card.read import OWN_NOISE
from scumble.card.sheet.box import Box
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import CardError, InputError
from scumble.paint.reading import BARE, CardReadings, Quantity, Reading

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

OWN_CHART: Final = "own chart"
"""What stands in the place of a layout."""

PAPER: Final = "white"
"""Name of the ground that is bare paper."""

INSET: Final = 0.12
"""Share of a box's shorter side that is left off all round: boxes are drawn by eye."""

TILES: Final = 8.0
"""Tiles across the shorter side of a box; they stand for the 2 mm of a printed card."""

MOST_BOXES: Final = 200
LEAST_SIDE_PX: Final = 8.0

UNSEEN_VEIL: Final = Veil(0.012, 0.012)
"""Veil where nothing black was marked that could show it: the mean of `scumble.card.light.veil` and as much doubt."""

UNSEEN_LIGHT: Final = 0.03
"""Relative error of a light that was seen at one place only (*common practice, no source*: daylight beside a window
falls off by some per cent across a page)."""

UNCHECKED_LIGHT: Final = 0.01
"""The same where a plane was laid through three places: what bends away from it is not seen (*common practice, no
source*)."""


@dataclass(frozen=True, slots=True)
class MarkedBox:
    """One box, and what its owner says lies in it.

    Parameters
    ----------
    name : str
        Unique on the chart; a bare box goes by the name of its ground.
    corner_px : (float, float) [px]
        Its top left corner in the upright picture.
    size_px : (float, float) [px]
        Width and height.
    film : str
        ``bare``, ``full``, or the name of a stroke of one thickness.
    ground : str
        The bare box that shows what lies under it; of a bare box its own ground.
    paint_parts, white_parts : float
        Parts by volume.
    """

    name: str
    corner_px: tuple[float, float]
    size_px: tuple[float, float]
    film: str = "full"
    ground: str = PAPER
    paint_parts: float = 1.0
    white_parts: float = 0.0

    @property
    def is_bare(self) -> bool:
        """Whether nothing was painted here."""
        return self.film == BARE

    @property
    def is_paper(self) -> bool:
        """Whether it shows bare paper."""
        return self.is_bare and self.ground == PAPER

    @property
    def outline_px(self) -> Outline:
        """Its corners."""
        return Box(*self.corner_px, *self.size_px).corners_mm

    @property
    def middle_px(self) -> tuple[float, float]:
        """Where it lies."""
        return self.corner_px[0] + self.size_px[0] / 2, self.corner_px[1] + self.size_px[1] / 2


@dataclass(frozen=True, slots=True)
class _Flat:
    """The picture as its own map, so that a box is sampled as on a card: the unit is a quarter of a tile's side."""

    unit_px: float

    def to_px(self, points: ArrayLike) -> Floats:
        return np.asarray(points, dtype=np.float64) * self.unit_px

    def to_mm(self, points_px: ArrayLike) -> Floats:
        return np.asarray(points_px, dtype=np.float64) / self.unit_px

    def outline_px(self, box: Box) -> Floats:
        return self.to_px(box.corners_mm)


@dataclass(frozen=True, slots=True)
class _Seen:
    """A box before calibration."""

    box: MarkedBox
    sample: Sample
    centre: Floats
    scatter: float
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class _Light:
    """Light on the paper as a plane of logarithms over the picture."""

    coefficients: Floats
    size_px: tuple[int, int]
    residual: float
    unevenness: float

    def at(self, places_px: Floats) -> Floats:
        """Linear channels of bare paper, shape (..., 3)."""
        return np.asarray(np.exp(_plane(places_px, self.size_px, len(self.coefficients)) @ self.coefficients))


def read_marked(
    source: Path | str | bytes,
    boxes: Sequence[MarkedBox],
    *,
    paper_xyz: Floats | None = None,
    progress: Progress | None = None,
) -> PhotographedCard:
    """Read a chart of somebody's own from boxes drawn over its picture.

    Parameters
    ----------
    source : path or bytes
        The picture.
    boxes : sequence of MarkedBox
        At least one of bare paper and one painted.
    paper_xyz : array, shape (3,), optional
        XYZ of the bare paper under D65, 2 degrees, where it was measured.
    progress : callable, optional
        Told what is being done and the share done.

    Raises
    ------
    CardError, InputError
        If the picture cannot be opened, or the boxes do not make a chart.
    """
    tell = progress or (lambda _words, _share: None)
    tell("opening the picture", 0.0)
    picture = load_picture(source)
    check_boxes(boxes, picture.size_px)
    tell("reading the boxes", 0.6)
    light = _read_light(picture, boxes)
    seen = [_see_box(picture, box, light) for box in boxes]
    black = _darkest_bare(picture, seen)
    veil = UNSEEN_VEIL if black is None else estimate_veil(*_levels(picture, seen, black))
    seen = [replace(each, centre=take_off(each.centre, veil.light)) for each in seen]
    dark = np.zeros(3) if black is None else np.maximum(take_off(black, veil.light), 0.0)
    calibration = calibrate(picture.encoding, dark, paper_xyz=paper_xyz)
    areas = _read_areas(seen, calibration)
    tell("done", 1.0)
    return _chart(picture, light, calibration, veil, areas, unseen_veil=black is None)


def check_boxes(boxes: Sequence[MarkedBox], size_px: tuple[int, int]) -> None:
    """Refuse boxes that do not make a chart, in words.

    Raises
    ------
    InputError
        Naming the box.
    """
    if len(boxes) > MOST_BOXES:
        raise InputError("boxes", len(boxes), f"at most {MOST_BOXES}")
    if not any(box.is_paper for box in boxes):
        raise InputError("boxes", "no bare paper", "at least one box on bare paper", "It sets the white.")
    if all(box.is_bare for box in boxes):
        raise InputError("boxes", "nothing painted", "at least one box on paint")
    names = [box.name for box in boxes]
    grounds = {box.ground for box in boxes if box.is_bare}
    for box in boxes:
        if names.count(box.name) > 1:
            raise InputError(f"box {box.name}", "two of that name", "a name of its own for every box")
        if box.ground not in grounds:
            hint = f"Draw a box on the bare {box.ground}, or choose another ground."
            raise InputError(
                f"box {box.name}", f"over {box.ground}", "over a ground that is marked bare", hint
            )
        _check_place(box, size_px)


def _check_place(box: MarkedBox, size_px: tuple[int, int]) -> None:
    if min(box.size_px) < LEAST_SIDE_PX:
        given = f"{box.size_px[0]:.0f} by {box.size_px[1]:.0f} points"
        raise InputError(f"box {box.name}", given, f"sides of at least {LEAST_SIDE_PX:.0f} points")
    ends = np.add(box.corner_px, box.size_px)
    if min(box.corner_px) < 0 or np.any(ends > size_px):
        raise InputError(f"box {box.name}", "partly outside", "inside the picture")


def _sample(picture: Picture, box: MarkedBox) -> tuple[Sample, Floats]:
    """Sample a box without its rim, and where its tiles lie in the picture [px]."""
    unit = min(box.size_px) * (1.0 - 2.0 * INSET) / (2.0 * TILES)
    rim = INSET * min(box.size_px)
    inner = Box(*box.corner_px, *box.size_px).shrunk(rim)
    scaled = Box(inner.x_mm / unit, inner.y_mm / unit, inner.width_mm / unit, inner.height_mm / unit)
    sample = sample_box(picture, _Flat(unit), scaled)
    return sample, sample.centres_mm * unit


def _read_light(picture: Picture, boxes: Sequence[MarkedBox]) -> _Light:
    """A plane through the bare paper where three boxes or more span one, else one level."""
    paper = [box for box in boxes if box.is_paper]
    levels = []
    for box in paper:
        sample, _ = _sample(picture, box)
        if sample.clipped > 0.02:
            raise CardError(
                f"The bare paper in box {box.name} is overexposed: its white is at the end of the picture's scale.",
                "Photograph the chart again a little darker, or mark other paper.",
            )
        levels.append(np.log(np.maximum(robust_centre(sample.tiles)[0], 1e-6)))
    middles = np.array([box.middle_px for box in paper])
    terms = 3 if len(paper) >= 3 and _span(middles, picture.size_px) else 1
    plane = _plane(middles, picture.size_px, terms)
    coefficients = np.asarray(np.linalg.lstsq(plane, np.array(levels), rcond=None)[0], np.float64)
    # With as many boxes as unknowns nothing is left over to judge the light by.
    spare = len(paper) - terms
    unchecked = UNSEEN_LIGHT if terms == 1 else UNCHECKED_LIGHT
    missed = float(np.sqrt(np.mean((plane @ coefficients - levels) ** 2))) if spare else unchecked
    every = _plane(np.array([box.middle_px for box in boxes]), picture.size_px, terms) @ coefficients
    return _Light(coefficients, picture.size_px, missed, float(np.exp(np.ptp(every[:, 1]))))


def _span(middles: Floats, size_px: tuple[int, int]) -> bool:
    """Whether places lie wide enough apart, both ways, to tell a slope from noise."""
    spread = np.linalg.svd((middles - middles.mean(axis=0)) / max(size_px), compute_uv=False)
    return bool(spread[-1] > 0.08)


def _plane(places_px: Floats, size_px: tuple[int, int], terms: int) -> Floats:
    away = places_px / np.array(size_px) - 0.5
    return np.concatenate([np.ones((*away.shape[:-1], 1)), away], axis=-1)[..., :terms]


def _see_box(picture: Picture, box: MarkedBox, light: _Light) -> _Seen:
    sample, places = _sample(picture, box)
    relative = sample.tiles / light.at(places)
    centre, scatter, agreeing = robust_centre(relative)
    return _Seen(box, sample, centre, scatter, judge_area(sample, relative, scatter, agreeing))


def _levels(picture: Picture, seen: Sequence[_Seen], black: Floats) -> tuple[float, float]:
    """Light of the bare black and of the darkest box."""
    to_light = picture.encoding.rgb_to_xyz[1]
    own = float(black @ to_light)
    return own, min([float(each.centre @ to_light) for each in seen if not each.faults] + [own])


def _darkest_bare(picture: Picture, seen: Sequence[_Seen]) -> Floats | None:
    """Light of the darkest bare ground that is black enough to show a veil."""
    to_light = picture.encoding.rgb_to_xyz[1]
    bare = [each.centre for each in seen if each.box.is_bare and float(each.centre @ to_light) < 0.2]
    return min(bare, key=lambda centre: float(centre @ to_light), default=None)


def _read_areas(seen: Sequence[_Seen], calibration: Calibration) -> tuple[AreaSeen, ...]:
    """Calibrate every box; a film that shows nothing but its ground is said to be unpainted."""
    white = white_point("D65", 2)
    lab = {each.box.name: xyz_to_lab(calibration.to_xyz(each.centre), white) for each in seen}
    bare = {each.box.ground: lab[each.box.name] for each in seen if each.box.is_bare}
    areas = []
    for each in seen:
        box, faults = each.box, each.faults
        alone = sum(other.box.film == box.film for other in seen) == 1
        if not box.is_bare and alone and float(delta_e_2000(lab[box.name], bare[box.ground])) < SAME_DE00:
            faults = (*faults, Fault("unpainted", "It looks unpainted.", 0.5))
        cut_off = np.array(each.sample.cut_off) > CUT_OFF_SHARE
        values, blind = restore_lost(
            calibration.to_xyz(each.centre), each.centre, calibration.rgb_to_xyz, cut_off
        )
        weight = min((fault.trust for fault in faults), default=1.0)
        parts = (box.paint_parts, box.white_parts)
        ground = _ground_name(box, seen)
        reading = Reading(box.name, box.film, *parts, ground, values, weight=weight, blind=blind)
        areas.append(AreaSeen(reading, box.outline_px, each.scatter, each.sample.points, faults))
    return tuple(areas)


def _ground_name(box: MarkedBox, seen: Sequence[_Seen]) -> str:
    """Name of the bare box that shows a ground: its own of a bare one, else the first of that ground."""
    if box.is_bare:
        return box.name
    return next(each.box.name for each in seen if each.box.is_bare and each.box.ground == box.ground)


def _chart(
    picture: Picture,
    light: _Light,
    calibration: Calibration,
    veil: Veil,
    areas: tuple[AreaSeen, ...],
    *,
    unseen_veil: bool,
) -> PhotographedCard:
    camera = replace(
        UNKNOWN_CAMERA if picture.notes else KNOWN_SPACE,
        paper=calibration.doubt,
        tint=PAPER_TINT if calibration.doubt else 0.0,
        veil=round(veil.doubt, 5),
    )
    noise = round(float(np.hypot(OWN_NOISE, light.residual)), 4)
    readings = CardReadings(
        tuple(area.reading for area in areas), Quantity.XYZ, "D65", 2, noise=noise, camera=camera
    )
    bounds = reading_bounds(readings)
    areas = tuple(
        replace(area, bound_de00=round(bound, 2)) for area, bound in zip(areas, bounds, strict=True)
    )
    assumed = ["Where each box lies and what is in it is taken from whoever drew it."]
    if len(light.coefficients) == 1:
        assumed.append("The light is taken to be even: bare paper was marked at too few places to tell.")
    if unseen_veil:
        assumed.append("No bare black was marked, so that veiling light cannot be told from dark paint.")
    return PhotographedCard(
        layout=OWN_CHART,
        readings=readings,
        areas=areas,
        marks=(),
        missing_marks=(),
        size_px=picture.size_px,
        colour_space=picture.encoding.name,
        px_per_mm=0.0,
        placement_error_mm=0.0,
        unevenness=round(light.unevenness, 3),
        light_residual=round(light.residual, 4),
        flare=round(veil.light + float(calibration.flare.mean()), 4),
        assumptions=(*picture.notes, *calibration.notes, *assumed),
        warnings=(),
    )
