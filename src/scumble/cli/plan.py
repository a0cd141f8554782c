"""``scumble plan``: a painting planned from a picture, pass by pass."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json


def plan(
    picture: Annotated[Path, typer.Argument(help="The picture to paint from.")],
    manner: Annotated[
        str,
        typer.Option("--manner", "-m", help="transparent, grisaille, underpainted, blocked or opaque."),
    ] = "underpainted",
    count: Annotated[int, typer.Option("--areas", help="Colour areas, 2 to 40.")] = 12,
    ground: Annotated[
        str, typer.Option("--ground", "-g", help="Sheet, flat colour, ground on the shelf, or '#b08d57'.")
    ] = "white",
    imprimatura: Annotated[
        str, typer.Option("--imprimatura", help="Tube that tones the ground in a thin wash.")
    ] = "",
    only: Annotated[list[str] | None, typer.Option("--only", help="Tube to use; may be repeated.")] = None,
    exclude: Annotated[
        list[str] | None,
        typer.Option("--exclude", help="Paint, Colour Index name, label word or caution family."),
    ] = None,
    lightfastness: Annotated[
        str, typer.Option("--lightfastness", help="Least rating, as 'ASTM II' or 'Blue Wool 7'.")
    ] = "",
    unrated: Annotated[str, typer.Option("--unrated", help="Tubes that nobody rated: out or in.")] = "in",
    width: Annotated[
        float | None, typer.Option("--width", help="Of the painting in cm; amounts follow from it.")
    ] = None,
    tubes: Annotated[int, typer.Option("--tubes", help="Most tubes in an opaque mixture, 1 to 3.")] = 3,
    glazes: Annotated[int, typer.Option("--glazes", help="Most glazes one over the other, 1 to 3.")] = 2,
    per_pass: Annotated[float, typer.Option("--per-pass", help="Price of a pass, dE00.")] = 0.3,
    per_mixture: Annotated[float, typer.Option("--per-mixture", help="Price of a mixture, dE00.")] = 0.1,
    face: Annotated[str, typer.Option("--face", help="gloss, satin, matte or varnished.")] = "gloss",
    binder: Annotated[str, typer.Option("--binder", help="acrylic, oil or gum.")] = "",
    seed: Annotated[int, typer.Option("--seed", help="Of the division into areas.")] = 1,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", help="Folder for the pictures of the passes and the easel sheet."),
    ] = None,
    page: Annotated[str, typer.Option("--page", help="Paper of the easel sheet.")] = "A4",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Plan a painting from a picture: areas, passes with mixtures, waits, and what comes out."""
    from scumble.jobs.plan.data import plan_as_data
    from scumble.jobs.plan.files import write_plan
    from scumble.jobs.plan.plan_picture import plan_from_shelf
    from scumble.jobs.plan.request import PlanRequest
    from scumble.jobs.plan.words import say_plan

    request = PlanRequest(
        manner,
        count,
        ground,
        imprimatura,
        tuple(only or ()),
        tuple(exclude or ()),
        lightfastness,
        unrated,
        width,
        tubes,
        glazes,
        per_pass,
        per_mixture,
        face,
        binder,
        seed,
    )
    with progress_line(quiet=json) as progress:
        found = plan_from_shelf(request, picture, shelf, progress=progress)
        chosen = found.plan()
        files = write_plan(found, chosen, out, page=page) if out is not None else ()
    if json:
        say_json({**plan_as_data(found, chosen), "files": [str(file) for file in files]})
    else:
        typer.echo("\n".join([*say_plan(found, chosen), *(f"Wrote {file}." for file in files)]))
