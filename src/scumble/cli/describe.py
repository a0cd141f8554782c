"""``scumble describe``: how a paint behaves."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, say_json


def describe(
    paint: Annotated[str, typer.Argument(help="The paint's short name on the shelf.")],
    against: Annotated[
        str, typer.Option(help="Compare its strength in white with this paint, by equal depth of shade.")
    ] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Say how a paint behaves: covering, undertone, with white, over black, and how far a tube goes."""
    from scumble.jobs.tube.describe import describe_paint

    told = describe_paint(paint, shelf, against=against)
    if json:
        say_json(told)
        return
    typer.echo(
        f"{told['label']} ({', '.join(told['pigments']) or 'pigment not given'}), {told['provenance']}"
    )
    for sentence in (*told["sentences"], *told["status"]):
        typer.echo(f"  {sentence}")
