"""Why a recipe was chosen, and how a colour is missed, in sentences."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000_metric, lab_to_lch
from scumble.solve.recipe.answer import Help, Shortfall

Floats = NDArray[np.float64]

NOTABLE = 0.45
"""Share of the largest fault above which another fault is named too."""

STEADY, TOUCHY = 1.0, 3.0
"""dE00 for a fifth more or less paint, up to which a hand need not be careful and beyond which it must be."""


def say_why(difference: float, tubes: int, passes: int, unevenness: float, lights: dict[str, float]) -> str:
    """A sentence on what speaks for a recipe and what against.

    Examples
    --------
    >>> say_why(0.31, 2, 1, 0.2, {"A": 1.4})
    'Within dE00 0.3 with 2 tubes in 1 pass; a fifth more or less paint hardly shows; under A it moves by dE00 1.4.'
    """
    taken = f"{tubes} tube{'s' * (tubes != 1)} in {passes} pass{'es' * (passes != 1)}"
    if unevenness < STEADY:
        hand = "a fifth more or less paint hardly shows"
    elif unevenness < TOUCHY:
        hand = f"a fifth more or less paint shows a little (dE00 {unevenness:.1f})"
    else:
        hand = f"it wants an even hand (dE00 {unevenness:.1f} for a fifth more or less)"
    far = max(lights, key=lambda light: lights[light], default="")
    moves = f"; under {far} it moves by dE00 {lights[far]:.1f}" if far and lights[far] >= 1.0 else ""
    near = f"Within dE00 {difference:.1f}" if difference < 2.0 else f"Off by dE00 {difference:.1f}"
    return f"{near} with {taken}; {hand}{moves}."


def say_shortfall(
    wanted: Floats, nearest: Floats, difference: float, helps: tuple[Help, ...] = ()
) -> Shortfall:
    """Say in which direction the nearest colour misses.

    Parameters
    ----------
    wanted, nearest : array, shape (3,)
        CIELAB.
    difference : float [dE00]
        Between them.
    helps : tuple of Help
        Tubes that would come nearer.

    Examples
    --------
    >>> say_shortfall(np.array([50.0, 80.0, 60.0]), np.array([50.0, 60.0, 45.0]), 6.6).words
    'Out of reach: the nearest is dE00 6.6 away, too dull (chroma 75 for 100).'
    """
    light, chroma, hue = _faults(wanted, nearest)
    largest = max(abs(light), abs(chroma), abs(hue), 1e-9)
    (l1, c1, _), (l2, c2, _) = lab_to_lch(wanted), lab_to_lch(nearest)
    said = []
    if abs(light) >= NOTABLE * largest:
        said.append(f"too {'light' if light > 0 else 'dark'} (L* {l2:.0f} for {l1:.0f})")
    if abs(chroma) >= NOTABLE * largest:
        said.append(f"too {'vivid' if chroma > 0 else 'dull'} (chroma {c2:.0f} for {c1:.0f})")
    if abs(hue) >= NOTABLE * largest:
        said.append(f"too {_towards(wanted, nearest)}")
    words = f"Out of reach: the nearest is dE00 {difference:.1f} away, {' and '.join(said)}."
    return Shortfall(difference, f"{words}{say_helps(helps)}", helps)


def say_helps(helps: tuple[Help, ...]) -> str:
    """What tube would bring a colour nearer; empty where none is known.

    Examples
    --------
    >>> say_helps((Help("dioxazine-violet", "Dioxazine violet", ("PV23",), 1.24),))
    ' A tube of dioxazine violet (PV23) would come within dE00 1.2.'
    """
    if not helps:
        return ""
    first, *rest = (
        f"{help.label[0].lower()}{help.label[1:]} ({' + '.join(help.pigments) or 'no Colour Index name'})"
        for help in helps
    )
    also = f"; so would {' or '.join(rest)}, nearly" if rest else ""
    return f" A tube of {first} would come within dE00 {helps[0].difference:.1f}{also}."


def _faults(wanted: Floats, nearest: Floats) -> tuple[float, float, float]:
    """Differences in lightness, chroma and hue, each in dE00 at the wanted colour, signed."""
    metric = delta_e_2000_metric((wanted + nearest) / 2)
    gap = nearest - wanted
    middle = (wanted + nearest)[1:] / 2
    size = float(np.hypot(*middle))
    along = middle / size if size > 1e-9 else np.array([1.0, 0.0])
    across = np.array([-along[1], along[0]])
    plane = metric[1:, 1:]
    chroma, hue = float(gap[1:] @ along), float(gap[1:] @ across)
    return (
        float(gap[0] * np.sqrt(metric[0, 0])),
        chroma * float(np.sqrt(along @ plane @ along)),
        hue * float(np.sqrt(across @ plane @ across)),
    )


def _towards(wanted: Floats, nearest: Floats) -> str:
    a, b = (nearest - wanted)[1:]
    if abs(a) >= abs(b):
        return "reddish" if a > 0 else "greenish"
    return "yellowish" if b > 0 else "bluish"
