"""``scumble substitute``: what stands in for a tube."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.options import ExcludeOption, LightfastnessOption, UnratedOption
from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json


def substitute(
    paint: Annotated[str, typer.Argument(help="The tube to do without: its short name or label.")],
    use: Annotated[str, typer.Option("--use", help="glazing, covering, tints or all.")] = "all",
    single: Annotated[bool, typer.Option("--single", help="Single tubes only, no blends.")] = False,
    exclude: ExcludeOption = None,
    lightfastness: LightfastnessOption = "",
    unrated: UnratedOption = "out",
    per_price: Annotated[
        float, typer.Option("--per-price", help="Price in dE00 of costing twice as much.")
    ] = 0.0,
    count: Annotated[int, typer.Option("--count", "-n", help="Stand-ins wanted.")] = 5,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Find the tube or two-tube blend that behaves most like a tube, and say what will differ."""
    from scumble.jobs.match.substitute import SubstituteRequest, say_substitutes, substitutes_from_shelf

    request = SubstituteRequest(
        paint, use, not single, tuple(exclude or ()), lightfastness, unrated, per_price, count
    )
    with progress_line(quiet=json) as progress:
        answer = substitutes_from_shelf(request, shelf, progress=progress)
    if json:
        say_json(answer.as_data())
    else:
        typer.echo("\n".join(say_substitutes(answer)))
