"""What the bench says of a layering in words."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.jobs.bench.build import Built, BuiltFilm
from scumble.paint.covering import HIDING_RATIO

Floats = NDArray[np.float64]

SHOWS_LITTLE = 0.9
"""Contrast ratio from which black hardly shows through; assumed, no source."""

FACES = {
    "wet": "top film still wet",
    "glossy": "dry and glossy",
    "satin": "dry and satin",
    "matte": "dry and matte",
    "varnished": "varnished",
}
LIGHTS = {
    "D65": "daylight (D65)",
    "D50": "warm daylight (D50)",
    "A": "lamplight (A)",
    "LED-B3": "white LED (LED-B3)",
}
"""Lights by what a person calls them."""


def say_coats(coats: float) -> str:
    """A thickness in words.

    Examples
    --------
    >>> say_coats(1.0), say_coats(0.25), say_coats(2.5)
    ('1 coat', '0.25 coat', '2.5 coats')
    """
    return f"{coats:.3g} coat" + ("s" if coats > 1 else "")


def say_lab(lab: Floats, interval: float) -> str:
    r"""A colour in CIELAB, and how sure it is; numbers stay with what they are of.

    Examples
    --------
    >>> say_lab(np.array([50.0, 3.2, -4.0]), 1.23)
    'L*\xa050, a*\xa03, b*\xa0−4, give or take\xa01.2'
    """
    lightness, a, b = (round(value) + 0 for value in lab.tolist())
    sure = f", give or take\xa0{interval:.1f}" if interval > 0 else ""
    return f"L*\xa0{lightness}, a*\xa0{a}, b*\xa0{b}{sure}".replace("-", "−")


def say_vivid(places: list[str]) -> str:
    """Over which grounds no screen can show a layering.

    Examples
    --------
    >>> say_vivid(["white paper", "black paper"])
    'Over white paper and black paper it is more vivid than this screen shows.'
    """
    if not places:
        return ""
    *most, last = dict.fromkeys(places)
    named = f"{', '.join(most)} and {last}" if most else last
    return f"Over {named} it is more vivid than this screen shows."


def say_contrast(ratio: float, *, has_films: bool) -> str:
    """How far black shows through, from the contrast ratio.

    Examples
    --------
    >>> say_contrast(0.985, has_films=True)
    'Hides black: contrast ratio 0.98.'
    """
    if not has_films:
        return "Nothing lies on the ground yet."
    if ratio >= HIDING_RATIO:
        said = "Hides black"
    elif ratio >= SHOWS_LITTLE:
        said = "Black hardly shows through"
    else:
        said = "Black shows through" if ratio >= 0.5 else "Black shows through plainly"
    # Rounded down, so that nothing seems to hide that does not.
    return f"{said}: contrast ratio {np.floor(100 * ratio) / 100:.2f}."


def say_difference(
    kept: Floats, now: Floats, *, sentence: str = "This one is {ways} than the kept one"
) -> str:
    """How a colour differs from the one that was kept, or from what it was.

    Examples
    --------
    >>> say_difference(np.array([50.0, 0, 0]), np.array([40.0, 0, 0]), sentence="It turns {ways}")
    'It turns darker (dE00 9.5).'
    """
    apart = float(delta_e_2000(kept, now))
    if apart < 0.5:
        return f"No eye tells them apart (dE00 {apart:.1f})."
    lighter, chroma = now[0] - kept[0], float(np.hypot(*now[1:]) - np.hypot(*kept[1:]))
    ways = [
        ("lighter" if lighter > 0 else "darker", abs(lighter)),
        ("more vivid" if chroma > 0 else "duller", abs(chroma)),
    ]
    said = [way for way, size in ways if size >= 1.0] or ["of another hue"]
    return f"{sentence.format(ways=' and '.join(said))} (dE00 {apart:.1f})."


def say_films(built: Built) -> list[str]:
    """Ground and films in words, lowest first, and what they are seen under."""
    bench = built.bench
    glossy = bench.painted and bench.ground != "dry"
    ground = built.layering.ground.label + (", glossy" if glossy else "")
    films = [say_film(each) for each in built.films]
    return [ground, *films, f"{FACES[bench.state]}, seen by {LIGHTS[bench.light]}"]


def say_film(built: BuiltFilm) -> str:
    """One film in words."""
    film = built.asked
    stirred = [
        (film.white, built.white.label if built.white else ""),
        (film.second_parts, built.second.label if built.second else ""),
        (film.medium, "medium"),
        (film.water, "water"),
    ]
    mixed = [f"{parts:g} {name}" for parts, name in stirred if parts > 0 and name]
    what = f"{film.parts:g} {built.paint.label} : {' : '.join(mixed)}" if mixed else built.paint.label
    return f"{what}, {say_coats(film.coats)}"
