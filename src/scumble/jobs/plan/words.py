"""A plan in lines and sentences: what is stirred, what is brushed where, what it comes to beside the other manners."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from scumble.colour import lab_to_xyz, name_colour, white_point
from scumble.jobs.plan.amounts import Amounts, amounts_of, say_amount
from scumble.jobs.plan.drying import THINNER, Wait, fat_over_lean, say_hours, waits_of
from scumble.jobs.plan.found import REACHED, Error, PlanFound
from scumble.jobs.plan.plan_picture import TITLES
from scumble.paint import Binder
from scumble.paint.caution import pigment_cautions
from scumble.solve.plan.layers import Mixture, Role
from scumble.solve.plan.value import Brushed, Plan, PlannedArea, PlannedPass
from scumble.solve.plan.wishes import Manner
from scumble.solve.recipe.rounding import say_parts
from scumble.solve.recipe.words import STEADY, TOUCHY

SAYS = {
    Manner.TRANSPARENT: "clear films straight on the ground, which is the only white",
    Manner.GRISAILLE: "a tonal painting in one dark and white, all colour in glazes over it",
    Manner.UNDERPAINTED: "opaque colour as an underpainting, glazes over it where they bring the colour nearer",
    Manner.BLOCKED: "opaque colour everywhere, a glaze over it where the price of a pass is earned",
    Manner.OPAQUE: "every area covered by one mixture that hides what lies below",
}
"""Each manner in a line."""

LAY_IN = {
    Manner.GRISAILLE: "Grisaille",
    Manner.UNDERPAINTED: "Underpainting",
    Manner.BLOCKED: "Block-in",
    Manner.OPAQUE: "Opaque colour",
}

CARE = "The safety data sheet of each tube and local rules come before any plan."


def title_of(plan: Plan, one: PlannedPass) -> str:
    """What a pass is called."""
    if one.name == "imprimatura":
        return "Imprimatura"
    if one.name == "lay-in":
        return LAY_IN.get(plan.manner, "Lay-in")
    veils = [each.role is Role.SCUMBLE for each in one.brushed]
    kind = "scumble" if all(veils) else "glaze and scumble" if any(veils) else "glaze"
    glazes = [each.name for each in plan.passes if each.name.startswith("glaze")]
    if len(glazes) == 1:
        return kind.capitalize()
    return f"{('First', 'Second', 'Third')[glazes.index(one.name)]} {kind}"


def say_mixture(plan: Plan, mixture: Mixture) -> str:
    """What is stirred together, in parts."""
    things = [(plan.tubes[place].label, part) for place, part in mixture.parts]
    if mixture.medium:
        things.append(("medium", mixture.medium))
    if mixture.thinner:
        things.append((THINNER[plan.binder], mixture.thinner))
    if len(things) == 1:
        return f"{things[0][0]} as it is"
    words = say_parts(tuple(part for _, part in things))
    return ", ".join(f"{part} {label}" for part, (label, _) in zip(words, things, strict=True))


def say_where(each: Brushed, *, most: int = 99) -> str:
    """On which areas a mixture is brushed, and in how many coats where that is not one.

    Examples
    --------
    >>> say_where(Brushed("A", Mixture(((0, 1.0),)), Role.GLAZE, ((1, 1.0), (4, 2.0), (5, 2.0))))
    'area 1 in one coat, areas 4, 5 in two coats'
    """
    if each.role is Role.IMPRIMATURA:
        return "the whole of it"
    if len({coats for _, coats in each.areas}) == 1:
        coats = each.areas[0][1]
        how = "" if coats == 1 else f" in {_count(coats)}"
        return f"{_numbers([number for number, _ in each.areas], most)}{how}"
    said = []
    for coats in sorted({coats for _, coats in each.areas}):
        own = [number for number, other in each.areas if other == coats]
        said.append(f"{_numbers(own, most)} in {_count(coats)}")
    return ", ".join(said)


def _numbers(numbers: list[int], most: int) -> str:
    shown = ", ".join(map(str, numbers[:most])) + (
        f" and {len(numbers) - most} more" if len(numbers) > most else ""
    )
    return f"area{'s' * (len(numbers) != 1)} {shown}"


def _count(coats: float) -> str:
    words = {1.0: "one coat", 2.0: "two coats", 3.0: "three coats", 4.0: "four coats"}
    return words.get(float(coats), f"{coats:g} coats")


def name_of(area: PlannedArea) -> str:
    """An area's wanted colour in plain words."""
    return name_colour(lab_to_xyz(area.lab, white_point("D65", 2)).clip(0.0))


