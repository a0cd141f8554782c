"""Questions about what lies below: the colour of a glaze over a ground, warmer or cooler, lighter or darker."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import lab_to_lch
from scumble.optics.film import film_response
from scumble.paint.drawdown import chroma_of, hue_of, lab_of
from scumble.paint.estimate import CERTAIN, estimate_of, share_of
from scumble.paint.glazing import GLAZE_COATS, VEILS_BY
from scumble.paint.ground import Ground
from scumble.paint.question.question import Choice, Kind, Laid, Question, Shown, plain_lab
from scumble.paint.question.tray import Tray
from scumble.paint.question.wrong import Guess, interval_of, mean_light, offer_swatches, say_colour
from scumble.paint.thinning import LEAST_CHROMA, WARM_HUE
from scumble.paint.words import WARMER_BY, write_number
from scumble.tables import BANDS

Floats = NDArray[np.float64]

FILMS = (GLAZE_COATS, 0.25)
"""Films that are laid over grounds [coat]."""

LIGHTER_BY = VEILS_BY
"""Change of CIELAB lightness from which a film is said to lighten or darken its ground."""

LEAST_WARMER = 2.5 * WARMER_BY
"""Change of nearness to the warm pole from which it is asked; less is told on a tube's page, but hardly seen."""

CLEAR = "under clear medium"


def _clear(ground: Ground, index: float) -> Floats:
    """Reflectance of a ground under clear medium, shape (36,)."""
    nothing = np.full(BANDS, 1e-9)
    return film_response(nothing, nothing, index=index).over(ground.under_film(index))


def _say_film(coats: float) -> str:
    return "A glaze, a tenth of a coat," if coats == GLAZE_COATS else "A quarter of a coat"


def _given(tray: Tray, name: str, bare: Floats) -> tuple[Shown, Shown]:
    masstone = plain_lab(tray.tube.film_lab(1.0)[0])
    return Shown(f"masstone of {tray.label}", masstone), Shown(f"the {name} ground {CLEAR}", plain_lab(bare))


def _painted(name: str, bare: Floats, right: Floats, coats: float) -> tuple[Shown, Shown]:
    return (
        Shown(f"the {name} ground {CLEAR}", plain_lab(bare)),
        Shown(f"{coats:g} of a coat over it", plain_lab(right)),
    )


def _shuffled_grounds(tray: Tray, *, leave_out: tuple[str, ...] = ()) -> list[str]:
    names = [name for name in tray.grounds if name not in leave_out]
    return [names[at] for at in tray.rng.permutation(len(names)).tolist()]


def ask_over_ground(tray: Tray) -> Question | None:
    """Which colour a thin film has over a ground."""
    tube = tray.tube
    coats = FILMS[int(tray.rng.integers(len(FILMS)))]
    for name in _shuffled_grounds(tray, leave_out=("white",)):
        ground = tray.grounds[name]
        seen = tube.over(ground, coats)
        right, bare = lab_of(seen), _clear(ground, tube.index)
        offered = offer_swatches(right, _guesses(tray, ground, bare, coats), level=tray.level, rng=tray.rng)
        if offered is None:
            continue
        return Question(
            kind=Kind.OVER_GROUND,
            paints=(tube.paint.key,),
            asks=f"{_say_film(coats)} of {tray.label} lies over a {name} ground. Which colour is seen?",
            given=_given(tray, name, lab_of(bare)),
            choices=offered.choices,
            right=offered.right,
            margin=offered.margin,
            why=_why(tray, right[0], lab_of(bare)),
            number=f"L* {right[0][0]:.0f}, chroma {chroma_of(right[0]):.0f}, {say_colour(right[0])}",
            meaning=f"A film of {coats:g} coat over a flat ground of invented colour, glossy, daylight.",
            painted=_painted(name, lab_of(bare), right[0], coats),
            laid=Laid(name, ((tube.paint.key, 1.0),), coats),
            wanted=plain_lab(right[0]),
            interval_de00=interval_of(right),
        )
    return None


def _guesses(tray: Tray, ground: Ground, bare: Floats, coats: float) -> list[Guess]:
    tube = tray.tube
    white = tray.grounds["white"]
    on_white = tube.over(white, coats)[0]
    return [
        Guess(mean_light(on_white, bare), "averaged film and ground as if they were lights"),
        Guess(lab_of(on_white), "saw the film as over white, and forgot the ground"),
        Guess(lab_of(bare), "saw the ground alone, and forgot the film"),
        Guess(lab_of(tube.over(ground, 1.0)[0]), "saw a full coat instead of a thin one"),
        Guess(tube.thinning.masstone, "expected the masstone to cover"),
    ]


