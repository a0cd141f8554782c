"""Adjust a batch that was mixed, painted and read: what to add, and nothing can be taken out."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.layering_request import FindPaint
from scumble.jobs.match.match_colour import find_face, find_ground
from scumble.jobs.match.target import parse_target
from scumble.jobs.paint_names import paints_by_name
from scumble.paint import Paint
from scumble.paint.caution import pigment_cautions
from scumble.solve.adjust import Addition, Batch, estimate_batch, find_additions
from scumble.solve.recipe.answer import Wishes
from scumble.solve.recipe.find import usable_tubes

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

CLOSE = 1.0
"""dE00 below which a batch is left as it is. *Scumble's own.*"""

EXPLAINS = 3.0
"""dE00 to which named tubes must be able to give the read colour, for their amounts to be believed."""


@dataclass(frozen=True, slots=True)
class AdjustRequest:
    """What is asked for.

    Parameters
    ----------
    colour : str
        The wanted colour, as a match takes it.
    batch : tuple of str
        ``NAME=PARTS`` of each tube in it, or ``NAME`` alone where amounts are not known.
    read : str
        The colour the batch was read at, as a match takes it; empty where it was not.
    ground : object
        What it was and will be painted over.
    face : str
        Finish.
    light : str
        That both colours are seen under.
    exclude : tuple of str
        What must not be added.
    batch_ml : float [ml], optional
        How much of the batch there is; then additions are told in millilitres too.
    count : int
        Answers wanted.
    """

    colour: str
    batch: tuple[str, ...]
    read: str = ""
    ground: object = "white"
    face: str = "gloss"
    light: str = "D65"
    exclude: tuple[str, ...] = ()
    batch_ml: float | None = None
    count: int = 5


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One answer.

    Parameters
    ----------
    added : dict of str to float
        Parts to ten parts of the batch, by short name.
    words : str
        The same as a person says it.
    colour : str
        Screen colour of the whole.
    difference, within : float [dE00]
        To the wanted colour, and how sure that is.
    growth : float [1]
        Volume added for each of the batch.
    """

    added: dict[str, float]
    words: str
    colour: str
    difference: float
    within: float
    growth: float


@dataclass(frozen=True, slots=True)
class Adjusted:
    """What to do about a batch.

    Parameters
    ----------
    wanted, batch : str
        Screen colours.
    before : float [dE00]
        What the batch misses by.
    estimated : dict of str to float
        Parts in ten of its tubes where they were worked out from its colour.
    words : str
        A sentence on where it stands.
    answers : tuple of Adjustment
        Best first.
    cautions : tuple of str
    """

    wanted: str
    batch: str
    before: float
    estimated: dict[str, float]
    words: str
    answers: tuple[Adjustment, ...]
    cautions: tuple[str, ...]

    def as_data(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        return asdict(self)


def adjust_from_shelf(
    request: AdjustRequest, shelf: Path | None, *, progress: Progress | None = None
) -> Adjusted:
    """Adjust with the tubes of a shelf's file."""
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes = opened.load_paints()
    return adjust_batch(request, tubes, progress=progress)


def adjust_batch(
    request: AdjustRequest, tubes: Sequence[Paint], *, progress: Progress | None = None
) -> Adjusted:
    """Find what to add to a batch.

    Raises
    ------
    InputError
        If a tube, a colour or an amount cannot be used.
    """
    tell = progress or (lambda _words, _share: None)
    find_paint = paints_by_name(tubes)
    if request.batch_ml is not None and not 0.0 < request.batch_ml <= 1e6:
        raise InputError("batch ml", f"{request.batch_ml:g}", "millilitres above 0")
    target = parse_target(request.colour, find_paint, lights=(request.light,))
    read = parse_target(request.read, find_paint, lights=(request.light,)).lab if request.read else None
    batch = _parse_batch(request.batch, find_paint, read)
    ground, estimated, note = find_ground(request.ground), {}, ""
    if not batch.amounts_known:
        tell("working out what is in the batch", 0.1)
        batch, misses = estimate_batch(batch, ground, light=request.light)
        estimated = {paint.key: round(part, 2) for paint, part in batch.parts}
        if misses > EXPLAINS:
            note = (
                f" The tubes named come no nearer the read colour than dE00 {misses:.1f}: something else is in the "
                "batch, or it was read thin or wet."
            )
    tell("trying additions", 0.3)
    allowed = usable_tubes(tubes, Wishes(excluded=frozenset(request.exclude)), batch.parts[0][0].binder)
    found = find_additions(batch, target, allowed, ground, face=find_face(request.face), count=request.count)
    before = found[0].before if found else _miss(batch, target.lab)
    answers = tuple(_answer(each, request.batch_ml) for each in found)
    shown = read if read is not None else target.lab
    names = (name for each in found for paint, _ in each.added for name in paint.pigments)
    return Adjusted(
        _hex(target.lab, request.light),
        _hex(shown, request.light) if read is not None else "",
        round(before, 2),
        estimated,
        _say(before, answers) + note,
        answers,
        pigment_cautions(dict.fromkeys(names)),
    )


