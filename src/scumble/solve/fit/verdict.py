"""What a fit is worth, in sentences."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, reflectance_to_xyz, spectral_weights, white_point, xyz_to_lab
from scumble.paint import Film, Layering, Optics, Paint, Provenance, paper_ground, predict_look
from scumble.paint.reading import CardReadings, Quantity
from scumble.solve.fit.one_card import SURPRISE, AreaFit, Fit
from scumble.tables import BANDS

Floats = NDArray[np.float64]

WELL, FAIRLY = 1.5, 3.5
"""Largest mean 95 % interval [dE00] for *well* and for *fairly well* determined."""

VAGUE = 0.30
"""Relative uncertainty of absorption or scattering per coat beyond which it counts as poorly determined."""

OUT_OF_PLACE = 4.5
"""Standard errors of an area's chi-square beyond which the area is named: about once in a thousand by chance."""

NOISY = 2.0
"""Scatter over what was promised beyond which it is mentioned."""

DARK = 0.2
"""Luminous reflectance below which a ground counts as dark."""

TRIALS = (("white", 0.1), ("white", 0.3), ("black", 0.3), ("white", 1.0), ("black", 1.0))
"""Paper and coats of the films on which a fit is judged."""


OPENINGS = (
    "Well determined:",
    "Fairly well determined:",
    "Poorly determined:",
    "Scattering is poorly determined",
    "Absorption is poorly determined",
    "The readings scatter by",
    "The tints do not agree with this white",
    "The tints were left out",
    "The fit did not come to rest",
)
"""How the sentences of a verdict begin, besides those that name an area."""


def is_verdict(sentence: str) -> bool:
    """Whether a sentence is of a fit's verdict rather than said by somebody else.

    Examples
    --------
    >>> is_verdict("Well determined: ..."), is_verdict("Area white does not fit (off ..."), is_verdict("From 2019.")
    (True, True, False)
    """
    return sentence.startswith(OPENINGS) or (
        sentence.startswith("Area ") and " does not fit (off" in sentence
    )


def judge_fit(fit: Fit, card: CardReadings) -> tuple[str, ...]:
    """Say how well a paint is determined, what is not, why, and which areas to look at.

    Parameters
    ----------
    fit : Fit
        From this card.
    card : CardReadings
        What was read.

    Returns
    -------
    tuple of str
        Sentences, the overall verdict first.
    """
    sentences = [_overall(fit), *_poorly_determined(fit, card), *_misfits(fit, card), *_scatter(fit)]
    if fit.tint_surprise > SURPRISE:
        sentences.append(
            "The tints do not agree with this white: was another white used, or a ratio miscounted? "
            f"They lie {np.sqrt(fit.tint_surprise):.1f} times as far off as they should and were left out."
        )
    if card_lacks_white(card, fit):
        sentences.append("The tints were left out, because no white was given to compare them with.")
    if not fit.settled:
        sentences.append("The fit did not come to rest; take it as a guess.")
    return tuple(sentences)


def card_lacks_white(card: CardReadings, fit: Fit) -> bool:
    """Whether tints were painted but not fitted."""
    painted = any(reading.white_parts > 0 for reading in card.painted())
    fitted = any(area.reading.white_parts > 0 for area in fit.areas)
    return painted and not fitted and len(fit.areas) < len(card.readings)


def expected_interval(optics: Optics) -> float:
    """Mean 95 % interval over thin and full films on white and black [dE00]."""
    paint = Paint("fit", "fit", optics, Provenance.CARD)
    looks = [predict_look(Layering(paper_ground(on), (Film(((paint, 1.0),), c),))) for on, c in TRIALS]
    return float(np.mean([look.interval_de00 for look in looks]))


def _overall(fit: Fit) -> str:
    interval = expected_interval(fit.optics)
    words = (
        "Well determined" if interval <= WELL else "Fairly well determined" if interval <= FAIRLY else None
    )
    known = f"its films are predicted to within dE00 {interval:.1f} on average, 19 times in 20"
    return f"{words or 'Poorly determined'}: {known}."


def _poorly_determined(fit: Fit, card: CardReadings) -> list[str]:
    """Name absorption or scattering where it is vague, and what is missing from the card."""
    deviation = np.sqrt(np.diag(fit.optics.covariance))
    brightness = spectral_weights("D65", 2)[:, 1]
    absorption, scattering = (np.average(half, weights=brightness) for half in np.split(deviation, 2))
    sentences = []
    for name, vague, missing in (
        ("Scattering", scattering, _missing_for_scattering(fit, card)),
        ("Absorption", absorption, _missing_for_absorption(card)),
    ):
        if vague > VAGUE and missing:
            sentences.append(f"{name} is poorly determined (to {100 * vague:.0f} %), because {missing}.")
    return sentences


def _missing_for_scattering(fit: Fit, card: CardReadings) -> str:
    dark = {area.reading.area for area in fit.areas if area.coats == 0 and _luminance(area, card) < DARK}
    painted = [reading for reading in card.painted() if reading.weight > 0]
    if not any(reading.ground in dark for reading in painted):
        return "nothing was painted over black"
    if not any(reading.film != "full" for reading in painted):
        return "nothing thin was painted and nothing mixed with white"
    return ""


def _missing_for_absorption(card: CardReadings) -> str:
    painted = [reading for reading in card.painted() if reading.weight > 0]
    if not any(reading.film != "full" for reading in painted):
        return "nothing thin was painted and nothing mixed with white"
    if not any(reading.film == "full" for reading in painted):
        return "no full film was painted, so one coat is not known"
    return ""


def _luminance(area: AreaFit, card: CardReadings) -> float:
    if card.quantity is Quantity.XYZ:
        return float(area.reading.values[1]) / 100.0
    return float(reflectance_to_xyz(area.reading.values)[1]) / 100.0


def area_difference(area: AreaFit, card: CardReadings) -> float:
    """Colour difference between what was read at an area and what the fit shows there [dE00]."""
    spectral = card.quantity is Quantity.REFLECTANCE
    light, observer = ("D65", 2) if spectral else (card.light, card.observer)
    white = white_point(light, observer)
    pair = np.stack([area.reading.values, area.predicted])
    xyz = reflectance_to_xyz(pair) if pair.shape[-1] == BANDS else pair
    return float(delta_e_2000(*xyz_to_lab(xyz, white)))


def _misfits(fit: Fit, card: CardReadings) -> list[str]:
    numbers = len(fit.areas[0].predicted)
    worst = 1.0 + OUT_OF_PLACE * np.sqrt(2.0 / numbers)
    return [
        f"Area {area.reading.area} does not fit (off by dE00 {area_difference(area, card):.1f}): look at it."
        for area in fit.areas
        if area.misfit > worst and area_difference(area, card) > 1.0 and not _is_left_out(area, fit)
    ]


def _is_left_out(area: AreaFit, fit: Fit) -> bool:
    return area.reading.white_parts > 0 and fit.tint_surprise > SURPRISE


def _scatter(fit: Fit) -> list[str]:
    if fit.noise <= NOISY * fit.promised_noise:
        return []
    return [
        f"The readings scatter by {100 * fit.noise:.1f} %, where {100 * fit.promised_noise:.1f} % was expected: "
        "uneven films, uneven light or a wrong area."
    ]
