"""A supply list and its class sheet, from a shelf's file to a file on disk."""

from __future__ import annotations

from pathlib import Path

from scumble.jobs.charts.print_chart import save_chart
from scumble.jobs.files import shelf_path
from scumble.jobs.match.print_supply import print_supply
from scumble.jobs.match.supply import Progress, SupplyRequest, plan_supply
from scumble.jobs.match.supply_plan import SupplyPlan
from scumble.jobs.match.wanted_colours import choose_wanted, load_lines


def supply_from_shelf(
    request: SupplyRequest,
    shelf: Path | None,
    *,
    picture: Path | None = None,
    colours: Path | None = None,
    most: int = 60,
    progress: Progress | None = None,
) -> SupplyPlan:
    """Choose tubes of a shelf; see :func:`scumble.jobs.match.supply.plan_supply`."""
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes, facts = opened.load_paints(), opened.tubes.load_all()
    wanted = choose_wanted(tubes, picture=picture, lines=load_lines(colours), count=most)
    return plan_supply(request, wanted, tubes, facts, progress=progress)


def write_sheet(plan: SupplyPlan, out: Path, *, page: str = "A4") -> tuple[Path, ...]:
    """Write the class sheet of a plan."""
    return save_chart(print_supply(plan, page=page), out)
