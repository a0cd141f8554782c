"""A wanted colour as a person writes it down."""

from __future__ import annotations

import json
import re
from typing import Any

import numpy as np

from scumble.colour import lch_to_lab, munsell_to_xyz, srgb_to_xyz, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.jobs.layering_request import FindPaint, LayeringRequest, build_layering, parse_model
from scumble.paint import Film, Ground, Layering, predict_reflectance
from scumble.paint.drawdown import CHART_WHITE, chroma_of, lab_of
from scumble.solve.recipe.target import Target, target_of_bare_colour, target_of_reflectance

FORMS = (
    "Lab 'lab 60 20 30', LCh 'lch 60 36 56', XYZ 'xyz 35 28 15', Munsell '5YR 6/8' or 'N 5', a screen colour "
    "'#b4783c', 36 reflectances, a paint 'masstone NAME' or 'undertone NAME', or a layering as JSON"
)
"""What a colour can be written as."""

NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"

MUNSELL = re.compile(
    r"(?:munsell\s*:?\s*)?(?:N\s*(?P<grey>\d+\.?\d*)\s*/?\s*0?|"
    r"(?P<step>\d+\.?\d*)\s*(?P<family>RP|YR|GY|BG|PB|R|Y|G|B|P)\s*"
    r"(?P<value>\d+\.?\d*)\s*/\s*(?P<chroma>\d+\.?\d*))",
    re.IGNORECASE,
)
FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
"""Hue families of ASTM D1535, in their order round the circle."""

MASSTONE_COATS = 8.0
"""A film so thick that nothing below shows [coat]."""

UNDERTONE_COATS = np.geomspace(0.01, 2.0, 80)
"""Thicknesses among which the undertone is the film of greatest chroma over white [coat]."""


def parse_target(
    text: str, find_paint: FindPaint, *, lights: tuple[str, ...] = ("D65",), observer: int = 2
) -> Target:
    """Read a wanted colour.

    Parameters
    ----------
    text : str
        One of :data:`FORMS`; numbers may be separated by blanks or commas.
    find_paint : callable
        Fetches paints by their short name.
    lights : tuple of str
        Lights it is wanted under. A bare colour is known under the first only, and guessed under the others; a screen
        colour is one under D65.
    observer : int [degrees]
        2 or 10.

    Raises
    ------
    InputError
        If it cannot be read, or is no colour.
    """
    written = text.strip()
    for light in lights:
        white_point(light, observer)
    if written.startswith("{"):
        return _of_layering(written, find_paint, lights, observer)
    if written.startswith("#"):
        return _of_screen(written, lights, observer)
    if found := MUNSELL.fullmatch(written):
        return _of_munsell(found, written, lights, observer)
    word, _, rest = written.partition(" ")
    if word.lower() in ("masstone", "undertone"):
        return _of_paint(word.lower(), rest.strip(), find_paint, lights, observer)
    return _of_numbers(written, lights, observer)


def _of_numbers(written: str, lights: tuple[str, ...], observer: int) -> Target:
    space, rest = "", written
    if found := re.match(r"\s*(lab|lch|xyz|reflectance)\b[\s:]*", written, re.IGNORECASE):
        space, rest = found[1].lower(), written[found.end() :]
    pieces = [piece for piece in re.split(r"[\s,;]+", rest.strip("()[] ")) if piece]
    if not pieces or any(re.fullmatch(NUMBER, piece) is None for piece in pieces):
        raise InputError("colour", written, FORMS)
    numbers = np.array([float(piece) for piece in pieces])
    if len(numbers) != 3 or space == "reflectance":
        if len(numbers) < 10 and space != "reflectance":
            raise InputError("colour", written, FORMS, f"There are {len(numbers)} numbers.")
        return target_of_reflectance(numbers, lights=lights, observer=observer)
    if space == "lch":
        if numbers[1] < 0.0:
            raise InputError("colour", written, "a chroma of 0 or more")
        numbers = lch_to_lab(numbers)
    if space == "xyz":
        if numbers.min() < 0.0 or numbers[1] > 100.0:
            raise InputError("colour", written, "X, Y and Z of 0 or more, white at Y = 100")
        numbers = xyz_to_lab(numbers, white_point(lights[0], observer))
    return target_of_bare_colour(numbers, lights=lights, observer=observer)


def _of_munsell(found: re.Match[str], written: str, lights: tuple[str, ...], observer: int) -> Target:
    if found["grey"] is not None:
        hue, value, chroma = 0.0, float(found["grey"]), 0.0
    else:
        step, value, chroma = float(found["step"]), float(found["value"]), float(found["chroma"])
        if step > 10.0:
            raise InputError("colour", written, "a hue step from 0 to 10, as in 7.5YR")
        hue = (10.0 * FAMILIES.index(found["family"].upper()) + step) % 100.0
    if not 0.0 <= value <= 10.0 or chroma > 40.0:
        raise InputError("colour", written, "a value from 0 to 10 and a chroma of at most 40")
    xyz = munsell_to_xyz([hue, value, chroma], light=lights[0], observer=observer)
    lab = xyz_to_lab(np.clip(xyz, 0.0, None), white_point(lights[0], observer))
    label = f"Munsell {written.upper().removeprefix('MUNSELL').strip(' :')}"
    return target_of_bare_colour(
        np.clip(lab, [0.0, -200.0, -200.0], [100.0, 200.0, 200.0]),
        lights=lights,
        observer=observer,
        label=label,
    )


def _of_screen(written: str, lights: tuple[str, ...], observer: int) -> Target:
    digits = written[1:]
    if re.fullmatch(r"[0-9a-fA-F]{3}|[0-9a-fA-F]{6}", digits) is None:
        raise InputError("colour", written, "# and six hexadecimal digits, as in #b4783c")
    if lights[0] != "D65" or observer != 2:
        allowed = "D65 and 2 degrees for a screen colour, other lights after D65"
        raise InputError("light", f"{lights[0]}, {observer} degrees", allowed)
    doubled = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
    rgb = np.array([int(doubled[place : place + 2], 16) for place in (0, 2, 4)]) / 255.0
    lab = xyz_to_lab(srgb_to_xyz(rgb), white_point("D65", 2))
    inside = np.clip(lab, [0.0, -200.0, -200.0], [100.0, 200.0, 200.0])
    return target_of_bare_colour(inside, lights=lights, label=written)


def _of_paint(which: str, name: str, find_paint: FindPaint, lights: tuple[str, ...], observer: int) -> Target:
    paint = find_paint(name)
    ground = Ground(np.full(len(paint.optics.absorption), CHART_WHITE), label="white")
    coats = [MASSTONE_COATS] if which == "masstone" else UNDERTONE_COATS.tolist()
    shown = np.array(
        [predict_reflectance(Layering(ground, (Film(((paint, 1.0),), each),))) for each in coats]
    )
    chosen = shown[int(np.argmax(chroma_of(lab_of(shown))))]
    return target_of_reflectance(chosen, lights=lights, observer=observer, label=f"{which} of {paint.label}")


def _of_layering(written: str, find_paint: FindPaint, lights: tuple[str, ...], observer: int) -> Target:
    try:
        data: Any = json.loads(written)
    except json.JSONDecodeError as error:
        raise InputError(
            "colour", written, "a layering as JSON", f"Line {error.lineno}: {error.msg}."
        ) from None
    layering = build_layering(parse_model(LayeringRequest, data, field="colour"), find_paint)
    return target_of_reflectance(
        predict_reflectance(layering), lights=lights, observer=observer, label="the layering given"
    )