def _parse_batch(written: Sequence[str], find_paint: FindPaint, read: Floats | None) -> Batch:
    if not written:
        raise InputError("batch", "nothing", "the tubes in it, as NAME=PARTS or NAME")
    parts, known = [], []
    for each in written:
        found = re.fullmatch(r"\s*([^=\s]+)\s*(?:=\s*(\d+\.?\d*|\.\d+)\s*)?", each)
        if found is None:
            raise InputError("batch", each, "NAME=PARTS or NAME, as titanium-white=3")
        amount = 1.0 if found[2] is None else float(found[2])
        if amount <= 0.0:
            raise InputError("batch", each, "parts above 0")
        parts.append((find_paint(found[1]), amount))
        known.append(found[2] is not None)
    if any(known) and not all(known):
        raise InputError("batch", ", ".join(written), "amounts of all tubes or of none")
    if not all(known) and read is None:
        raise InputError("batch", ", ".join(written), "amounts, or the colour it was read at")
    return Batch(tuple(parts), read, amounts_known=all(known))


def _miss(batch: Batch, wanted: Floats) -> float:
    from scumble.colour import delta_e_2000

    return 0.0 if batch.read_lab is None else float(delta_e_2000(wanted, batch.read_lab))


def _answer(addition: Addition, batch_ml: float | None) -> Adjustment:
    each = [
        f"{part:g} {'part' if part == 1.0 else 'parts'} {paint.label}"
        + (f" ({part * batch_ml / 10.0:.2g} ml)" if batch_ml is not None else "")
        for paint, part in addition.added
    ]
    return Adjustment(
        {paint.key: round(part, 4) for paint, part in addition.added},
        f"To 10 parts of the batch add {' and '.join(each)}",
        write_colour(addition.look.srgb),
        round(addition.difference, 2),
        round(addition.look.interval_de00, 2),
        round(addition.growth, 4),
    )


def _say(before: float, answers: tuple[Adjustment, ...]) -> str:
    if before <= CLOSE:
        return f"The batch is within dE00 {before:.1f} of the wanted colour: leave it as it is."
    if not answers:
        return (
            f"The batch misses by dE00 {before:.1f}, and nothing on the shelf brings it nearer: mix it anew."
        )
    best = answers[0]
    if best.difference > 3.0:
        return (
            f"The batch misses by dE00 {before:.1f}; additions alone come no nearer than dE00 {best.difference:.1f}, "
            "since nothing can be taken out: a new mixture may do better."
        )
    return f"The batch misses by dE00 {before:.1f}; the first answer brings it within dE00 {best.difference:.1f}."


def _hex(lab: Floats, light: str) -> str:
    rgb, _ = xyz_to_srgb(lab_to_xyz(lab, white_point(light, 2)), light=light, observer=2)
    return write_colour(rgb)


def say_adjusted(found: Adjusted) -> list[str]:
    """The answer in lines."""
    lines = [found.words]
    if found.estimated:
        parts = ", ".join(f"{part:g} {key}" for key, part in found.estimated.items())
        lines.append(f"By its colour the batch holds, in ten parts: {parts}.")
    for number, each in enumerate(found.answers, 1):
        lines.append(f"  {number}. {each.words}")
        lines.append(f"     dE00 {each.difference:.1f}; the batch grows by {each.growth:.0%}.")
    if found.answers:
        lines.append("Add half of it first, stir, paint a dab, let it dry and look.")
    if found.cautions:
        lines += ["", "Take care", *(f"  {caution}" for caution in found.cautions)]
        lines.append("  The safety data sheet and local rules come before this list.")
    return lines