def _why(tray: Tray, right: Floats, bare: Floats) -> str:
    if right[0] > bare[0] + LIGHTER_BY:
        return "Its grains throw pale light back before it reaches the dark: the film lies on it like a mist."
    if chroma_of(bare) >= LEAST_CHROMA and chroma_of(tray.tube.thinning.undertone) >= LEAST_CHROMA:
        return "Light passes the film twice and the ground once: only what all of them leave comes back."
    return "Light passes the film on its way to the ground and on its way back, and loses some each time."


def ask_warmer(tray: Tray) -> Question | None:
    """Whether a glaze makes a ground warmer or cooler."""
    tube, coats = tray.tube, FILMS[int(tray.rng.integers(len(FILMS)))]
    for name in _shuffled_grounds(tray, leave_out=("white", "black")):
        ground = tray.grounds[name]
        right, bare = lab_of(tube.over(ground, coats)), lab_of(_clear(ground, tube.index))
        if min(float(chroma_of(bare)), float(chroma_of(right).min())) < 2.0 * LEAST_CHROMA:
            continue
        change = _warmth(right) - _warmth(bare)
        if abs(change[0]) < LEAST_WARMER or share_of(change * np.sign(change[0]) > 0.0) < CERTAIN:
            continue
        right_place = 0 if change[0] > 0 else 1
        estimate = estimate_of(change)
        return Question(
            kind=Kind.WARMER,
            paints=(tube.paint.key,),
            asks=f"{_say_film(coats)} of {tray.label} goes over a {name} ground. Does the ground turn warmer or "
            "cooler?",
            given=_given(tray, name, bare),
            choices=tuple(
                Choice(
                    words,
                    slip="" if at == right_place else "read the tube's own temperature, not what it takes",
                )
                for at, words in enumerate(("Warmer", "Cooler"))
            ),
            right=right_place,
            margin=max(abs(float(change[0])) / LEAST_WARMER, 1.0),
            why=_why_warmer(float(right[0][0] - bare[0]), cooler=bool(right_place)),
            number=f"hue angle {hue_of(bare):.0f} to {hue_of(right[0]):.0f} degrees, nearness to orange "
            f"{estimate.value:+.2f} ({estimate.low:+.2f} to {estimate.high:+.2f})",
            meaning=f"Cosine of the CIELAB hue angle from {WARM_HUE:g} degrees, an orange, glazed less bare; the pole "
            "is Scumble's own.",
            painted=_painted(name, bare, right[0], coats),
            laid=Laid(name, ((tube.paint.key, 1.0),), coats),
        )
    return None


def _why_warmer(lightness: float, *, cooler: bool) -> str:
    if lightness > LIGHTER_BY and cooler:
        return "A pale, milky film cools a warm ground: its grains throw back blue that the ground would have kept."
    if lightness > LIGHTER_BY:
        return (
            "Its grains throw back light of their own colour, and that is warmer than what the ground gave."
        )
    return "A clear film adds nothing: it takes its share out of the ground's light, and what is left sets the warmth."


def _warmth(lab: Floats) -> Floats:
    return np.asarray(np.cos(np.radians(lab_to_lch(lab)[..., 2] - WARM_HUE)))


def ask_lighter(tray: Tray) -> Question | None:
    """Whether a thin film makes a ground lighter or darker."""
    tube, coats = tray.tube, FILMS[1]
    for name in _shuffled_grounds(tray, leave_out=("white",)):
        ground = tray.grounds[name]
        right, bare = lab_of(tube.over(ground, coats)), lab_of(_clear(ground, tube.index))
        change = right[:, 0] - bare[0]
        if abs(change[0]) < LIGHTER_BY or share_of(change * np.sign(change[0]) > 1.0) < CERTAIN:
            continue
        place = 0 if change[0] > 0 else 1
        return Question(
            kind=Kind.LIGHTER,
            paints=(tube.paint.key,),
            asks=f"{_say_film(coats)} of {tray.label} goes over a {name} ground. Does it turn lighter or darker?",
            given=_given(tray, name, bare),
            choices=tuple(
                Choice(words, slip="" if at == place else "read the masstone instead of the film")
                for at, words in enumerate(("Lighter", "Darker"))
            ),
            right=place,
            margin=max(abs(float(change[0])) / LIGHTER_BY, 1.0),
            why=(
                "Its grains throw back more light than the ground did.",
                "It takes more light out than its grains throw back.",
            )[place],
            number=f"L* {bare[0]:.0f} to {right[0][0]:.0f}, a change of {write_number(estimate_of(change), 0)}",
            meaning="CIELAB lightness of the ground with the film less that under clear medium.",
            painted=_painted(name, bare, right[0], coats),
            laid=Laid(name, ((tube.paint.key, 1.0),), coats),
        )
    return None
