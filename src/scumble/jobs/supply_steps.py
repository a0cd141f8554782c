"""A supply list and its class sheet, from a shelf's file to a file on disk."""

from __future__ import annotations

from pathlib import Path

from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.print_chart import save_chart
from scumble.jobs.print_supply import print_supply
from scumble.jobs.supply import Progress, SupplyRequest, plan_supply
from scumble.jobs.supply_plan import SupplyPlan
from scumble.jobs.wanted_colours import Wanted, all_round, wanted_of_list, wanted_of_picture
from scumble.paint import Paint


def supply_from_shelf(
    request: SupplyRequest,
    shelf: Path | None,
    *,
    picture: Path | None = None,
    colours: Path | None = None,
    most: int = 60,
    progress: Progress | None = None,
) -> SupplyPlan:
    """Choose tubes of a shelf; see :func:`scumble.jobs.supply.plan_supply`."""
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes, facts = opened.load_paints(), opened.tubes.load_all()
    wanted = choose_wanted(tubes, picture=picture, colours=colours, most=most)
    return plan_supply(request, wanted, tubes, facts, progress=progress)


def choose_wanted(
    tubes: tuple[Paint, ...], *, picture: Path | None = None, colours: Path | None = None, most: int = 60
) -> Wanted:
    """Wanted colours of a picture, of a list, or all round when neither is given.

    Raises
    ------
    InputError
        If both are given, or the list cannot be read.
    CardError
        If the picture cannot be read.
    """
    if picture is not None and colours is not None:
        raise InputError("colours", "a picture and a list", "one of the two")
    if picture is not None:
        return wanted_of_picture(picture, count=most)
    if colours is None:
        return all_round()
    by_key = {paint.key: paint for paint in tubes}

    def find_paint(name: str) -> Paint:
        if name not in by_key:
            raise InputError("paint", name, "the short name of a paint on the shelf", "See scumble shelf.")
        return by_key[name]

    try:
        lines = colours.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError("colours", str(colours), "a text file with one colour a line", str(error)) from None
    return wanted_of_list(lines, find_paint)


def write_sheet(plan: SupplyPlan, out: Path, *, page: str = "A4") -> tuple[Path, ...]:
    """Write the class sheet of a plan."""
    return save_chart(print_supply(plan, page=page), out)
