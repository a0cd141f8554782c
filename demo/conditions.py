"""Under which conditions a photograph is taken: frozen values drawn from a seed, so that it can be taken again.

Ranges are those of a person with a phone at a table (*common practice, no source*); the unacceptable ones are
spoilt in one way on purpose.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

FAULTS = ("clipped", "glare", "blurred", "shaken", "too small", "cut off")
"""Ways in which a photograph can be spoilt beyond reading."""

MOST_TILT = 35.0
SIZES_PX = ((2448, 3264), (2448, 3264), (3000, 4000))
"""Sizes of upright pictures: 8 and 12 million points."""


@dataclass(frozen=True)
class Session:
    """What stays the same while one person photographs several cards.

    Parameters
    ----------
    route : str
        ``phone`` (no profile), ``profile`` (a display profile, straight rendering) or ``scan``.
    sensor : str
        One of `demo.sensor.SENSORS`.
    blend : tuple of (light, share)
        Lights in the middle of the card; the shares sum to 1.
    space : str
        Colour space the picture is saved in, one of `demo.camera.CAMERAS`.
    contrast : float
        Strength of the S-shaped tone curve, 0 none.
    saturation : float
        Chroma the phone gives, 1 is true.
    size_px : (int, int)
        Width and height of the picture; of a scan 0, 0.
    dpi : int
        Of a scan.
    """

    route: str
    sensor: str
    blend: tuple[tuple[str, float], ...]
    space: str
    contrast: float
    saturation: float
    size_px: tuple[int, int]
    dpi: int = 0


@dataclass(frozen=True)
class View:
    """Where the camera stands: tilt and its direction, roll [degree], share of the frame filled, shift [frame], bend.

    `bend` is the radial distortion at the corner of the frame (positive pincushion) [1].
    """

    tilt_degree: float
    tilt_towards_degree: float
    roll_degree: float
    fill: float
    shift: tuple[float, float]
    bend: float


@dataclass(frozen=True)
class Sharpness:
    """Radius of the defocus disc and length of the motion on the card [mm], and the motion's direction [degree]."""

    defocus_mm: float
    motion_mm: float
    motion_degree: float


@dataclass(frozen=True)
class Shadow:
    """A straight shadow edge: light left behind it [1], its place on the card [mm], direction [degree], width [mm]."""

    light_left: float
    place_mm: tuple[float, float]
    direction_degree: float
    penumbra_mm: float


@dataclass(frozen=True)
class Glare:
    """A lamp mirrored in the card: strength against white [1], place, half axes [mm]; paper shows a sixth of it."""

    strength: float
    place_mm: tuple[float, float]
    radius_mm: float


@dataclass(frozen=True)
class Falling:
    """How the light falls: slope across the frame [1], its direction [degree], corner loss [1], casts, accidents.

    `cast_slope` are changes of red and blue across the frame, `cast` what white balance left over; `lamp_slope`
    moves the blend of two lights across the frame; `flare` is veiling light against white.
    """

    slope: float
    direction_degree: float
    vignetting: float
    cast_slope: tuple[float, float]
    cast: tuple[float, float]
    lamp_slope: float
    flare: float
    shadow: Shadow | None
    glare: Glare | None


@dataclass(frozen=True)
class Recording:
    """Exposure of the brightest paper [1, full scale], share of the card clipped instead, ISO speed, JPEG quality."""

    exposure: float
    clipped_share: float
    iso: float
    quality: int


@dataclass(frozen=True)
class Mishaps:
    """What happened to the card: count of splashes, and a corner (0 to 3) torn or covered over so many millimetres."""

    splashes: int
    corner: str
    corner_number: int
    corner_mm: float


@dataclass(frozen=True)
class Conditions:
    """All of a photograph but the card and the noise; `fault` is empty or one of `FAULTS`."""

    session: Session
    view: View
    sharpness: Sharpness
    falling: Falling
    recording: Recording
    mishaps: Mishaps
    fault: str = ""


def draw_session(route: str, rng: np.random.Generator) -> Session:
    """Draw a camera and a lamp; a route's own share of them is fixed by what it is."""
    if route == "scan":
        dpi = int(rng.choice([150, 300, 600], p=[0.35, 0.55, 0.1]))
        return Session(route, "gaussian", (("LED", 1.0),), "wide", 0.0, 1.0, (0, 0), dpi)
    sensor = str(rng.choice(["mosaic", "gaussian", "reference", "stacked"], p=[0.4, 0.3, 0.2, 0.1]))
    lights: list[tuple[tuple[str, float], ...]] = [((name, 1.0),) for name in ("D65", "D50", "A", "LED")]
    share = float(rng.uniform(0.5, 0.85))
    lights.append((("D65", share), ("A", 1 - share)))
    # A stacked sensor tells colours apart so weakly that nobody uses it under lamps.
    blend = lights[int(rng.integers(2 if sensor == "stacked" else 5))]
    size = SIZES_PX[int(rng.integers(3))]
    if route == "profile":
        return Session(route, sensor, blend, str(rng.choice(["phone", "wide"])), 0.0, 1.0, size)
    contrast, saturation = float(rng.choice([0.0, rng.uniform(0.1, 0.35)])), float(rng.uniform(1.0, 1.12))
    return Session(route, sensor, blend, "srgb", contrast, saturation, size)


