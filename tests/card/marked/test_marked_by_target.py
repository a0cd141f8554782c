"""A photographed hand-painted chart with a target beside it, or with a device's profile: colours as of a printed card.

The films are painted by the optics of `demo`, which shares no code with the reader, and seen by a camera whose channels
are not the eye's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from demo import target as demo_target
from demo.camera import CAMERAS
from tests.card.photographs import BLACK, PAPER_Y, SRGB_TO_XYZ, decode, encode, jpeg, shown

from scumble.card.by_target import TargetView
from scumble.card.marked.boxes import MarkedBox
from scumble.card.marked.read_marked import read_marked
from scumble.card.photographed import PhotographedCard
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.errors import CardError
from scumble.store.readings.reference_cgats import parse_reference

WHITE = white_point("D65", 2)
REFERENCE = parse_reference(demo_target.reference_file(measured_error=0.0))
CAMERA = np.array([[0.80, 0.25, -0.05], [0.12, 0.82, 0.06], [0.02, 0.18, 0.80]])
"""Channels of the camera from linear sRGB; rows sum to 1, as after a white balance."""

WIDTH, HEIGHT, PITCH = 1500, 1000, 45
TARGET_AT = (1010, 230)
EXPOSURE = 0.85

SHEET = [
    ("white", 70, 80, "bare", "white", 0.0),
    ("paper right", 800, 90, "bare", "white", 0.0),
    ("paper below", 430, 800, "bare", "white", 0.0),
    ("paper left", 80, 780, "bare", "white", 0.0),
    ("black", 240, 520, "bare", "black", 0.0),
    ("full", 230, 90, "full", "white", 0.0),
    ("thin", 395, 130, "thin1", "white", 0.0),
    ("thinner", 560, 85, "thin2", "white", 0.0),
    ("tint 1:1", 240, 270, "tint1", "white", 1.0),
    ("tint 1:4", 400, 300, "tint4", "white", 4.0),
    ("tint 1:19", 590, 265, "tint19", "white", 19.0),
    ("full on black", 380, 530, "full", "black", 0.0),
    ("thin on black", 540, 535, "thin1", "black", 0.0),
]
"""Name, left, top, film, ground and parts of white of each patch of the sheet; patches are 110 points wide."""

STROKES = {"thin1": "second wash", "thin2": "third wash"}
"""What the painter of the chart calls the thin strokes of `demo`."""


@dataclass
class Scene:
    picture: bytes
    light: np.ndarray
    boxes: tuple[MarkedBox, ...]
    true: dict[str, np.ndarray]
    corners: tuple[tuple[float, float], ...]


def scene(
    tube: str,
    *,
    camera: np.ndarray = CAMERA,
    s_shape: float = 0.15,
    slope: float = 0.25,
    exposure: float = EXPOSURE,
) -> Scene:
    """A chart on a table with a target right of it, in light that falls off to the right."""
    light = np.full((HEIGHT, WIDTH, 3), 0.12)
    light[40:960, 40:960] = 1.0
    light[500:700, 200:700] = BLACK
    grounds = {"white": np.ones(3), "black": np.full(3, BLACK)}
    rng = np.random.default_rng(4)
    true, boxes = {}, []
    for name, left, top, film, ground, white_parts in SHEET:
        colour = grounds[ground] if film == "bare" else shown(tube, film, grounds[ground])
        if film != "bare":
            furrows = 1 + 0.03 * rng.standard_normal((110, 1, 1))
            light[top : top + 110, left : left + 110] = colour * furrows
        true[name] = 100 * PAPER_Y * SRGB_TO_XYZ @ colour
        # Drawn by eye: a little askew of the patch.
        off = rng.integers(-6, 7, 2)
        place = (float(left + 8 + off[0]), float(top + 8 + off[1]))
        film = STROKES.get(film, film)
        boxes.append(MarkedBox(name, place, (94.0, 94.0), film, ground, white_parts=white_parts))
    corners = _hang_target(light)
    fall = np.exp(-slope * np.arange(WIDTH) / WIDTH)[None, :, None]
    light = light * exposure * fall * (1 + rng.normal(0, 0.004, light.shape))
    code = encode(np.clip(light @ camera.T, 0, 1))
    code = code + s_shape * code * (1 - code) * (2 * code - 1)
    return Scene(jpeg(code, quality=92), light, tuple(boxes), true, corners)


def _hang_target(light: np.ndarray) -> tuple[tuple[float, float], ...]:
    left, top = TARGET_AT
    rows, columns = demo_target.ROWS, demo_target.COLUMNS
    light[top - 20 : top + rows * PITCH + 20, left - 20 : left + columns * PITCH + 20] = 0.03
    xyz = demo_target.reflectances() @ spectral_weights("D65", 2) / 100
    for number, colour in enumerate(xyz @ np.linalg.inv(SRGB_TO_XYZ).T / PAPER_Y):
        row, column = divmod(number, columns)
        x, y = left + column * PITCH + 4, top + row * PITCH + 4
        light[y : y + PITCH - 8, x : x + PITCH - 8] = colour
    right, bottom = left + columns * PITCH, top + rows * PITCH
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def off(seen: PhotographedCard, painted: Scene) -> np.ndarray:
    return np.array(
        [
            float(
                delta_e_2000(
                    xyz_to_lab(area.reading.values, WHITE), xyz_to_lab(painted.true[area.reading.area], WHITE)
                )
            )
            for area in seen.areas
        ]
    )


@pytest.fixture(scope="module", params=["dull-green", "warm-earth"])
def painted(request: pytest.FixtureRequest) -> Scene:
    return scene(request.param)


def test_a_target_puts_the_colours_of_a_chart_right(painted: Scene) -> None:
    led = read_marked(painted.picture, painted.boxes, target=TargetView(REFERENCE))
    alone = read_marked(painted.picture, painted.boxes)
    assert off(led, painted).mean() < 1.2
    assert off(led, painted).mean() < 0.6 * off(alone, painted).mean()
    assert any("Colours are those of the reference target" in said for said in led.assumptions)
    assert led.readings.camera is not None and alone.readings.camera is not None
    assert led.readings.camera.tone < alone.readings.camera.tone
    bounds = [np.median([area.bound_de00 for area in seen.areas]) for seen in (led, alone)]
    assert bounds[0] < bounds[1]


def test_what_is_promised_of_each_box_holds(painted: Scene) -> None:
    """19 of 20 are to lie within their bounds; where a whole picture shares its error, none may lie beyond by half."""
    for target in (TargetView(REFERENCE), None):
        seen = read_marked(painted.picture, painted.boxes, target=target)
        bounds = np.array([area.bound_de00 for area in seen.areas])
        assert np.all(off(seen, painted) <= 1.5 * bounds)
        assert target is None or np.mean(off(seen, painted) <= bounds) >= 0.9


def test_corners_by_hand_do_as_well_and_let_the_target_lie_anywhere(painted: Scene) -> None:
    view = TargetView(REFERENCE, painted.corners)  # type: ignore[arg-type]
    assert off(read_marked(painted.picture, painted.boxes, target=view), painted).mean() < 1.3
    far = MarkedBox("beyond", (1420.0, 20.0), (60.0, 60.0), "bare", "table")
    with pytest.raises(CardError, match=r"was not found beyond doubt\. Point at its four corners"):
        read_marked(painted.picture, (*painted.boxes, far), target=TargetView(REFERENCE))
    led = read_marked(painted.picture, (*painted.boxes, far), target=view)
    assert len(led.areas) == len(painted.boxes) + 1


def test_few_papers_leave_more_in_doubt(painted: Scene) -> None:
    few = [box for box in painted.boxes if not box.is_paper or box.name == "white"]
    all_over = read_marked(painted.picture, painted.boxes, target=TargetView(REFERENCE))
    one = read_marked(painted.picture, few, target=TargetView(REFERENCE))
    assert any("light is taken to be even" in said for said in one.assumptions)
    assert one.readings.noise > all_over.readings.noise
    inside = [each <= area.bound_de00 for each, area in zip(off(one, painted), one.areas, strict=True)]
    assert np.mean(inside) >= 0.9


@pytest.mark.parametrize("device", ["phone", "wide"])
def test_the_profile_of_a_device_is_used(device: str) -> None:
    """A scan in the device's primaries: unaware of them the reader is far off, with its profile near."""
    camera = CAMERAS[device]
    painted = scene("dull-green", camera=np.eye(3), s_shape=0.0, slope=0.0, exposure=PAPER_Y)
    to_device = np.linalg.inv(camera.rgb_to_xyz()) @ SRGB_TO_XYZ
    picture = jpeg(camera.encode(np.clip(painted.light, 0, 1) @ to_device.T), quality=95)
    known = read_marked(picture, painted.boxes, profile=camera.profile())
    unaware = read_marked(picture, painted.boxes)
    painted_ones = np.array([area.reading.film != "bare" for area in known.areas])
    near, far = (off(seen, painted)[painted_ones].mean() for seen in (known, unaware))
    assert near < 1.0 and near < 0.6 * far
    assert known.colour_space == camera.name
    assert not any("taken as sRGB" in said for said in known.assumptions)
    with pytest.raises(CardError, match="colour profile that was given cannot be used"):
        read_marked(picture, painted.boxes, profile=b"none")


def test_the_helper_encodes_as_it_decodes() -> None:
    np.testing.assert_allclose(decode(encode(np.linspace(0, 1, 9))), np.linspace(0, 1, 9), atol=1e-6)