def say_hand(unevenness: float) -> str:
    """How even a hand a pass wants.

    Examples
    --------
    >>> say_hand(0.4), say_hand(4.21)
    ('forgives an uneven hand', 'wants an even hand: dE00 4.2 for a fifth more or less')
    """
    if unevenness < STEADY:
        return "forgives an uneven hand"
    if unevenness < TOUCHY:
        return f"shows uneven films a little: dE00 {unevenness:.1f} for a fifth more or less"
    return f"wants an even hand: dE00 {unevenness:.1f} for a fifth more or less"


def bare_areas(plan: Plan) -> list[int]:
    """Numbers of areas where the ground, or the imprimatura, is left showing."""
    return [area.number for area in plan.areas if all(layer.role is Role.IMPRIMATURA for layer in area.stack)]


def say_bare(plan: Plan) -> str:
    """Where the ground is left showing; empty where it is nowhere."""
    bare = bare_areas(plan)
    if not bare:
        return ""
    what = "imprimatura" if any(one.name == "imprimatura" for one in plan.passes) else "ground"
    return f"The {what} is left showing in {_numbers(bare, 99)}."


def say_same(found: PlanFound, plan: Plan) -> str:
    """That a plan comes to the same as the one in the next manner, where it does."""
    opaque = found.plans.get(Manner.OPAQUE)
    if plan.manner is not Manner.BLOCKED or opaque is None:
        return ""
    if [area.stack for area in plan.areas] != [area.stack for area in opaque.areas]:
        return ""
    return "No glaze is worth its pass here: it comes to the same as all opaque."


def cautions_of(plan: Plan) -> tuple[str, ...]:
    """What to be careful with: pigments, solvent, fat over lean, what a glaze cannot undo."""
    said = list(pigment_cautions(dict.fromkeys(name for paint in plan.used for name in paint.pigments)))
    if plan.binder is Binder.OIL:
        said.append(
            "Solvents: work with the window open, keep rags that hold oil in water or a closed tin, as they can "
            "heat up by themselves (common practice, no source)."
        )
    return (*said, *fat_over_lean(plan))


def is_illustrative(plan: Plan) -> bool:
    """Whether a tube among those used was argued and not measured."""
    return any("illustrative" in paint.provenance.value for paint in plan.used)


# Beside the other manners

COMPARED: tuple[tuple[str, Callable[[Plan, Error], str]], ...] = (
    ("off the picture on average, dE00", lambda _, error: f"{error.mean:.1f}"),
    ("19 points in 20 within, dE00", lambda _, error: f"{error.high:.1f}"),
    (f"areas within dE00 {REACHED:g}", lambda plan, error: f"{error.reached} of {len(plan.areas)}"),
    ("brightness, L*", lambda plan, _: f"{_mean(plan, 0):.0f}"),
    ("chroma, C*", lambda plan, _: f"{_mean(plan, 1):.0f}"),
    ("tubes", lambda plan, _: str(len(plan.used))),
    ("mixtures to stir", lambda plan, _: str(stirred(plan))),
    ("passes", lambda plan, _: str(len(plan.passes))),
    ("coats where it takes most", lambda plan, _: f"{most_coats(plan):g}"),
    ("waits for drying", lambda plan, _: say_hours(*whole_wait(plan))),
    ("a fifth more or less, dE00", lambda plan, _: f"{_mean(plan, 2):.1f}"),
    ("predicted within, dE00", lambda _, error: f"{error.interval:.1f}"),
)
"""What manners are compared by, and how each number is written."""


def compare_manners(found: PlanFound) -> tuple[tuple[str, ...], ...]:
    """Rows of words: what is compared, and the figure of each manner; the first row is the head."""
    plans = list(found.plans.values())
    head = ("", *(TITLES[plan.manner] for plan in plans))
    return (
        head,
        *((words, *(write(plan, found.error(plan)) for plan in plans)) for words, write in COMPARED),
    )