def draw_conditions(session: Session, page_mm: tuple[float, float], rng: np.random.Generator) -> Conditions:
    """Draw an acceptable photograph or scan of a page."""
    if session.route == "scan":
        return _scan(session, rng)
    view = View(
        float(rng.triangular(0, 6, MOST_TILT)),
        float(rng.uniform(0, 360)),
        float(rng.choice([0, 0, 0, 90, 180, 270]) + rng.normal(0, 5)),
        float(rng.uniform(0.72, 0.96)),
        (float(rng.uniform(-0.01, 0.01)), float(rng.uniform(-0.01, 0.01))),
        float(rng.uniform(-0.03, 0.02)),
    )
    sharpness = Sharpness(
        float(rng.exponential(0.06)),
        float(rng.choice([0.0, rng.uniform(0.1, 0.5)], p=[0.7, 0.3])),
        float(rng.uniform(0, 180)),
    )
    iso = float(np.exp(rng.uniform(np.log(50), np.log(800 if session.sensor == "stacked" else 3200))))
    recording = Recording(float(rng.uniform(0.6, 0.93)), 0.0, iso, int(rng.integers(60, 96)))
    return Conditions(session, view, sharpness, _falling(session, page_mm, rng), recording, _mishaps(rng))


def _falling(session: Session, page_mm: tuple[float, float], rng: np.random.Generator) -> Falling:
    """Light of a room."""
    return Falling(
        float(rng.uniform(0.02, 0.3)),
        float(rng.uniform(0, 360)),
        float(rng.uniform(0.05, 0.35)),
        (float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03))),
        (float(np.exp(rng.normal(0, 0.04))), float(np.exp(rng.normal(0, 0.05)))),
        float(rng.uniform(0.05, 0.2)) if len(session.blend) > 1 else 0.0,
        float(rng.exponential(0.008)),
        _shadow(page_mm, rng) if rng.random() < 0.2 else None,
        Glare(float(rng.uniform(0.2, 1.0)), _place(page_mm, rng), float(rng.uniform(3, 12)))
        if rng.random() < 0.2
        else None,
    )


def _shadow(page_mm: tuple[float, float], rng: np.random.Generator) -> Shadow:
    """A hand's or a phone's shadow."""
    direction, width = float(rng.uniform(0, 360)), float(np.exp(rng.uniform(np.log(4), np.log(50))))
    return Shadow(float(rng.uniform(0.55, 0.85)), _place(page_mm, rng), direction, width)


def _place(page_mm: tuple[float, float], rng: np.random.Generator) -> tuple[float, float]:
    """Anywhere on the page."""
    return float(rng.uniform(0, page_mm[0])), float(rng.uniform(0, page_mm[1]))


def _mishaps(rng: np.random.Generator) -> Mishaps:
    """Splashes on two cards of five, a corner gone on one of six."""
    corner = str(rng.choice(["", "torn", "covered"], p=[0.84, 0.08, 0.08]))
    splashes = int(rng.choice([0, rng.integers(1, 14)], p=[0.6, 0.4]))
    return Mishaps(splashes, corner, int(rng.integers(4)), float(rng.uniform(18, 34)))


def _scan(session: Session, rng: np.random.Generator) -> Conditions:
    """A flatbed: even light, no perspective, the page a little askew."""
    view = View(0.0, 0.0, float(rng.choice([0, 0, 180]) + rng.normal(0, 0.6)), 1.0, (0.0, 0.0), 0.0)
    falling = Falling(0.01, float(rng.uniform(0, 360)), 0.0, (0.0, 0.0), (1.0, 1.0), 0.0, 0.004, None, None)
    recording = Recording(0.9, 0.0, 60.0, int(rng.integers(88, 96)))
    return Conditions(session, view, Sharpness(0.04, 0.0, 0.0), falling, recording, _mishaps(rng))


def spoil(
    acceptable: Conditions, fault: str, area_mm: tuple[float, float, float], rng: np.random.Generator
) -> Conditions:
    """The same photograph spoilt by a fault; `area_mm` is the middle and the side of an area for glare to lie on."""
    view, sharp, falling, recording = (
        acceptable.view,
        acceptable.sharpness,
        acceptable.falling,
        acceptable.recording,
    )
    if fault == "clipped":
        recording = replace(recording, clipped_share=float(rng.uniform(0.4, 0.6)))
    elif fault == "glare":
        x, y, side = area_mm
        strength = float(rng.uniform(0.5, 1.5))
        falling = replace(falling, glare=Glare(strength, (x, y), float(rng.uniform(0.5, 1.1)) * side))
    elif fault == "blurred":
        sharp = replace(sharp, defocus_mm=float(rng.uniform(2.0, 5.0)))
    elif fault == "shaken":
        sharp = replace(sharp, motion_mm=float(rng.uniform(6.0, 12.0)))
    elif fault == "too small":
        view = replace(view, fill=float(rng.uniform(0.07, 0.13)))
    elif fault == "cut off":
        away = rng.uniform(0.45, 0.6) * rng.choice([-1, 1])
        shift = (float(away), 0.0) if rng.random() < 0.5 else (0.0, float(away))
        view = replace(view, shift=shift)
    else:
        raise ValueError(f"fault {fault!r} is none of {', '.join(FAULTS)}")
    return replace(acceptable, view=view, sharpness=sharp, falling=falling, recording=recording, fault=fault)
