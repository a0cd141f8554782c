"""What a supply list says: the chosen tubes, what they reach, and the same in words."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

REACHED = 2.0
"""dE00 within which a wanted colour counts as reached. *Scumble's own.*"""


@dataclass(frozen=True, slots=True)
class SupplyTube:
    """One chosen tube.

    Parameters
    ----------
    key, label : str
    pigments : tuple of str
        Colour Index names.
    colours : tuple of str
        Screen colours of its masstone and of its film of half strength in white, or over white.
    share : float [1]
        Of all the paint used.
    volume_ml : float [ml]
        For all painters.
    tubes : int
        To buy; 0 where no size is known.
    cost : float, optional
        Of those tubes.
    lost : int
        Wanted colours no longer reached without it.
    miss_without : float [dE00]
        Mean miss without it.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    colours: tuple[str, ...]
    share: float
    volume_ml: float
    tubes: int
    cost: float | None
    lost: int
    miss_without: float


@dataclass(frozen=True, slots=True)
class SupplyColour:
    """One wanted colour by one route.

    Parameters
    ----------
    label, route : str
    wanted, found : str
        Screen colours.
    miss : float [dE00]
    tubes : tuple of str
        Labels of those that reach it nearest.
    """

    label: str
    route: str
    wanted: str
    found: str
    miss: float
    tubes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Other:
    """The choice with one tube less or more: what changes.

    Parameters
    ----------
    key, label : str
        The tube that goes or comes.
    reached : int
        Wanted colours reached then.
    miss : float [dE00]
        Mean miss then.
    """

    key: str
    label: str
    reached: int
    miss: float


@dataclass(frozen=True, slots=True)
class SupplyPlan:
    """The chosen tubes, what they reach, and what to buy.

    Parameters
    ----------
    source : str
        Where the wanted colours come from.
    tubes, colours : tuple
        See :class:`SupplyTube` and :class:`SupplyColour`.
    wanted, reached : int
        Colours, counted once a route, and those within :data:`REACHED`.
    miss : float [dE00]
        Mean, each no more than 20.
    is_proven : bool
        Whether no other choice of mixtures of up to three tubes or two glazes does better.
    one_less, one_more : Other or None
    set_cost, class_cost : float or None
        Of one tube of each, and of all that is to be bought.
    currency : str
    cautions, notes : tuple of str
    painters : int
    need : str
        For whom and for what it is bought, in a few words.
    """

    source: str
    tubes: tuple[SupplyTube, ...]
    colours: tuple[SupplyColour, ...]
    wanted: int
    reached: int
    miss: float
    is_proven: bool
    one_less: Other | None
    one_more: Other | None
    set_cost: float | None
    class_cost: float | None
    currency: str
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    painters: int
    need: str

    def as_data(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        return asdict(self)


def say_supply(plan: SupplyPlan) -> list[str]:
    """A plan in lines."""
    money = f" {plan.currency}"
    lines = [
        f"{len(plan.tubes)} tubes for {plan.source}: {plan.reached} of {plan.wanted} colours within dE00 {REACHED:g}, "
        f"the mean miss is {plan.miss:.1f}.",
        "No other choice does better with mixtures of up to three tubes and two glazes."
        if plan.is_proven
        else "Found by exchanging tubes until no exchange helped; a better choice is possible but not known.",
        "",
    ]
    for each in plan.tubes:
        cost = "" if each.cost is None else f", {each.tubes} x = {each.cost:.2f}{money}"
        lines.append(
            f"  {each.label} ({' + '.join(each.pigments) or 'pigment not given'}): {each.share:.0%} of the paint, "
            f"{each.volume_ml:.0f} ml{cost}; without it {each.lost} colours are lost."
        )
    if plan.set_cost is not None:
        lines += ["", f"One tube of each costs {plan.set_cost:.2f}{money}."]
    if plan.class_cost is not None:
        lines.append(f"For {plan.need}: {plan.class_cost:.2f}{money}.")
    if plan.one_less is not None:
        lines.append(
            f"One tube less (without {plan.one_less.label}): {plan.one_less.reached} reached, "
            f"mean miss {plan.one_less.miss:.1f}."
        )
    if plan.one_more is not None:
        lines.append(
            f"One tube more ({plan.one_more.label}): {plan.one_more.reached} reached, "
            f"mean miss {plan.one_more.miss:.1f}."
        )
    far = sorted((each for each in plan.colours if each.miss > REACHED), key=lambda each: -each.miss)[:8]
    if far:
        lines += ["", "Farthest from what was wanted"]
        lines += [f"  {each.label}, to {each.route}: dE00 {each.miss:.1f}" for each in far]
    lines += ["", *plan.notes] if plan.notes else []
    if plan.cautions:
        lines += ["", "Take care", *(f"  {caution}" for caution in plan.cautions)]
        lines.append("  The safety data sheet and local rules come before this list.")
    return lines
