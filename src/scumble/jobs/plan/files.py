"""A plan's files: a picture after every pass, the map of areas, the map of misses, the easel sheet."""

from __future__ import annotations

from pathlib import Path

from scumble.errors import InputError
from scumble.jobs.charts.print_chart import chart_pdf
from scumble.jobs.files import write_whole
from scumble.jobs.plan.easel_sheet import print_easel_sheet
from scumble.jobs.plan.found import PlanFound
from scumble.solve.plan.value import Plan


def write_plan(found: PlanFound, plan: Plan, folder: Path, *, page: str = "A4") -> tuple[Path, ...]:
    """Write them into a folder, which is made where it is missing.

    Raises
    ------
    InputError
        If the folder cannot be written, or the sheet does not fit the paper.
    """
    sheet = chart_pdf(print_easel_sheet(found, plan, page=page))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError("out", str(folder), "a folder that can be written", error.strerror or "") from None
    names = ["wanted", "areas", *(f"pass-{number}" for number in range(1, len(plan.passes) + 1)), "misses"]
    files = []
    for name in names:
        file = folder / f"{name}.png"
        write_whole(file, found.picture(name, plan.manner.value))
        files.append(file)
    write_whole(folder / "easel-sheet.pdf", sheet)
    return (*files, folder / "easel-sheet.pdf")
