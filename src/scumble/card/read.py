"""Read a photograph or scan of a painted sample card: find it, even out the light, read and judge every area."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.areas.seen_area import SeenArea, outline, read_areas, see_areas
from scumble.card.by_target import SCATTER, TargetView, calibrate_by_target
from scumble.card.find.fiducials import find_tags, is_mirrored
from scumble.card.find.find_code import find_code
from scumble.card.find.placement import Placement, place_card
from scumble.card.light.calibrate import Calibration, calibrate, paper_of_device
from scumble.card.light.lighting import Lighting, read_lighting
from scumble.card.light.route_doubt import route_doubt
from scumble.card.light.tone_bend import bend_encoding
from scumble.card.light.tone_curve import ToneCurve, read_tone_curve
from scumble.card.light.veil import Veil, estimate_veil, take_off
from scumble.card.overrule import overrule_card
from scumble.card.photographed import AreaSeen, Mark, PhotographedCard
from scumble.card.picture.points import Picture, load_picture
from scumble.card.picture.profile import Encoding
from scumble.card.promise import reading_bounds
from scumble.card.remark import picture_warnings
from scumble.card.sheet.geometry import Area, card_geometry
from scumble.errors import CardError
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import CardReadings, Quantity

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

ENOUGH_TAGS: Final = 7
"""Marks at which the search stops; the full card has 8."""

OWN_NOISE: Final = 0.015
"""Relative scatter of a reading that is neither the light's nor the brush's: what a camera adds."""

MEASURED_BLACK: Final = 0.002
"""Doubt of the veil when the printed black was measured."""

DEVICE_VEIL: Final = 0.0015
"""The same of a device's own profile, which was made through the veil of its own lens and glass."""


def read_photograph(
    source: Path | str | bytes,
    *,
    paper_xyz: Floats | None = None,
    black_share: float | None = None,
    target: TargetView | None = None,
    profile: bytes | None = None,
    overrule: Mapping[str, str] | None = None,
    sheet_of_proofs: bool = False,
    progress: Progress | None = None,
) -> PhotographedCard:
    """Read a card from a picture.

    Parameters
    ----------
    source : path or bytes
        A JPEG, PNG, TIFF, HEIC or camera raw file, or its content.
    paper_xyz : array, shape (3,), optional
        XYZ of the bare paper under D65, 2 degrees, where it was measured.
    black_share : float, optional [1]
        Y of the printed black over that of the paper, where it was measured.
    target : TargetView, optional
        A reference target that lies in the picture; colours are then led by it.
    profile : bytes, optional
        ICC profile of the scanner or camera, in place of the one in the file.
    overrule : mapping of str to str, optional
        A person's word on areas, as `scumble.card.overrule.overrule_readings` takes it; it stands over the reader's.
    sheet_of_proofs : bool
        Whether it is a sheet of proofs that is to be read, and not the card of one tube.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Returns
    -------
    PhotographedCard
        XYZ of every area with its faults and place.

    Raises
    ------
    CardError
        If the picture cannot be opened or shows no readable card; the message says what to do.
    InputError
        If a person spoke of an area that the card has not, or in a word that means nothing.
    """
    tell = progress or (lambda _words, _share: None)
    tell("opening the picture", 0.0)
    picture = load_picture(source, profile=profile)
    tell("finding the card", 0.3)
    placement = _find_card(picture)
    _check_sheet(placement, sheet_of_proofs)
    tell("evening out the light", 0.5)
    lighting = read_lighting(picture, placement)
    by_target = calibrate_by_target(picture, placement, lighting, target) if target else None
    tone = None if by_target or not picture.notes else read_tone_curve(picture, placement, lighting)
    if by_target or tone:
        picture = by_target.picture if by_target else _bent(picture, tone)
        lighting = read_lighting(picture, placement)
    if paper_xyz is None and picture.is_absolute and not by_target:
        paper_xyz, paper_doubt = paper_of_device(picture.encoding, lighting.paper_at(lighting.middle_mm))
    else:
        paper_doubt = 0.0
    tell("reading the areas", 0.7)
    seen = see_areas(picture, placement, lighting)
    black = next(each.centre for each in seen if each.area.name == "black")
    if by_target:
        veil = by_target.veil
    elif picture.is_absolute and black_share is None:
        veil = Veil(0.0, DEVICE_VEIL)
    else:
        veil = _find_veil(picture.encoding, seen, black) if black_share is None else Veil(0.0, MEASURED_BLACK)
    seen = [each.without(veil.each * _veil_share(lighting, each.area)) for each in seen]
    calibration: Calibration = (
        by_target.calibration
        if by_target
        else calibrate(
            picture.encoding,
            take_off(black, veil.light),
            paper_xyz=paper_xyz,
            paper_doubt=paper_doubt,
            black_share=black_share,
        )
    )
    doubt = (
        by_target.doubt if by_target else route_doubt(picture, placement, lighting, calibration, veil, tone)
    )
    if by_target:
        calibration, doubt = by_target.on_card(seen)
    noise = round(float(np.hypot(SCATTER if by_target else OWN_NOISE, lighting.residual)), 4)
    areas = read_areas(placement, seen, calibration, noise=noise, camera=doubt)
    tell("done", 1.0)
    card = _card(picture, placement, lighting, calibration, veil, noise, doubt, areas)
    code = find_code(picture, placement)
    card = replace(card, readings=replace(card.readings, serial=code.serial if code else ""))
    return overrule_card(card, overrule) if overrule else card


