"""Readings files of the same invented tubes as an instrument would give them: independent of every picture.

Format: CSV with a comment header (`# illuminant`, `# observer`), then `area, film, paint_parts, white_parts,
ground` and either `X, Y, Z` (perfect diffuser Y = 100) or `R380` to `R730` (0-1).
"""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from demo import truth
from demo.brush import AREA_JITTER
from demo.colorimetry import xyz
from demo.inks import GROUNDS
from demo.light import film_response
from demo.painting import Hand, decide_hand, white_tube
from demo.paints import TUBES, WAVELENGTH_NM, WHITE_KEY, Tube

Array = NDArray[np.float64]

NOISE = 0.01
"""Relative standard deviation of one reading."""

PAINTS = ("classroom-deep-blue", "classroom-warm-earth", "classroom-clear-yellow", "classroom-magenta")
"""The tubes written beside the white."""


class Area(NamedTuple):
    """One area of the full card: its name, film, parts and ground."""

    area: str
    film: str
    paint_parts: float
    white_parts: float
    ground: str


FULL_CARD: tuple[Area, ...] = (
    *(
        Area(ground, "bare", 0, 0, ground)
        for ground in ("white", "black", "yellow", "red", "cyan", "magenta")
    ),
    *(Area(f"full-{ground}", "full", 1, 0, ground) for ground in ("white", "black")),
    *(
        Area(f"thin1-{ground}", "thin1", 1, 0, ground)
        for ground in ("white", "black", "yellow", "red", "cyan", "magenta")
    ),
    *(Area(f"thin2-{ground}", "thin2", 1, 0, ground) for ground in ("white", "black", "yellow", "cyan")),
    Area("tint1-white", "tint1", 1, 1, "white"),
    Area("tint4-white", "tint4", 1, 4, "white"),
    Area("tint19-white", "tint19", 1, 19, "white"),
    Area("tint19-black", "tint19", 1, 19, "black"),
)
"""Areas of the full card; a test holds them against the map that Scumble prints."""


def card_areas(tube: Tube) -> tuple[Area, ...]:
    """Areas read from a tube's card: the white's own card has no tints."""
    return tuple(area for area in FULL_CARD if tube.key != WHITE_KEY or not area.film.startswith("tint"))


def read_card(tube: Tube, rng: np.random.Generator) -> tuple[list[Array], Hand]:
    """Noisy reflectance of every area of one hand-painted card, and what the hand did."""
    areas = card_areas(tube)
    films = {area.film: area.white_parts / area.paint_parts for area in areas if area.film != "bare"}
    hand = decide_hand(films, rng)
    spectra = []
    for area in areas:
        seen = GROUNDS[area.ground] if area.film == "bare" else _painted(tube, area, hand, rng)
        spectra.append(seen * (1 + NOISE * rng.standard_normal(seen.shape)))
    return spectra, hand


def _painted(tube: Tube, area: Area, hand: Hand, rng: np.random.Generator) -> Array:
    """Reflectance of one painted area."""
    thickness = hand.thickness[area.film] * float(np.exp(AREA_JITTER * rng.standard_normal()))
    hand.area_thickness[area.area] = thickness
    parts, white = hand.white_parts.get(area.film, 0.0), white_tube()
    absorption = (tube.absorption() + parts * white.absorption()) / (1 + parts)
    scattering = (tube.scattering() + parts * white.scattering()) / (1 + parts)
    return film_response(absorption * thickness, scattering * thickness).over(GROUNDS[area.ground])


def to_csv(areas: tuple[Area, ...], values: list[Array], columns: list[str], digits: int) -> str:
    """One readings file as text."""
    text = io.StringIO()
    text.write("# Simulated readings of an invented paint; nothing was measured.\n")
    text.write("# illuminant: D65\n# observer: 2\n")
    table = csv.writer(text, lineterminator="\n")
    table.writerow([*Area._fields, *columns])
    for area, numbers in zip(areas, values, strict=True):
        described = [area.area, area.film, f"{area.paint_parts:g}", f"{area.white_parts:g}", area.ground]
        table.writerow([*described, *(f"{number:.{digits}f}" for number in numbers)])
    return text.getvalue()


def write_readings(folder: Path, *, seed: int) -> None:
    """Write the readings files of five tubes, a job that asks unseen layerings of them, and the true answers.

    `NAME.csv` holds XYZ whose three numbers each carry the noise; `NAME-spectral.csv` is the same card in 36 bands.
    """
    folder.mkdir(parents=True, exist_ok=True)
    tubes = [tube for tube in TUBES if tube.key in (*PAINTS, WHITE_KEY)]
    names = {tube.key: tube.key.removeprefix("classroom-") for tube in tubes}
    cards: dict[str, Any] = {}
    full: dict[str, float] = {}
    for tube in tubes:
        rng = np.random.default_rng([seed, TUBES.index(tube), 1])
        meter = np.random.default_rng([seed, TUBES.index(tube), 2])
        spectra, hand = read_card(tube, rng)
        areas = card_areas(tube)
        # A colorimeter's three numbers err by themselves; spectral noise alone would average away in the sum.
        colours = [xyz(seen) * (1 + NOISE * meter.standard_normal(3)) for seen in spectra]
        bands = [f"R{nm:.0f}" for nm in WAVELENGTH_NM]
        Path(folder, f"{names[tube.key]}.csv").write_text(to_csv(areas, colours, ["X", "Y", "Z"], 4))
        Path(folder, f"{names[tube.key]}-spectral.csv").write_text(to_csv(areas, spectra, bands, 5))
        full[tube.key] = hand.thickness["full"]
        cards[names[tube.key]] = truth.card_truth(tube, hand)
    layerings = truth.truth_of_layerings(truth.own_optics(tubes, full), names)
    paints = {name: f"{name}.csv" for key, name in names.items() if key != WHITE_KEY}
    asked = {"white": "white.csv", "paints": paints, "layerings": [layering["job"] for layering in layerings]}
    true = [{key: layering[key] for key in ("kind", "name", "true")} for layering in layerings]
    write_json(folder / "job.json", asked)
    write_json(folder / "truth.json", {**truth.header(seed), "cards": cards, "layerings": true})


def write_json(path: Path, content: Any) -> None:
    """Write JSON with one line for each list of numbers."""
    path.write_text(truth.readable_json(content) + "\n")
