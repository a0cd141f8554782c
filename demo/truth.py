"""What is true of the simulated cards: optics per coat, and layerings nobody painted, for checking predictions.

One coat is each card's own full film, so the optics of a tube are given per its own coat too. Parts of a mixture
are counted in those own coats: the film of a mixture has the parts-weighted mean of the own-coat optics times its
coats, which is what a person who knows only the cards can compute.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from demo.colorimetry import lab, xyz
from demo.inks import GROUNDS
from demo.light import stack_response
from demo.painting import Hand
from demo.paints import WAVELENGTH_NM, WHITE_KEY, Tube

Array = NDArray[np.float64]
Parts = dict[str, float]

NOTE = (
    "Simulated: the paints, the paper and the inks are invented and nothing was measured. Light in the films by "
    "iadpython (adding-doubling), index 1.5, anisotropy 0.6, films in optical contact with a diffuse ground, "
    "normal incidence, all diffuse reflection without the mirror reflection; D65, 2 degree observer."
)

_MIXES: tuple[tuple[str, str, float, float], ...] = (
    ("classroom-deep-blue", "classroom-clear-yellow", 1, 3),
    ("classroom-deep-blue", "classroom-opaque-yellow", 1, 4),
    ("classroom-magenta", "classroom-clear-yellow", 1, 1),
    ("classroom-red", "classroom-warm-earth", 1, 1),
    ("classroom-magenta", "classroom-deep-blue", 2, 1),
    ("classroom-dull-green", "classroom-opaque-yellow", 1, 1),
    ("classroom-violet", "classroom-warm-earth", 1, 2),
    ("classroom-black", "classroom-opaque-yellow", 1, 4),
)
_GLAZES: tuple[tuple[str, str], ...] = (
    ("classroom-deep-blue", "classroom-opaque-yellow"),
    ("classroom-deep-blue", "classroom-red"),
    ("classroom-violet", "classroom-opaque-yellow"),
    ("classroom-violet", "classroom-red"),
    ("classroom-clear-yellow", "classroom-magenta"),
    ("classroom-magenta", "classroom-warm-earth"),
    ("classroom-warm-earth", "classroom-deep-blue"),
)


def own_optics(tubes: Sequence[Tube], full_coats: Mapping[str, float]) -> dict[str, tuple[Array, Array]]:
    """Absorption and reduced scattering of one own coat of each tube, given its full film in nominal coats."""
    return {
        tube.key: (tube.absorption() * full_coats[tube.key], tube.scattering() * full_coats[tube.key])
        for tube in tubes
    }


def unseen_layerings(keys: Sequence[str], *, white: str = WHITE_KEY) -> list[tuple[str, str, str, list[Any]]]:
    """Layerings no card shows: (kind, name, ground, films from the ground up as (parts, coats))."""
    jobs: list[tuple[str, str, str, list[Any]]] = []
    for key in keys:
        if key == white:
            jobs += [("glaze", f"{white} 0.4 over black", "black", [({white: 1}, 0.4)])]
            continue
        jobs += [
            ("glaze", f"{key} 0.15 over white", "white", [({key: 1}, 0.15)]),
            ("glaze", f"{key} 0.2 over yellow", "yellow", [({key: 1}, 0.2)]),
            ("thick glaze", f"{key} 0.6 over white", "white", [({key: 1}, 0.6)]),
            ("thick glaze", f"{key} 0.5 over magenta", "magenta", [({key: 1}, 0.5)]),
            ("tint", f"{key} 1:2 white", "white", [({key: 1, white: 2}, 1.0)]),
            ("tint", f"{key} 1:9 white over black", "black", [({key: 1, white: 9}, 0.8)]),
        ]
    for first, second, a, b in _MIXES:
        if first in keys and second in keys:
            name = f"{first} {a:g} : {second} {b:g}"
            jobs += [("mixture", name, "white", [({first: a, second: b}, 1.0)])]
            jobs += [("mixture", f"{name}, thin", "white", [({first: a, second: b}, 0.25)])]
    for top, under in _GLAZES:
        if top in keys and under in keys:
            films = [({under: 1}, 1.0), ({top: 1}, 0.15)]
            jobs += [("glaze over film", f"{top} 0.15 over {under}", "white", films)]
    return jobs


def answer(ground: Array, films: Sequence[tuple[Parts, float]], optics: Mapping[str, Any]) -> dict[str, Any]:
    """Reflectance, XYZ and Lab of films, each (parts, own coats) from the ground up, over a diffuse ground."""
    layers = []
    for parts, coats in films:
        total = sum(parts.values())
        absorption = sum(share / total * optics[key][0] for key, share in parts.items())
        scattering = sum(share / total * optics[key][1] for key, share in parts.items())
        layers.append((absorption * coats, scattering * coats))
    seen = stack_response(layers).over(ground)
    return {"lab": rounded(lab(seen), 3), "xyz": rounded(xyz(seen), 4), "reflectance": rounded(seen, 5)}


def job(
    ground: Array, films: Sequence[tuple[Parts, float]], names: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """The layering as the JSON a prediction is asked with; `names` replaces tube keys."""
    renamed = [
        {"parts": {(names or {}).get(key, key): share for key, share in parts.items()}, "coats": coats}
        for parts, coats in films
    ]
    return {
        "ground": {"reflectance": rounded(ground, 5)},
        "films": renamed,
        "light": "D65",
        "observer": 2,
        "face": "gloss",
    }


def truth_of_layerings(
    optics: Mapping[str, Any], names: Mapping[str, str] | None = None
) -> list[dict[str, Any]]:
    """Every unseen layering that the given tubes allow: what to ask and what is true."""
    return [
        {
            "kind": kind,
            "name": name,
            "job": job(GROUNDS[ground], films, names),
            "true": answer(GROUNDS[ground], films, optics),
        }
        for kind, name, ground, films in unseen_layerings(list(optics))
    ]


def header(seed: int) -> dict[str, Any]:
    """What every truth file starts with."""
    return {
        "note": NOTE,
        "seed": seed,
        "wavelength_nm": rounded(WAVELENGTH_NM, 0),
        "light": "D65",
        "observer": 2,
    }


def rounded(values: Any, digits: int) -> Any:
    """Numbers as a plain list with few digits."""
    return np.round(np.asarray(values, float), digits).tolist()


def significant(values: Any, digits: int = 5) -> Any:
    """Numbers as a plain list with a fixed count of significant digits."""
    return [float(f"{value:.{digits}g}") for value in np.asarray(values, float)]


def card_truth(tube: Tube, hand: Hand) -> dict[str, Any]:
    """One card: how thick its films really are, and the tube's optics per nominal and per its own coat."""
    full = hand.thickness["full"]
    return {
        "full_film_nominal_coats": round(full, 5),
        "films_own_coats": {film: round(coats / full, 5) for film, coats in hand.thickness.items()},
        "areas_own_coats": {area: round(coats / full, 5) for area, coats in hand.area_thickness.items()},
        "white_parts": {film: round(parts, 4) for film, parts in hand.white_parts.items()},
        "absorption_per_nominal_coat": significant(tube.absorption()),
        "scattering_per_nominal_coat": significant(tube.scattering()),
        "absorption_per_own_coat": significant(tube.absorption() * full),
        "scattering_per_own_coat": significant(tube.scattering() * full),
    }


def readable_json(content: Any) -> str:
    """JSON indented for reading, with each list of numbers on one line."""
    text = json.dumps(content, indent=1)
    return re.sub(r"\[\s+(-?[\d.][^\[\]{}\"]*?)\s+\]", lambda found: f"[{' '.join(found[1].split())}]", text)