def _find_card(picture: Picture) -> Placement:
    """Place the card, or say why it is not found."""
    tags = find_tags(picture, enough=ENOUGH_TAGS)
    if not tags and is_mirrored(picture):
        raise CardError(
            "The picture is mirrored.", "Turn mirroring off in the camera, or flip the picture back."
        )
    return place_card(tags, size_px=picture.size_px)


def _check_sheet(placement: Placement, sheet_of_proofs: bool) -> None:
    """Refuse a sheet of proofs for a card, and a card for a sheet of proofs."""
    if placement.geometry.is_one_paint and sheet_of_proofs:
        raise CardError("This is a sample card, not a sheet of proofs.", "Read it on the page Cards.")
    if not placement.geometry.is_one_paint and not sheet_of_proofs:
        raise CardError("This is a sheet of proofs, not a sample card.", "Read it on the page Proofs.")


def _veil_share(lighting: Lighting, area: Area) -> float:
    """How much more of the light a veil is at an area than in the middle of the card: it lies evenly on the picture."""
    box = area.box
    here = lighting.paper_at([box.x_mm + box.width_mm / 2, box.y_mm + box.height_mm / 2])
    return float(np.mean(lighting.paper_at(lighting.middle_mm)) / np.mean(here))


def _find_veil(encoding: Encoding, seen: list[SeenArea], black: Floats) -> Veil:
    """Veiling light that the printed black and the darkest area without faults allow."""
    to_light = encoding.rgb_to_xyz[1]
    light = {each.area.name: float(each.centre @ to_light) for each in seen if not each.faults}
    own = float(black @ to_light)
    return estimate_veil(own, min([*light.values(), own]))


def _card(
    picture: Picture,
    placement: Placement,
    lighting: Lighting,
    calibration: Calibration,
    veil: Veil,
    noise: float,
    doubt: CameraDoubt,
    areas: tuple[AreaSeen, ...],
) -> PhotographedCard:
    """Put together what was read and what is to be said about it."""
    found = {tag.number for tag in placement.tags}
    expected = [fiducial.number for fiducial in card_geometry(placement.geometry.layout).fiducials]
    readings = CardReadings(
        tuple(area.reading for area in areas),
        Quantity.XYZ,
        "D65",
        2,
        noise=noise,
        camera=doubt,
    )
    bounds = reading_bounds(readings)
    areas = tuple(
        replace(area, bound_de00=round(bound, 2)) for area, bound in zip(areas, bounds, strict=True)
    )
    return PhotographedCard(
        placement.geometry.layout,
        readings,
        areas,
        tuple(Mark(tag.number, outline(tag.corners_px)) for tag in placement.tags),
        tuple(number for number in expected if number not in found),
        picture.size_px,
        picture.encoding.name,
        round(placement.px_per_mm, 3),
        round(placement.error_mm, 3),
        round(lighting.unevenness, 3),
        round(lighting.residual, 4),
        round(veil.light + float(calibration.flare.mean()), 4),
        (*picture.notes, *calibration.notes),
        picture_warnings(placement, lighting),
    )


def _bent(picture: Picture, tone: ToneCurve | None) -> Picture:
    """The picture with the tone curve that the card's steps show."""
    assert tone is not None, "there are steps"
    said = "Its tone curve was set by the card's black-white steps."
    return replace(
        picture, encoding=bend_encoding(picture.encoding, tone.bends), notes=(*picture.notes, said)
    )
