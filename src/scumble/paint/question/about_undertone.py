"""Questions about masstone and undertone: what hides in a full coat, and what thinning does to it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, lab_to_lch, lch_to_lab
from scumble.paint.drawdown import chroma_of
from scumble.paint.estimate import CERTAIN
from scumble.paint.question.question import Choice, Kind, Laid, Question, Shown, plain_lab
from scumble.paint.question.tray import Tray
from scumble.paint.question.wrong import Guess, interval_of, offer_swatches, say_colour
from scumble.paint.thinning import BRIGHTER_BY, MASSTONE_COATS, THINNED_COATS, Course
from scumble.paint.tinting import tint_lab
from scumble.paint.words import write_number

Floats = NDArray[np.float64]

DARKEST = 15.0
"""CIELAB lightness of a masstone below which a chroma is a number that no eye sees; whether thinning dulls it is not
asked. Scumble's own."""

HARDLY_THINNED = 0.6
"""Thickness from which a film is hardly another one than the masstone [coat]. Scumble's own."""

COURSE_WORDS = {
    Course.BRIGHTENS: "It brightens",
    Course.LIGHTENS: "It only gets lighter",
    Course.DULLS: "It pales and dulls",
    Course.NEUTRAL: "It stays neutral",
}


def ask_undertone(tray: Tray) -> Question | None:
    """Which undertone hides in a masstone."""
    tube, thinning = tray.tube, tray.tube.thinning
    coats = float(thinning.undertone_coats.value)
    right = tube.film_lab(coats)
    masstone = tube.film_lab(MASSTONE_COATS)[0]
    if coats > HARDLY_THINNED:
        return None
    offered = offer_swatches(right, _undertones(tray, right[0], masstone), level=tray.level, rng=tray.rng)
    if offered is None:
        return None
    return Question(
        kind=Kind.UNDERTONE,
        paints=(tube.paint.key,),
        asks=f"This is the masstone of {tray.label}. Which undertone hides in it?",
        given=(Shown("masstone, one coat over white", plain_lab(masstone)),),
        choices=offered.choices,
        right=offered.right,
        margin=offered.margin,
        why=_why_undertone(masstone, right[0]),
        number=f"fullest at {write_number(thinning.undertone_coats)} coat, {say_colour(right[0])}",
        meaning="The undertone is the film over white that has the greatest CIELAB chroma.",
        painted=(
            Shown("masstone, one coat over white", plain_lab(masstone)),
            Shown(f"undertone, {coats:.2g} of a coat over white", plain_lab(right[0])),
        ),
        laid=Laid("white", ((tube.paint.key, 1.0),), coats),
        wanted=plain_lab(right[0]),
        interval_de00=interval_of(right),
    )


def _undertones(tray: Tray, right: Floats, masstone: Floats) -> list[Guess]:
    """What might be expected of a thinned film."""
    lightness, chroma, hue = lab_to_lch(right)
    own_hue = float(lab_to_lch(masstone)[2])
    turned = (hue - own_hue + 180.0) % 360.0 - 180.0
    guesses = [
        Guess(
            lch_to_lab(np.array([lightness, chroma, own_hue])),
            "thought of the masstone made paler, not turned",
        ),
        Guess(
            lch_to_lab(np.array([lightness, chroma, own_hue - turned])),
            "let the undertone turn the other way",
        ),
    ]
    if tray.white is not None:
        parts = np.geomspace(0.5, 200.0, 40)
        own, pale = ((each.absorption[:1], each.scattering[:1]) for each in (tray.tube, tray.white))
        tints = tint_lab(own, pale, parts, coats=8.0, index=tray.tube.index)[0]
        alike = tints[int(np.abs(tints[:, 0] - lightness).argmin())]
        guesses.append(Guess(alike, "thought of it mixed with white instead of thinned"))
    near = sorted(tray.others, key=lambda other: float(delta_e_2000(other.film_lab(1.0)[0], masstone)))
    guesses += [
        Guess(other.undertone, f"took it for {other.paint.label}, whose masstone is alike")
        for other in near[:3]
    ]
    return guesses


def _why_undertone(masstone: Floats, undertone: Floats) -> str:
    (dark, full, hue), (pale, thin, turned) = lab_to_lch(masstone), lab_to_lch(undertone)
    if min(full, thin) > 6.0 and abs((turned - hue + 180.0) % 360.0 - 180.0) > 8.0:
        return (
            "A thick film swallows even the light it takes least; thinned, the light it lets through best comes back "
            "from the white, and the hue turns towards it."
        )
    if pale - dark > 20.0:
        return "The full coat buries its colour; thinned, the white below lights it from behind."
    return "It has little to hide: full or thin, the same light comes back."


def ask_thinning(tray: Tray) -> Question | None:
    """What thinning does to the colour."""
    tube, thinning = tray.tube, tray.tube.thinning
    unseen = thinning.masstone[0] < DARKEST and thinning.course is not Course.BRIGHTENS
    if thinning.course_share < CERTAIN or unseen:
        return None
    change = thinning.thinned_chroma
    thinned = tube.film_lab(THINNED_COATS)[0]
    right = list(COURSE_WORDS).index(thinning.course)
    bounds = (BRIGHTER_BY, -BRIGHTER_BY)
    near = (
        min(abs(change.value - bound) for bound in bounds) if thinning.course is not Course.NEUTRAL else 8.0
    )
    slips = {Course.BRIGHTENS: "hoped for brilliance", Course.DULLS: "expected it to fade"}
    return Question(
        kind=Kind.THINNING,
        paints=(tube.paint.key,),
        asks=f"{tray.label} is thinned to a quarter of a coat over white. What becomes of it?",
        given=(Shown("masstone, one coat over white", plain_lab(thinning.masstone)),),
        choices=tuple(
            Choice(words, slip="" if at == right else slips.get(course, "missed what thinning does"))
            for at, (course, words) in enumerate(COURSE_WORDS.items())
        ),
        right=right,
        margin=max(near / 3.0, 1.0),
        why=_why_course(thinning.course),
        number=f"chroma {chroma_of(thinning.masstone):.0f} to {chroma_of(thinned):.0f}, a change of "
        f"{write_number(change, 0)}",
        meaning=(
            f"CIELAB chroma of a quarter of a coat less that of the masstone: from +{BRIGHTER_BY:g} it brightens, from "
            f"-{BRIGHTER_BY:g} it dulls; Scumble's own."
        ),
        painted=(
            Shown("masstone, one coat over white", plain_lab(thinning.masstone)),
            Shown("a quarter of a coat over white", plain_lab(thinned)),
        ),
        laid=Laid("white", ((tube.paint.key, 1.0),), THINNED_COATS),
    )


def _why_course(course: Course) -> str:
    return {
        Course.BRIGHTENS: "Dark and clear: the full coat drowns its own colour, and the white below brings it out.",
        Course.LIGHTENS: "Its colour is near its fullest already; thinner, more of the white comes in.",
        Course.DULLS: "What shows is what its grains throw back; with fewer of them, white takes the colour's place.",
        Course.NEUTRAL: "It takes all colours of light about alike, so no film of it shows one.",
    }[course]
