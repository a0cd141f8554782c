"""``scumble read``: a painted card into the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json
from scumble.errors import InputError

if TYPE_CHECKING:
    from scumble.jobs.colour_request import ColourRequest


def read(
    card: Annotated[
        list[Path] | None,
        typer.Argument(
            help="Photographs, a scan or a readings file of one painted card; of many cards with --each."
        ),
    ] = None,
    label: Annotated[str, typer.Option("--label", "-l", help="What you call the tube.")] = "",
    pigment: Annotated[list[str] | None, typer.Option(help="Colour Index name; repeat for several.")] = None,
    binder: Annotated[str, typer.Option(help="acrylic, oil or gum.")] = "acrylic",
    white: Annotated[
        str | None, typer.Option(help="The white its tints were mixed with, by its short name.")
    ] = None,
    is_white: Annotated[
        bool,
        typer.Option(
            "--is-white", help="This card is the white's own; the card for the white says so itself."
        ),
    ] = False,
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
    table: Annotated[
        Path | None,
        typer.Option(
            "--list",
            help="Many cards by a CSV table: file, tube, pigments, binder, is_white, white; files lie beside it.",
        ),
    ] = None,
    together: Annotated[
        bool | None,
        typer.Option(
            "--together/--alone",
            help="Many cards: solve those of one white together; if left out, where instruments read them all.",
        ),
    ] = None,
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
    overrule: Annotated[
        list[str] | None,
        typer.Option(
            help="Your word on an area: AREA=accept, =leave-out, =own-thickness, or the film that lies there; repeat."
        ),
    ] = None,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Read a card, fit its paint and keep it on the shelf."""
    from scumble.jobs.colour_request import ColourRequest

    colour = ColourRequest(
        reference, target_corners, target_columns, profile, paper_lab or paper_xyz, bool(paper_lab), light
    )
    if each or table is not None:
        told = {
            "label": label,
            "pigment": pigment,
            "is-white": is_white,
            "layout": layout,
            "map": place,
            "in-order": in_order,
            "condition": condition,
            "marks": marks,
            "target-corners": target_corners,
            "overrule": overrule,
        }
        _refuse_with_many(told)
        read_each(
            card or [],
            table,
            shelf=shelf,
            binder=binder,
            white=white,
            colour=colour,
            together=together,
            json=json,
        )
        return
    if not card:
        raise InputError("card", "nothing", "a photograph, a scan or a readings file of a card")
    from scumble.jobs.cards.instrument_card import SampleRequest
    from scumble.jobs.cards.read_to_shelf import read_to_shelf

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
            colour=colour,
            overrule=tuple(overrule or ()),
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


def _refuse_with_many(told: Mapping[str, object]) -> None:
    """Options that mean one card are not silently passed over."""
    for name, value in told.items():
        if value:
            hint = "Say it in a table, with --list." if name in ("label", "pigment", "is-white") else ""
            raise InputError(name, "many cards", "one card at a time", hint)


def read_each(
    cards: list[Path],
    table: Path | None,
    *,
    shelf: Path | None,
    binder: str,
    white: str | None,
    colour: ColourRequest,
    together: bool | None,
    json: bool,
) -> None:
    """Read many cards one after the other; what cannot be read is said, and stops none of the others."""
    from scumble.jobs.cards.card_list import load_card_list, orders_of
    from scumble.jobs.cards.read_many import read_many

    listed = () if table is None else load_card_list(table, binder=binder, white=white)
    orders = (*listed, *orders_of(cards, binder=binder, white=white))
    if not orders:
        raise InputError("card", "nothing", "photographs, scans or readings files of cards")
    with progress_line(quiet=json) as progress:
        reports = read_many(orders, shelf, colour=colour, together=together, progress=progress)
    if json:
        say_json(reports)
    else:
        for report in reports:
            typer.echo(f"{report['file']}: {_told(report)}")
    if any("error" in report for report in reports):
        raise typer.Exit(1)


def _told(report: dict[str, Any]) -> str:
    """What became of one card, in a line."""
    if "error" in report:
        return str(report["error"])
    solved = (
        f" Solved together with {report['together']} others of its white." if "together" in report else ""
    )
    return f"on the shelf as {report['key']}. {report['status'][0]}{solved}"
