"""``scumble supply`` and ``scumble gaps``: what to buy for a set of colours, and what a shelf cannot reach."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.options import (
    ColoursOption,
    ExcludeOption,
    LightfastnessOption,
    MostOption,
    PictureOption,
    RouteOption,
    SheetOption,
    UnratedOption,
)
from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json


def supply(
    tubes: Annotated[int, typer.Option("--tubes", "-k", help="Tubes to choose, white included.")] = 8,
    picture: PictureOption = None,
    colours: ColoursOption = None,
    most: MostOption = 60,
    route: RouteOption = None,
    budget: Annotated[
        float | None, typer.Option("--budget", help="Most that one tube of each may cost together.")
    ] = None,
    must_have: Annotated[
        list[str] | None, typer.Option("--must-have", help="Tube that must be among them.")
    ] = None,
    exclude: ExcludeOption = None,
    lightfastness: LightfastnessOption = "",
    unrated: UnratedOption = "out",
    no_white: Annotated[bool, typer.Option("--no-white", help="No white need be among them.")] = False,
    ground: SheetOption = "white",
    painters: Annotated[int, typer.Option("--painters", help="For how many it is bought.")] = 12,
    ml_each: Annotated[float, typer.Option("--ml-each", help="Paint that each uses, ml.")] = 60.0,
    m2_each: Annotated[
        float | None, typer.Option("--m2-each", help="Area that each paints, m2, in place of millilitres.")
    ] = None,
    coats: Annotated[
        float | None, typer.Option("--coats", help="Coats of a covered colour; as many as hide if left out.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="Class sheet to write, .pdf or .svg.")
    ] = None,
    page: Annotated[str, typer.Option("--page", help="Size of the class sheet.")] = "A4",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Choose the tubes that reach a set of colours best: of a picture, a list, or all round."""
    from scumble.jobs.match.supply import ROUTES, SupplyRequest
    from scumble.jobs.match.supply_amounts import Need
    from scumble.jobs.match.supply_plan import say_supply
    from scumble.jobs.match.supply_steps import supply_from_shelf, write_sheet

    request = SupplyRequest(
        tubes,
        tuple(route or ROUTES),
        budget,
        tuple(must_have or ()),
        tuple(exclude or ()),
        lightfastness,
        unrated,
        ground,
        not no_white,
        Need(painters, ml_each, m2_each, coats),
    )
    with progress_line(quiet=json) as progress:
        plan = supply_from_shelf(
            request, shelf, picture=picture, colours=colours, most=most, progress=progress
        )
    files = write_sheet(plan, out, page=page) if out is not None else ()
    if json:
        say_json({**plan.as_data(), "files": [str(file) for file in files]})
    else:
        typer.echo("\n".join([*say_supply(plan), *(f"Wrote {file}." for file in files)]))


def gaps(
    picture: PictureOption = None,
    colours: ColoursOption = None,
    most: MostOption = 60,
    route: RouteOption = None,
    exclude: ExcludeOption = None,
    ground: SheetOption = "white",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Say what the shelf cannot reach, and which kind of tube would open most."""
    from scumble.jobs.match.gaps import gaps_of_shelf, say_gaps

    with progress_line(quiet=json) as progress:
        found = gaps_of_shelf(
            shelf,
            picture=picture,
            colours=colours,
            most=most,
            routes=tuple(route or ()),
            exclude=tuple(exclude or ()),
            ground=ground,
            progress=progress,
        )
    if json:
        say_json(found.as_data())
    else:
        typer.echo("\n".join(say_gaps(found)))
