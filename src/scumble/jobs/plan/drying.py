"""How long passes wait for each other, and what lies fat over lean. *Common practice, no source*, throughout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scumble.paint import Binder
from scumble.solve.plan.layers import Role
from scumble.solve.plan.value import Plan, PlannedPass

HOUR, DAY = 1.0, 24.0

THIN = {Binder.ACRYLIC: (0.3, 0.5), Binder.OIL: (2 * DAY, 5 * DAY), Binder.GUM: (0.3, 0.5)}
FULL = {Binder.ACRYLIC: (0.5, 1.5), Binder.OIL: (3 * DAY, 7 * DAY), Binder.GUM: (0.3, 1.0)}
"""Hours, from and to, until a thin and until a full film can be painted over. *Common practice, no source.*"""

SAYS_WHEN = {
    Binder.ACRYLIC: "until it is dry to the touch and no longer cool",
    Binder.OIL: "until a finger leaves no mark; earth colours sooner, some reds and blacks much later",
    Binder.GUM: "until the shine has gone; then lay the next film in one stroke, for it takes up what lies below",
}

THINNER = {Binder.ACRYLIC: "water", Binder.OIL: "solvent", Binder.GUM: "water"}
"""What a wash is thinned with."""


@dataclass(frozen=True, slots=True)
class Wait:
    """A time to leave the painting alone.

    Parameters
    ----------
    from_h, to_h : float [h]
        About.
    words : str
        The same, and until when.
    """

    from_h: float
    to_h: float
    words: str


def wait_after(one: PlannedPass, binder: Binder, *, is_last: bool) -> Wait | None:
    """How long a pass takes to dry, its own coats included; None after a last pass of one coat."""
    coats = max(each.most_coats for each in one.brushed)
    table = FULL if any(each.role.is_opaque for each in one.brushed) else THIN
    times = max(round(coats), 1) - (1 if is_last else 0)
    if times < 1:
        return None
    low, high = (times * hours for hours in table[binder])
    between = "between its coats" if is_last else "between its coats and after" if coats > 1 else "after it"
    return Wait(low, high, f"{say_hours(low, high)} {between}, {SAYS_WHEN[binder]}")


def waits_of(plan: Plan) -> tuple[Wait | None, ...]:
    """The wait of every pass."""
    return tuple(
        wait_after(one, plan.binder, is_last=number == len(plan.passes))
        for number, one in enumerate(plan.passes, 1)
    )


def say_hours(low: float, high: float) -> str:
    """A span of time in the unit that a person would use.

    Examples
    --------
    >>> say_hours(0.3, 0.5), say_hours(0.5, 1.5), say_hours(72.0, 168.0), say_hours(0.0, 0.0)
    ('20 to 30 minutes', '30 to 90 minutes', '3 to 7 days', 'no wait')
    """
    if high <= 0.0:
        return "no wait"
    if high <= 2.0:
        first, last = (round(60.0 * each / 10.0) * 10 for each in (low, high))
        return f"{first} to {last} minutes"
    unit, name = (DAY, "days") if high > 48.0 else (HOUR, "hours")
    return f"{low / unit:.0f} to {high / unit:.0f} {name}"


def fat_over_lean(plan: Plan) -> tuple[str, ...]:
    """What an oil painter has to heed: no film leaner than the one it lies on, by the medium stirred into it."""
    if plan.binder is not Binder.OIL:
        return ()
    letters = {mixture: letter for letter, mixture in plan.mixtures}
    wrong: dict[tuple[str, str], list[int]] = {}
    for area in plan.areas:
        for below, above in zip(area.stack, area.stack[1:], strict=False):
            if (
                _fat(above.mixture.parts, above.mixture.medium)
                < _fat(below.mixture.parts, below.mixture.medium) - 0.01
            ):
                wrong.setdefault((letters[above.mixture], letters[below.mixture]), []).append(area.number)
    said = [
        f"{above} is leaner than {below}, which it lies on (areas {', '.join(map(str, numbers))}): "
        "stir in as much medium, which is clear, and lay it that much thicker, or give what is below longer to dry."
        for (above, below), numbers in wrong.items()
    ]
    wash = any(layer.role is Role.IMPRIMATURA for area in plan.areas for layer in area.stack)
    return (
        *(["Thin the imprimatura with solvent and not with medium, so that it stays lean."] if wash else []),
        *said,
        *(() if said else ("Fat over lean holds: no film has less medium than the one below it.",)),
    )


def _fat(parts: Sequence[tuple[int, float]], medium: float) -> float:
    return medium / (medium + sum(part for _, part in parts))