def stirred(plan: Plan) -> int:
    """Mixtures for which something must be stirred together."""
    return sum(
        len(mixture.parts) + (mixture.medium > 0.0) + (mixture.thinner > 0.0) > 1
        for _, mixture in plan.mixtures
    )


def most_coats(plan: Plan) -> float:
    """Coats on the area that takes most."""
    return max((sum(layer.coats for layer in area.stack) for area in plan.areas), default=0.0)


def whole_wait(plan: Plan) -> tuple[float, float]:
    """Hours of waiting from the first brush to the last, from and to."""
    waits = [each for each in waits_of(plan) if each is not None]
    return sum(each.from_h for each in waits), sum(each.to_h for each in waits)


def _mean(plan: Plan, which: int) -> float:
    """Mean over the picture of brightness, of chroma, of unevenness."""
    shares = np.array([area.share for area in plan.areas])
    each = [
        (area.look.lab[0], float(np.hypot(*area.look.lab[1:])), area.unevenness)[which] for area in plan.areas
    ]
    return float(shares @ np.array(each) / shares.sum())


# In lines


def say_error(found: PlanFound, plan: Plan) -> tuple[str, ...]:
    """How near the finished picture comes, and what it owes to what."""
    error = found.error(plan)
    return (
        f"The finished picture is off its reference by dE00 {error.mean:.1f} on average, 95 % of it within "
        f"{error.high:.1f}.",
        f"Painting in {len(plan.areas)} flat colours alone costs {error.reducing_mean:.1f} of that; the colours "
        f"themselves are met within {error.paints_mean:.1f} on average, {error.reached} of {len(plan.areas)} within "
        f"{REACHED:g}.",
    )


def say_plan(found: PlanFound, plan: Plan) -> list[str]:
    """A plan in lines for a terminal."""
    amounts = amounts_of(plan, found.facts, width_cm=found.request.width_cm, aspect=found.reference.aspect)
    lines = [
        f"{found.reference.name}, {TITLES[plan.manner]}, on {plan.ground.label}.",
        *say_error(found, plan),
    ]
    lines += [*filter(None, (say_bare(plan), say_same(found, plan))), *found.changed]
    for number, (one, wait) in enumerate(zip(plan.passes, waits_of(plan), strict=True), 1):
        lines += ["", *_say_pass(plan, number, one, wait, amounts)]
    far = [area for area in plan.areas if area.shortfall]
    if far:
        lines += ["", "What is missed, and why"]
        lines += [f"  area {area.number} ({name_of(area)}): {area.shortfall}" for area in far]
    if amounts.by_tube:
        lines += ["", "Paint"]
        lines += [
            f"  {each.name}: {say_amount(each.ml)}"
            + (f", {each.strand_cm:.0f} cm of strand" if each.key and each.strand_cm >= 1.0 else "")
            for each in amounts.by_tube
        ]
    lines += ["", *amounts.notes, "", "Beside the other manners", *_say_table(compare_manners(found))]
    cautions = cautions_of(plan)
    lines += ["", "Take care", *(f"  {caution}" for caution in (*cautions, CARE))]
    if is_illustrative(plan):
        lines += [
            "",
            "Illustrative paints are argued, not measured: paint a sample card of a tube to know it.",
        ]
    return lines


def _say_pass(plan: Plan, number: int, one: PlannedPass, wait: Wait | None, amounts: Amounts) -> list[str]:
    lines = [f"{number}. {title_of(plan, one)}: {say_hand(one.unevenness)}"]
    for each in one.brushed:
        ml = amounts.by_mixture.get(each.letter)
        much = f" ({say_amount(ml)} in all)" if ml is not None else ""
        lines.append(f"   {each.letter}  {say_mixture(plan, each.mixture)}: {say_where(each)}{much}")
    if wait is not None:
        lines.append(f"   Wait {wait.words} (common practice, no source).")
    return lines


def _say_table(rows: tuple[tuple[str, ...], ...]) -> list[str]:
    """Manners as columns would be too wide for a terminal: one block a figure."""
    heads = rows[0][1:]
    wide = max(map(len, heads))
    lines = []
    for row in rows[1:]:
        lines.append(f"  {row[0]}")
        lines += [f"    {head:<{wide}}  {cell}" for head, cell in zip(heads, row[1:], strict=True)]
    return lines
