"""``scumble shelf``: what is on the shelf."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, say_json


def shelf(
    find: Annotated[str, typer.Argument(help="Words to find paints by, e.g. 'transparent blue'.")] = "",
    order: Annotated[str, typer.Option(help="hue, opacity, strength or name.")] = "hue",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """List the paints on the shelf."""
    from scumble.jobs.list_shelf import list_shelf

    rows = list_shelf(shelf, order=order, find=find)
    if json:
        say_json(rows)
        return
    for row in rows:
        pigments = " ".join(row["pigments"])
        typer.echo(f"{row['key']:<34} {row['mark']:<18} {pigments:<16} {row['provenance']}")
    if not rows:
        typer.echo("Nothing on the shelf answers to that.")
