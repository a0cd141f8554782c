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
from numpy.typing import NDArray

from scumble.card.areas.judge import SAME_DE00, judge_area
from scumble.card.by_target import SCATTER, ByTarget, TargetView, calibrate_by_target
from scumble.card.light.calibrate import Calibration, calibrate, paper_of_device
from scumble.card.light.lost import CUT_OFF_SHARE
from scumble.card.light.route_doubt import KNOWN_SPACE, UNKNOWN_CAMERA, camera_doubt
from scumble.card.light.sampling import Sample, robust_centre
from scumble.card.light.veil import Veil, estimate_veil, take_off
from scumble.card.marked.boxes import MarkedBox, check_boxes
from scumble.card.marked.paper_light import PlaneLight, place_flat, read_light, sample_marked
from scumble.card.photographed import AreaSeen, Fault, PhotographedCard
from scumble.card.picture.points import Picture, load_picture
from scumble.card.promise import reading_bounds
from scumble.card.read import DEVICE_VEIL, OWN_NOISE
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import CardReadings, Quantity, Reading

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

OWN_CHART: Final = "own chart"
"""What stands in the place of a layout."""

UNSEEN_VEIL: Final = Veil(0.012, 0.012)
"""Veil where nothing black was marked that could show it: the mean of `scumble.card.light.veil` and as much doubt."""

DRAWN_BY_HAND: Final = "Where each box lies and what is in it is taken from whoever drew it."
EVEN_LIGHT: Final = "The light is taken to be even: bare paper was marked at too few places to tell."
NO_BLACK: Final = "No bare black was marked, so that veiling light cannot be told from dark paint."


@dataclass(frozen=True, slots=True)
class SeenBox:
    """A box before calibration.

    Parameters
    ----------
    area : MarkedBox
        Which one; its ground is the name of the bare box that shows what lies under it.
    sample : Sample
        What the picture shows of it.
    centre : array, shape (3,) [1]
        Its mean light against the paper.
    scatter : float [1]
        Relative deviation of its tiles.
    faults : tuple of Fault
        What is wrong with it by itself.
    """

    area: MarkedBox
    sample: Sample
    centre: Floats
    scatter: float
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class _Route:
    """By which way colours are found: calibration, what it leaves in doubt, the boxes without veil, and remarks."""

    calibration: Calibration
    doubt: CameraDoubt
    veil: Veil
    seen: tuple[SeenBox, ...]
    noise: float
    assumed: tuple[str, ...]


