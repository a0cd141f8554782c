"""``python -m benchmarks.routes.budget``: where the colour error of the target route comes from; docs/routes-budget.md.

Without pictures: channels are reckoned from spectra, so that light, lens, grain and file add nothing. What is left is
metamerism: spectra that a camera and the eye tell apart in different ways. Each row knows a little more than the last.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from demo import target
from demo.camera import CAMERAS
from demo.inks import PAPER
from demo.paints import TUBES
from demo.sensor import colour_matrix, raw_weights
from numpy.typing import NDArray

from benchmarks.reading.cards import painted, plan_sessions
from benchmarks.routes.root_polynomial import fit_correction
from scumble.card.reference.correction import colour_metric, fit_terms, root_terms
from scumble.card.reference.likely_films import likely_spectra
from scumble.card.reference.sensed import Spectra, fit_sensor, likely_reflectance, read_colours
from scumble.card.reference.target_colours import TargetCalibration
from scumble.card.sheet.geometry import card_geometry
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.store.readings.reference_cgats import parse_reference

Floats = NDArray[np.float64]
PAGE = Path(__file__).parents[2] / "docs" / "routes-budget.md"
WHITE = white_point("D65", 2)
EYE = spectral_weights("D65", 2)
LIGHTS = {"D65": {"D65": 1.0}, "D50": {"D50": 1.0}, "A": {"A": 1.0}, "LED": {"LED": 1.0}}
SENSORS = ("mosaic", "gaussian", "reference")

HEAD = """# Error budget of the target route

Colour error of the areas of ten painted cards by a reference target, mean / 95th percentile dE00, without pictures:
what is left is metamerism, the sensor's and the lamp's. Written by `python -m benchmarks.routes.budget`; sensors,
target and paints are those of `demo/`. Three sensors under each light; some areas of *P3* are cut off by its colour
space, none of *wide*. What photographs add is the difference to [routes.md](routes.md).

- **matrix**, **root-polynomial**: fitted to the patches (degree and pull by leaving patches out).
- **camera**: the camera's weights from the patches, each area by itself among spectra of all kinds.
- **card**: the same, each area among films that look alike all over the card: what `scumble read` does.
- **spectra known**: the same where the reference file has the spectra of the patches.
- **other tubes**: a root-polynomial fitted to the true colours of the other nine cards: what knowing the very kind of
  films is worth without knowing the camera.

| file | light | matrix | root-polynomial | camera | card | spectra known | other tubes |
|---|---|---|---|---|---|---|---|
"""


def main() -> None:
    """Reckon all cameras and write the page."""
    cards = _cards()
    lines = [
        f"| {name} | {light} | "
        + " | ".join(_said(column) for column in _columns(cards, space, light).values())
        + " |"
        for name, space in (("wide", "wide"), ("P3", "phone"))
        for light in LIGHTS
    ]
    PAGE.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))


def _cards() -> list[dict[str, Floats]]:
    """True spectra of the areas of every tube's card."""
    plan = replace(plan_sessions(1, 1)[0], layout="full", hand=0)
    return [painted(plan, tube.key).area_reflectance(inset_mm=4.0) for tube in TUBES]


def _columns(cards: list[dict[str, Floats]], space: str, light: str) -> dict[str, Floats]:
    """Colour differences of all areas, all sensors together, by how they were read."""
    found: dict[str, list[Floats]] = {}
    for sensor in SENSORS:
        for how, off in _ways(cards, _weights(sensor, LIGHTS[light], space)):
            found.setdefault(how, []).append(off)
    return {how: np.concatenate(each) for how, each in found.items()}


def _weights(sensor: str, blend: dict[str, float], space: str) -> Floats:
    raw = sum(share * raw_weights(sensor, name, balanced_for=blend) for name, share in blend.items())
    return np.asarray(raw @ (np.linalg.inv(CAMERAS[space].rgb_to_xyz()) @ colour_matrix(sensor, blend)).T)


def _ways(cards: list[dict[str, Floats]], weights: Floats) -> Iterator[tuple[str, Floats]]:
    reference = parse_reference(target.reference_file())
    patches, paper = target.reflectances(), PAPER @ weights
    seen, xyz = np.maximum(patches @ weights, 0.0) / paper, reference.xyz
    trust = (np.min(patches @ weights, axis=1) > 0).astype(np.float64)
    names = [*cards[0]]
    spectra = np.array([[card[name] for name in names] for card in cards])
    light, true = np.maximum(spectra @ weights, 0.0) / paper, spectra @ EYE
    matrix = fit_terms(root_terms(seen, 1), xyz, colour_metric(xyz), trust, degree=1, ridge=1e-6)
    yield "matrix", _off(matrix.to_xyz(light), true)
    yield "root-polynomial", _off(fit_correction(seen, xyz, trust).to_xyz(light), true)
    stated = reference.xyz if reference.stated is None else reference.stated
    guessed = likely_reflectance(stated, likely_spectra(), light=reference.light, observer=reference.observer)
    sensed = fit_sensor(seen, guessed, trust)
    single = read_colours(sensed, light.reshape(-1, 3), likely_spectra()).xyz
    yield "camera", _off(single.reshape(true.shape), true)
    geometry = {area.name: area for area in card_geometry("full").areas}
    areas = [geometry[name] for name in names]
    exact = fit_sensor(seen, Spectra(patches, np.zeros((len(patches), 36, 36))), trust)
    for how, camera in (("card", sensed), ("spectra known", exact)):
        calibration = TargetCalibration(camera.to_eye, np.zeros(3), (), 0.0, camera, np.ones(3), np.zeros(3))
        read = [calibration.on_card(areas, card, np.ones(len(areas))).colours for card in light]
        yield how, _off(np.array([each.xyz for each in read if each is not None]), true)
    yield "other tubes", np.concatenate([_by_others(light, true, left) for left in range(len(cards))])


def _by_others(light: Floats, true: Floats, left: int) -> Floats:
    """One card by a root-polynomial fitted to all others."""
    others = np.arange(len(light)) != left
    fitted = fit_correction(light[others].reshape(-1, 3), true[others].reshape(-1, 3))
    return _off(fitted.to_xyz(light[left]), true[left])


def _off(xyz: Floats, true: Floats) -> Floats:
    own, other = (xyz_to_lab(np.maximum(each, 1e-3), WHITE) for each in (xyz, true))
    return np.asarray(delta_e_2000(own, other)).ravel()


def _said(off: Floats) -> str:
    return f"{off.mean():.2f} / {np.percentile(off, 95):.2f}"


if __name__ == "__main__":
    main()
