"""``scumble read``: a painted card into the shelf."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json


def read(
    card: Annotated[Path, typer.Argument(help="Photograph, scan or readings file of one painted card.")],
    label: Annotated[str, typer.Option("--label", "-l", help="What you call the tube.")],
    pigment: Annotated[list[str] | None, typer.Option(help="Colour Index name; repeat for several.")] = None,
    binder: Annotated[str, typer.Option(help="acrylic, oil or gum.")] = "acrylic",
    white: Annotated[
        str | None, typer.Option(help="The white its tints were mixed with, by its short name.")
    ] = None,
    is_white: Annotated[bool, typer.Option("--is-white", help="This card is the white's own.")] = False,
    layout: Annotated[
        str, typer.Option(help="Instrument files: full, quick or white; found out if left out.")
    ] = "",
    place: Annotated[
        list[str] | None,
        typer.Option("--map", help="Instrument files: SAMPLE=AREA, by name or number; can be repeated."),
    ] = None,
    in_order: Annotated[
        bool, typer.Option("--in-order", help="Instrument files: the samples are the card's areas in order.")
    ] = False,
    condition: Annotated[
        str, typer.Option(help="Instrument files: M0, M1, M2 or M3, where a file holds several.")
    ] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Read a card, fit its paint and keep it on the shelf."""
    from scumble.jobs.instrument_card import SampleRequest
    from scumble.jobs.read_to_shelf import read_to_shelf

    with progress_line(quiet=json) as progress:
        report = read_to_shelf(
            card,
            shelf,
            label=label,
            pigments=tuple(pigment or ()),
            binder=binder,
            white_key=white,
            is_white=is_white,
            samples=SampleRequest(layout, tuple(place or ()), in_order, condition),
            progress=progress,
        )
    if json:
        say_json(report)
    else:
        typer.echo(f"{report['label']} is on the shelf as {report['key']}.")
        for sentence in report["status"]:
            typer.echo(f"  {sentence}")