def read_marked(
    source: Path | str | bytes,
    boxes: Sequence[MarkedBox],
    *,
    paper_xyz: Floats | None = None,
    target: TargetView | None = None,
    profile: bytes | None = None,
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
    target : TargetView, optional
        A reference target that lies in the picture, outside the rectangle of the boxes unless its corners are given;
        colours are then led by it.
    profile : bytes, optional
        ICC profile of the scanner or camera, in place of the one in the file.
    progress : callable, optional
        Told what is being done and the share done.

    Raises
    ------
    CardError, InputError
        If the picture cannot be opened, the target is not found, or the boxes do not make a chart.
    """
    tell = progress or (lambda _words, _share: None)
    tell("opening the picture", 0.0)
    picture = load_picture(source, profile=profile)
    check_boxes(boxes, picture.size_px)
    tell("reading the boxes", 0.6)
    light = read_light(picture, boxes)
    by_target: ByTarget | None = None
    if target is not None:
        by_target = calibrate_by_target(picture, place_flat(boxes, picture.size_px), light, target)
        picture = by_target.picture
        light = read_light(picture, boxes)
    seen = _see_boxes(picture, boxes, light)
    route = _by_target(by_target, light, seen) if by_target else _by_paper(picture, light, seen, paper_xyz)
    tell("done", 1.0)
    return _chart(picture, light, route)


def _see_boxes(picture: Picture, boxes: Sequence[MarkedBox], light: PlaneLight) -> tuple[SeenBox, ...]:
    """Every box against the paper, each with the bare box that shows its ground."""
    grounds: dict[str, str] = {}
    for box in boxes:
        if box.is_bare:
            grounds.setdefault(box.ground, box.name)
    found = []
    for box in boxes:
        sample, places = sample_marked(picture, box)
        relative = sample.tiles / light.paper_at(places)
        centre, scatter, agreeing = robust_centre(relative)
        known = replace(box, ground=box.name if box.is_bare else grounds[box.ground])
        found.append(SeenBox(known, sample, centre, scatter, judge_area(sample, relative, scatter, agreeing)))
    return tuple(found)


def _by_target(by_target: ByTarget, light: PlaneLight, seen: Sequence[SeenBox]) -> _Route:
    """Colours led by the target; a veil lies evenly on the picture, the paper's light does not."""
    middle = np.mean(light.paper_at(light.middle_mm))
    clear = tuple(
        replace(
            each,
            centre=take_off(
                each.centre,
                by_target.veil.each * float(middle / np.mean(light.paper_at(each.area.middle_px))),
            ),
        )
        for each in seen
    )
    calibration, doubt = by_target.on_card(clear)
    noise = float(np.hypot(SCATTER, light.residual))
    return _Route(calibration, doubt, by_target.veil, clear, noise, ())


def _by_paper(
    picture: Picture, light: PlaneLight, seen: Sequence[SeenBox], paper_xyz: Floats | None
) -> _Route:
    """Colours by the chart's own paper and black, or by the device's profile."""
    black = _darkest_bare(picture, seen)
    assumed: tuple[str, ...] = ()
    paper_doubt = 0.0
    if picture.is_absolute:
        veil = Veil(0.0, DEVICE_VEIL)
        if paper_xyz is None:
            paper_xyz, paper_doubt = paper_of_device(picture.encoding, light.paper_at(light.middle_mm))
    elif black is None:
        veil, assumed = UNSEEN_VEIL, (NO_BLACK,)
    else:
        veil = estimate_veil(*_levels(picture, seen, black))
    clear = tuple(replace(each, centre=take_off(each.centre, veil.light)) for each in seen)
    dark = np.zeros(3) if black is None else np.maximum(take_off(black, veil.light), 0.0)
    calibration = calibrate(picture.encoding, dark, paper_xyz=paper_xyz, paper_doubt=paper_doubt)
    usual = picture.doubt or (UNKNOWN_CAMERA if picture.notes else KNOWN_SPACE)
    doubt = camera_doubt(picture, usual, calibration, veil)
    return _Route(calibration, doubt, veil, clear, float(np.hypot(OWN_NOISE, light.residual)), assumed)


def _levels(picture: Picture, seen: Sequence[SeenBox], black: Floats) -> tuple[float, float]:
    """Light of the bare black and of the darkest box."""
    to_light = picture.encoding.rgb_to_xyz[1]
    own = float(black @ to_light)
    return own, min([float(each.centre @ to_light) for each in seen if not each.faults] + [own])


def _darkest_bare(picture: Picture, seen: Sequence[SeenBox]) -> Floats | None:
    """Light of the darkest bare ground that is black enough to show a veil."""
    to_light = picture.encoding.rgb_to_xyz[1]
    bare = [each.centre for each in seen if each.area.is_bare and float(each.centre @ to_light) < 0.2]
    return min(bare, key=lambda centre: float(centre @ to_light), default=None)


def _read_areas(route: _Route) -> tuple[AreaSeen, ...]:
    """Calibrate every box; a film that shows nothing but its ground is said to be unpainted."""
    areas = []
    for each in route.seen:
        lost = np.array(each.sample.cut_off) > CUT_OFF_SHARE
        values, blind = route.calibration.to_reading(each.area.name, each.centre, lost)
        box = each.area
        reading = Reading(
            box.name, box.film, box.paint_parts, box.white_parts, box.ground, values, blind=blind
        )
        areas.append(AreaSeen(reading, box.outline_px, each.scatter, each.sample.points, each.faults))
    films = [area.reading.film for area in areas]
    white = white_point("D65", 2)
    lab = {area.reading.area: xyz_to_lab(area.reading.values, white) for area in areas}
    return tuple(_judged(area, alone=films.count(area.reading.film) == 1, lab=lab) for area in areas)


def _judged(area: AreaSeen, *, alone: bool, lab: dict[str, Floats]) -> AreaSeen:
    """An area with the weight that its faults leave it."""
    reading, faults = area.reading, area.faults
    off = float(delta_e_2000(lab[reading.area], lab[reading.ground]))
    if not reading.is_bare and alone and off < SAME_DE00:
        faults = (*faults, Fault("unpainted", "It looks unpainted.", 0.5))
    weight = min((fault.trust for fault in faults), default=1.0)
    return replace(area, reading=replace(reading, weight=weight), faults=faults)


def _chart(picture: Picture, light: PlaneLight, route: _Route) -> PhotographedCard:
    """Put together what was read and what is to be said about it."""
    areas = _read_areas(route)
    readings = CardReadings(
        tuple(area.reading for area in areas),
        Quantity.XYZ,
        "D65",
        2,
        noise=round(route.noise, 4),
        camera=route.doubt,
    )
    bounds = reading_bounds(readings)
    assumed = (DRAWN_BY_HAND, *((EVEN_LIGHT,) if light.is_even else ()), *route.assumed)
    return PhotographedCard(
        layout=OWN_CHART,
        readings=readings,
        areas=tuple(
            replace(area, bound_de00=round(bound, 2)) for area, bound in zip(areas, bounds, strict=True)
        ),
        marks=(),
        missing_marks=(),
        size_px=picture.size_px,
        colour_space=picture.encoding.name,
        px_per_mm=0.0,
        placement_error_mm=0.0,
        unevenness=round(light.unevenness, 3),
        light_residual=round(light.residual, 4),
        flare=round(route.veil.light + float(route.calibration.flare.mean()), 4),
        assumptions=(*picture.notes, *route.calibration.notes, *assumed),
        warnings=(),
    )
