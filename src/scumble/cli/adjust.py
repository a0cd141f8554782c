"""``scumble adjust``: what to add to a batch that came out wrong."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.options import FaceOption, GroundOption
from scumble.cli.terminal import JsonOption, ShelfOption, load_json_argument, progress_line, say_json


def adjust(
    colour: Annotated[str, typer.Argument(help="The wanted colour, in quotes, as scumble match takes it.")],
    batch: Annotated[
        list[str], typer.Option("--batch", "-b", help="Tube in it as NAME=PARTS, or NAME where not known.")
    ],
    read: Annotated[str, typer.Option("--read", help="The colour the batch was read at, in quotes.")] = "",
    ground: GroundOption = "white",
    face: FaceOption = "gloss",
    light: Annotated[str, typer.Option("--light", help="Light.")] = "D65",
    exclude: Annotated[list[str] | None, typer.Option("--exclude", help="What must not be added.")] = None,
    batch_ml: Annotated[
        float | None, typer.Option("--ml", help="How much of the batch there is, ml.")
    ] = None,
    count: Annotated[int, typer.Option("--count", "-n", help="Answers wanted.")] = 5,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Say what to add to a batch that was mixed, painted and read; nothing can be taken out."""
    from scumble.jobs.match.adjust import AdjustRequest, adjust_from_shelf, say_adjusted

    under = load_json_argument(ground, field="ground") if ground.startswith(("{", "@")) else ground
    request = AdjustRequest(
        colour, tuple(batch), read, under, face, light, tuple(exclude or ()), batch_ml, count
    )
    with progress_line(quiet=json) as progress:
        found = adjust_from_shelf(request, shelf, progress=progress)
    if json:
        say_json(found.as_data())
    else:
        typer.echo("\n".join(say_adjusted(found)))
