"""``scumble read``: a painted card into the shelf."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json
from scumble.errors import InputError


def read(
    card: Annotated[
        list[Path],
        typer.Argument(
            help="Photographs, a scan or a readings file of one painted card; of many cards with --each."
        ),
    ],
    label: Annotated[str, typer.Option("--label", "-l", help="What you call the tube.")] = "",
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
    marks: Annotated[
        Path | None, typer.Option(help="A chart of your own: JSON file of the boxes over its picture.")
    ] = None,
    each: Annotated[
        bool, typer.Option("--each", help="Every file is a card of its own, its tube named after the file.")
    ] = False,
    reference: Annotated[
        Path | None,
        typer.Option(
            help="CGATS.17 reference file of a colour target that lies in the picture beside the card."
        ),
    ] = None,
    target_corners: Annotated[
        str,
        typer.Option(
            help="Where the target lies, 'x,y x,y x,y x,y': its first patch, end of first row, last patch, start of"
            " last row; looked for if left out."
        ),
    ] = "",
    target_columns: Annotated[
        int | None, typer.Option(help="Patches in a row of the target, where they only have numbers.")
    ] = None,
    profile: Annotated[Path | None, typer.Option(help="ICC profile of the scanner or camera.")] = None,
    paper_xyz: Annotated[str, typer.Option(help="Measured X,Y,Z of the bare paper.")] = "",
    paper_lab: Annotated[str, typer.Option(help="Measured L*,a*,b* of the bare paper.")] = "",
    light: Annotated[str, typer.Option(help="Light these hold for: D50, D65, A or LED-B3.")] = "D50",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Read a card, fit its paint and keep it on the shelf."""
    if each:
        read_each(card, shelf=shelf, binder=binder, white=white, json=json)
        return
    from scumble.jobs.colour_request import ColourRequest
    from scumble.jobs.instrument_card import SampleRequest
    from scumble.jobs.read_to_shelf import read_to_shelf

    with progress_line(quiet=json) as progress:
        report = read_to_shelf(
            card[0],
            shelf,
            label=named(label),
            pigments=tuple(pigment or ()),
            binder=binder,
            white_key=white,
            is_white=is_white,
            samples=SampleRequest(layout, tuple(place or ()), in_order, condition),
            marks=marks,
            more=tuple(card[1:]),
            colour=ColourRequest(
                reference,
                target_corners,
                target_columns,
                profile,
                paper_lab or paper_xyz,
                bool(paper_lab),
                light,
            ),
            progress=progress,
        )
    if json:
        say_json(report)
    else:
        typer.echo(f"{report['label']} is on the shelf as {report['key']}.")
        for sentence in report["status"]:
            typer.echo(f"  {sentence}")


def named(label: str) -> str:
    """The label, where one was given.

    Raises
    ------
    InputError
        If none was.
    """
    if not label.strip():
        raise InputError("label", "nothing", "what you call the tube", "Say it with --label.")
    return label


def read_each(cards: list[Path], *, shelf: Path | None, binder: str, white: str | None, json: bool) -> None:
    """Read many cards one after the other; what cannot be read is said, and stops none of the others."""
    from scumble.jobs.read_many import read_many

    with progress_line(quiet=json) as progress:
        reports = read_many(cards, shelf, binder=binder, white_key=white, progress=progress)
    if json:
        say_json(reports)
    else:
        for report in reports:
            told = report.get("error") or f"on the shelf as {report['key']}. {report['status'][0]}"
            typer.echo(f"{report['file']}: {told}")
    if any("error" in report for report in reports):
        raise typer.Exit(1)
