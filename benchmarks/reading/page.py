"""The page of figures: what share was found, how well it was placed and read, and what was wrongly believed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from textwrap import fill

import numpy as np
from demo.conditions import FAULTS

from benchmarks.reading.cards import HAND
from benchmarks.reading.hand import FAR_OFF_DE00
from benchmarks.reading.page_hand import alarm_table, hand_table
from benchmarks.reading.score import GLARE_DE00, AreaScore, PhotoScore
from benchmarks.reading.table import share, spread, table
from benchmarks.reading.unseen import UnseenScore

ROUTES = {
    "phone": "phone, no profile",
    "profile": "camera, display profile",
    "scan": "scanner, its ICC profile",
}

INTRODUCTION = f"""# Reading photographs

How well photographs of painted cards are read: {{count}} simulated photographs, of which {{spoilt}} were spoilt on
purpose. This page is written by `python -m benchmarks.reading --photos {{asked}} --seed {{seed}}`, here at commit
{{commit}}. It is simulation, made by the program in `demo/`, which shares no code with the reader; nothing was
measured but the time it took.

{{speed}}

- **Cards** ten invented tubes, painted by two hands each with ridges, ragged edges and thickness errors; three in
  four are the full card, the rest the quick one.
- **Sensors** a mosaic and a stacked sensor with measured sensitivities (Darrodi et al. 2015), the Academy's reference
  device (S-2008-001) and three Gaussian bells, under D65, D50, A, LED-B3 and a window with a lamp; white balance and
  a 3x3 matrix lead to the picture's colours. *Phone*: sRGB without profile, half of them with an S-shaped tone curve,
  chroma raised by up to 12 %. *Camera, display profile*: P3 or a wide RGB, straight. *Scanner*: 150, 300 or 600 dpi,
  with the profile of tables of its own that `demo/scanner.py` makes from a target.
- **Photographs** 8 or 12 million points; tilt to 35 degrees, lens distortion to 3 %, defocus, motion, noise to ISO
  3200, corner loss to 35 %, uneven and coloured light, a shadow's edge or a glare spot in one of five, JPEG 60 to 95,
  splashes, a corner torn or covered in one of six. *Spoilt*: 40 to 60 % clipped, glare over an area, blurred by 2 to
  5 mm, shaken by 6 to 12 mm, card at a tenth of the frame, card half outside.
- **Hands** half of the spoilt photographs are good pictures of a full card on which the hand made one mistake
  (another tube in a box, two boxes swapped, a film or a box forgotten, a second coat, a stroke with a tenth of another
  paint from an unwashed brush) and left three flaws on other strokes: drips over a border, into a box or out
  of it, pinholes, dust, hairs, ridges 0.3 to 4 mm wide, seven to nine tenths of the paint in one half.
- **Off** is dE00 (D65, 2 degrees) between what was read of an area and its true mean colour; *paper known* is the same
  after the bare white is set to the paper's true colour. *Believed* areas have a weight of 0.5 or more.
- **Wrong** counts areas believed that are off by more than {FAR_OFF_DE00:g} dE00 and by more than twice the 95 %
  bound that the reader promised for this area.

