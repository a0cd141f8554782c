"""By which route the colours of a photographed card were found, and how far they may be off by it, in plain words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scumble.card.photographed import PhotographedCard
from scumble.paint.camera_doubt import CameraDoubt

LEAST_SAID = 0.0005
"""Doubt that is too small to be spoken of [1]."""

BEGINS = {
    "target": "By the target",
    "profile": "By the profile that was given",
    "raw": "By the camera's raw values",
    "file": "By the profile in the file",
    "none": "By guess",
}
"""How the sentence about each route begins."""

BETTER = {
    "file": "A target beside the card or a raw file would say more.",
    "none": "A raw file, a target beside the card, or the profile of a scanner would say more.",
}
"""What would have been better, for the routes that are in much doubt."""


@dataclass(frozen=True, slots=True)
class ColourRoute:
    """How the colours of a card were found.

    Parameters
    ----------
    kind : str
        One of :data:`BEGINS`.
    found : tuple of str
        What they rest on, in sentences.
    doubt : tuple of str
        How far they may be off, in sentences.
    """

    kind: str
    found: tuple[str, ...]
    doubt: tuple[str, ...]


def tell_route(
    seen: PhotographedCard, *, is_raw: bool = False, target: str = "", profile: str = ""
) -> ColourRoute:
    """How the colours of a card that was just read were found.

    Parameters
    ----------
    seen : PhotographedCard
        The card.
    is_raw : bool
        Whether the picture is a camera's raw file.
    target, profile : str
        What a person calls the target and the profile that were given; empty for none.
    """
    kind = _kind(seen, is_raw, target, profile)
    about = {
        "target": f"{BEGINS['target']} that lies in the picture, {target}.",
        "profile": f"{BEGINS['profile']} for the device, {profile}.",
        "raw": f"{BEGINS['raw']} and its own matrix.",
        "file": f"{BEGINS['file']}, {seen.colour_space}.",
        "none": f"{BEGINS['none']}: the picture does not say what its numbers mean, so it is taken as sRGB.",
    }
    own = tuple(said for said in seen.assumptions if said.startswith(("Colours are those", "Its tone curve")))
    better = (BETTER[kind],) if kind in BETTER else ()
    return ColourRoute(kind, (about[kind], *own, *_comes_to(seen)), (*_doubts(seen), *better))


def _kind(seen: PhotographedCard, is_raw: bool, target: str, profile: str) -> str:
    if target:
        return "target"
    if profile:
        return "profile"
    if is_raw:
        return "raw"
    guessed = any("taken as sRGB" in said for said in seen.assumptions)
    return "none" if guessed else "file"


def _comes_to(seen: PhotographedCard) -> tuple[str, ...]:
    """How well painted areas are known in the end."""
    bounds = np.array(
        [area.bound_de00 for area in seen.areas if area.reading.weight > 0 and not area.reading.is_bare]
    )
    bounds = bounds[np.isfinite(bounds)]
    if not len(bounds):
        return ()
    return (
        f"A painted area is known to within dE00 {np.median(bounds):.1f}, the least sure of them to within"
        f" {bounds.max():.1f}, 19 times in 20.",
    )


def _doubts(seen: PhotographedCard) -> tuple[str, ...]:
    """What all areas share, and what each has for itself."""
    shared = say_shared(seen.readings.camera or CameraDoubt())
    own = f"Each area for itself is in doubt by {100 * seen.readings.noise:.1f} % of its light."
    return (shared, own) if shared else (own,)


def say_shared(doubt: CameraDoubt) -> str:
    """What all areas of a photograph share, in a sentence.

    Examples
    --------
    >>> say_shared(CameraDoubt(tone=0.02, paper=0.025))
    'In doubt for all areas alike: the tone curve by 2.0 %; how light the paper is by 2.5 %.'
    >>> say_shared(CameraDoubt())
    ''
    """
    parts = [
        (doubt.sensor, f"how the camera sees colour, {doubt.sensor:.2f} of what cameras differ by"),
        (doubt.tone, f"the tone curve by {100 * doubt.tone:.1f} %"),
        (doubt.chroma, f"how vivid colours are by {100 * doubt.chroma:.1f} %"),
        (doubt.paper, f"how light the paper is by {100 * doubt.paper:.1f} %"),
        (doubt.veil, f"stray light by {100 * doubt.veil:.1f} % of white"),
    ]
    told = [words for amount, words in parts if amount >= LEAST_SAID]
    return f"In doubt for all areas alike: {'; '.join(told)}." if told else ""