"""


def write_page(
    photos: Sequence[PhotoScore],
    unseen: dict[str, list[UnseenScore]],
    *,
    asked: int,
    seed: int,
    commit: str,
    speed: str,
) -> str:
    """All figures as Markdown."""
    good = [photo for photo in photos if not photo.conditions.fault]
    spoilt = [photo for photo in photos if photo.conditions.fault]
    intro = INTRODUCTION.format(
        count=len(photos), spoilt=len(spoilt), asked=asked, seed=seed, commit=commit, speed=fill(speed, 118)
    )
    by_hand = [photo for photo in spoilt if photo.conditions.fault == HAND]
    parts = [
        ("Acceptable photographs", _found(good)),
        ("Colour of areas", _colours(good)),
        ("Acceptable photographs by what they have in common", _in_common(good)),
        ("Acceptable photographs by tube", _by_tube(good)),
        ("Areas left out of acceptable photographs", _left_out(good)),
        ("Words on good areas", alarm_table(good)),
        ("Refused although acceptable", _refusals(good)),
        ("Spoilt photographs", _spoilt([photo for photo in spoilt if photo.conditions.fault != HAND])),
        ("Cards that a hand spoilt", hand_table(by_hand)),
        ("Films nobody painted", _unseen(unseen)),
    ]
    return intro + "\n".join(f"## {title}\n\n{text}\n" for title, text in parts)


def _by_route(photos: Sequence[PhotoScore]) -> Iterable[tuple[str, list[PhotoScore]]]:
    for route, words in ROUTES.items():
        chosen = [photo for photo in photos if photo.conditions.session.route == route]
        if chosen:
            yield words, chosen
    yield "all", list(photos)


def _found(photos: Sequence[PhotoScore]) -> str:
    heads = (
        "route",
        "photographs",
        "found and oriented",
        "misplaced [mm], mean / 95th",
        "within 0.5 mm",
        "within promise",
        "read in [s of a processor]",
    )
    rows = []
    for words, chosen in _by_route(photos):
        placed = [photo for photo in chosen if photo.oriented]
        rows.append(
            (
                words,
                str(len(chosen)),
                share([photo.oriented for photo in chosen]),
                spread([photo.misplaced_mm for photo in placed]),
                share([photo.misplaced_mm < 0.5 for photo in placed]),
                share([photo.misplaced_mm <= photo.promised_mm for photo in placed]),
                f"{np.mean([photo.seconds for photo in chosen]):.2f}",
            )
        )
    return table(heads, rows)


def _colours(photos: Sequence[PhotoScore]) -> str:
    heads = (
        "route",
        "areas",
        "believed",
        "off, mean / 95th",
        "paper known",
        "promised 95 % bound",
        "within promise",
        "wrong",
        "photographs with a wrong area",
    )
    rows = []
    for words, chosen in _by_route(photos):
        areas = [area for photo in chosen for area in photo.areas]
        kept = [area for area in areas if area.believed]
        rows.append(
            (
                words,
                str(len(areas)),
                share([area.believed for area in areas]),
                spread([area.off for area in kept]),
                spread([area.off_to_paper for area in kept]),
                spread([area.claimed for area in kept]),
                share([area.off <= area.claimed for area in kept]),
                str(sum(area.confidently_wrong for area in kept)),
                share([photo.outcome == "wrong" for photo in chosen]),
            )
        )
    return table(heads, rows)


def _dark(photo: PhotoScore) -> bool:
    return photo.tube in ("classroom-black", "classroom-deep-blue", "classroom-violet")


TRAITS: dict[str, Callable[[PhotoScore], bool]] = {
    "S-shaped tone curve": lambda photo: photo.conditions.session.contrast > 0,
    "straight tone curve": lambda photo: photo.conditions.session.contrast == 0,
    "mosaic sensor": lambda photo: photo.conditions.session.sensor == "mosaic",
    "stacked sensor": lambda photo: photo.conditions.session.sensor == "stacked",
    "reference sensor": lambda photo: photo.conditions.session.sensor == "reference",
    "Gaussian sensor": lambda photo: photo.conditions.session.sensor == "gaussian",
    "daylight (D65, D50)": lambda photo: photo.conditions.session.blend[0] in (("D65", 1.0), ("D50", 1.0)),
    "lamp A": lambda photo: photo.conditions.session.blend[0][0] == "A",
    "LED": lambda photo: photo.conditions.session.blend[0][0] == "LED",
    "window and lamp": lambda photo: len(photo.conditions.session.blend) > 1,
    "veiling light beyond 1 %": lambda photo: photo.conditions.falling.flare > 0.01,
    "dark tube (black, deep blue, violet)": _dark,
    "dark tube, veiling light beyond 1 %": lambda photo: (
        _dark(photo) and photo.conditions.falling.flare > 0.01
    ),
    "dark tube, veiling light below 1 %": lambda photo: (
        _dark(photo) and photo.conditions.falling.flare <= 0.01
    ),
    "lens bend beyond 1.5 %": lambda photo: abs(photo.conditions.view.bend) > 0.015,
    "lens bend below 1.5 %": lambda photo: abs(photo.conditions.view.bend) <= 0.015,
    "shadow edge": lambda photo: photo.conditions.falling.shadow is not None,
    "glare spot": lambda photo: photo.conditions.falling.glare is not None,
    "splashes": lambda photo: photo.conditions.mishaps.splashes > 0,
    "corner torn or covered": lambda photo: bool(photo.conditions.mishaps.corner),
    "tilt beyond 20 degrees": lambda photo: photo.conditions.view.tilt_degree > 20,
    "ISO beyond 800": lambda photo: photo.conditions.recording.iso > 800,
    "JPEG below 75": lambda photo: photo.conditions.recording.quality < 75,
    "quick card": lambda photo: photo.layout == "quick",
}
"""What photographs have in common."""


def _in_common(photos: Sequence[PhotoScore]) -> str:
    rows = []
    for words, chosen in TRAITS.items():
        some = [photo for photo in photos if chosen(photo)]
        if some:
            believed = [area for photo in some for area in photo.areas if area.believed]
            rows.append(
                (
                    words,
                    str(len(some)),
                    spread([photo.misplaced_mm for photo in some if photo.oriented]),
                    spread([area.off for area in believed]),
                    share([area.confidently_wrong for area in believed]),
                    share([photo.outcome == "wrong" for photo in some]),
                )
            )
    rows.sort(key=lambda row: -float(row[-1].split()[0]))
    heads = (
        "trait",
        "photographs",
        "misplaced [mm], mean / 95th",
        "off, mean / 95th",
        "believed areas wrong",
        "photographs with a wrong area",
    )
    return table(heads, rows)


def _by_tube(photos: Sequence[PhotoScore]) -> str:
    rows = []
    for tube in sorted({photo.tube for photo in photos}):
        areas = [area for photo in photos if photo.tube == tube for area in photo.areas]
        kept = [area for area in areas if area.believed and area.film != "bare"]
        rows.append(
            (
                tube.removeprefix("classroom-").replace("-", " "),
                str(len(areas)),
                share([area.believed for area in areas]),
                spread([area.off for area in kept]),
                str(sum(area.confidently_wrong for area in kept)),
            )
        )
    return table(("tube", "areas", "believed", "painted areas off, mean / 95th", "wrong"), rows)


def _left_out(photos: Sequence[PhotoScore]) -> str:
    areas = [area for photo in photos for area in photo.areas]
    kinds = Counter(kind for area in areas if not area.believed for kind in area.faults)
    doubted = Counter(kind for area in areas if area.believed for kind in area.faults)
    names = sorted({*kinds, *doubted}, key=lambda kind: -kinds[kind])
    return table(
        ("fault", "left out", "doubted, kept"),
        [(kind, str(kinds[kind]), str(doubted[kind])) for kind in names],
    )


def _refusals(photos: Sequence[PhotoScore]) -> str:
    said = Counter(photo.refusal for photo in photos if photo.refusal)
    return "\n".join(f"- {count} times: {words}" for words, count in said.most_common()) or "None."


def _spoilt(photos: Sequence[PhotoScore]) -> str:
    heads = ("fault", "photographs", "refused", "areas excluded", "read right all the same", "wrong", "words")
    rows = []
    for fault in FAULTS:
        some = [photo for photo in photos if photo.conditions.fault == fault]
        if some:
            counted = Counter(_spoilt_outcome(photo) for photo in some)
            said = Counter(
                photo.refusal.split(".")[0] if photo.refusal else ", ".join(sorted(_kinds(photo)))
                for photo in some
            )
            words = "; ".join(f"{text or 'nothing'} ({count})" for text, count in said.most_common(3))
            outcomes = [str(counted[name]) for name in ("refused", "excluded", "right", "wrong")]
            rows.append((fault, str(len(some)), *outcomes, words))
    kept = [_spoilt_outcome(photo) in ("refused", "excluded") for photo in photos]
    note = (
        f"\n\nPhotographs refused or areas excluded: {share(kept)}. Glare: an area that mirrors enough light to move it"
        f" by {GLARE_DE00:g} dE00 counts as excluded when it is not believed, as wrong when it is and is off by that"
        " much."
    )
    return table(heads, rows) + note


def _kinds(photo: PhotoScore) -> set[str]:
    return {kind for area in photo.areas if not area.believed for kind in area.faults}


def _spoilt_outcome(photo: PhotoScore) -> str:
    """What became of a spoilt photograph; glare is judged by the areas it lies on."""
    if photo.refusal or photo.conditions.fault != "glare":
        return photo.outcome
    hit = [area for area in photo.areas if area.glare > GLARE_DE00]
    if any(area.believed and area.off > GLARE_DE00 + _usual(photo, hit) for area in hit):
        return "wrong"
    return "excluded" if any(not area.believed for area in hit) else "right"


def _usual(photo: PhotoScore, hit: Sequence[AreaScore]) -> float:
    """How far the areas without glare are off, in the middle: what the camera does is not the glare's fault."""
    rest = [area.off for area in photo.areas if area not in hit and area.believed]
    return float(np.median(rest)) if rest else 0.0


def _unseen(unseen: dict[str, list[UnseenScore]]) -> str:
    rows = []
    for route, words in ROUTES.items():
        scores = unseen.get(route, [])
        for kind in dict.fromkeys(score.kind for score in scores):
            some = [score for score in scores if score.kind == kind]
            rows.append((words, kind, *_unseen_figures(some)))
        if scores:
            rows.append((words, "**all**", *_unseen_figures(scores)))
    note = (
        "\n\nEvery card of a session is fitted, its tints with the white fitted from the white's own photograph;"
        " coats count each card's own full film."
    )
    return (
        table(("route", "film", "count", "dE00, mean / 95th", "95 % bound, mean", "interval holds"), rows)
        + note
    )


def _unseen_figures(scores: Sequence[UnseenScore]) -> tuple[str, str, str, str]:
    return (
        str(len(scores)),
        spread([score.off for score in scores]),
        f"{np.mean([score.bound for score in scores]):.1f}",
        share([score.held for score in scores]),
    )
