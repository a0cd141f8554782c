"""``scumble export``, ``import``, ``backup`` and ``restore``: the shelf in files."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say, say_json

SHOWN_ROWS = 20
"""Rows an import tells one by one before it counts the rest."""


def export_shelf(
    file: Annotated[
        Path, typer.Argument(help="What to write: .json for everything, .xlsx or .csv for the list.")
    ],
    paint: Annotated[
        str | None, typer.Option(help="Only this paint's card readings, as .csv, .cgats or .cxf.")
    ] = None,
    optics: Annotated[
        bool, typer.Option("--optics", help="With --paint: its optics instead, as .cgats or .cxf.")
    ] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Write the shelf to a file: all of it, its list for a spreadsheet, or one paint's card readings or optics."""
    from scumble.jobs.shelf.export_shelf import export_card, export_optics
    from scumble.jobs.shelf.export_shelf import export_shelf as export

    if paint is not None and optics:
        told = export_optics(file, shelf, paint=paint)
        say(told, f"{told['file']}: optics, {_size(told['bytes'])}.", json=json)
    elif paint is not None:
        told = export_card(file, shelf, paint=paint)
        say(told, f"{told['file']}: {told['areas']} areas, {_size(told['bytes'])}.", json=json)
    else:
        with progress_line(quiet=json) as progress:
            told = export(file, shelf, progress=progress)
        say(told, f"{told['file']}: {told['paints']} paints, {_size(told['bytes'])}.", json=json)


def import_shelf(
    file: Annotated[
        Path, typer.Argument(help="A shelf's .json, .xlsx or .csv, or one paint's optics as .cgats or .cxf.")
    ],
    preview: Annotated[
        bool, typer.Option("--preview", help="Say what would become of each row; change nothing.")
    ] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Take a file into the shelf, all or nothing; what differs becomes a new version."""
    from scumble.jobs.shelf.import_shelf import import_shelf as take_in

    with progress_line(quiet=json) as progress:
        report = take_in(file, shelf, preview=preview, progress=progress)
    if json:
        say_json(report)
    else:
        told = [
            row for row in report["rows"] if row["what"] == "refused" or (preview and row["what"] != "same")
        ]
        for row in told[:SHOWN_ROWS]:
            typer.echo(f"{row['place']:<10} {row['what']:<8} {row['said'] or row['name']}")
        if len(told) > SHOWN_ROWS:
            typer.echo(f"... and {len(told) - SHOWN_ROWS} more rows; --json tells them all.")
        counts = ", ".join(f"{report[what]} {what}" for what in ("new", "changed", "same", "refused"))
        typer.echo(f"{file.name}: {counts}. {_verdict(report['saved'], preview, report['refused'])}")
    if report["refused"]:
        raise typer.Exit(2)


def _verdict(saved: bool, preview: bool, refused: int) -> str:
    if saved:
        return "All of it is on the shelf."
    if refused:
        return "Nothing was saved: put the refused rows right, or take them out."
    return "Nothing was saved, as this was a preview." if preview else "Nothing was saved."


def backup(
    file: Annotated[
        Path | None, typer.Argument(help="What to write; a file named after the day when left out.")
    ] = None,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Copy the shelf, its pictures, and the cards, targets and profiles beside it into one file; it may be in use."""
    from scumble.jobs.shelf.keep_backup import keep_backup

    with progress_line(quiet=json) as progress:
        report = keep_backup(file, shelf, progress=progress)
    words = f"{report['file']}: the whole shelf, {_size(report['bytes'])}. Keep it on another disk."
    say(report, words, json=json)


def restore(
    file: Annotated[Path, typer.Argument(help="A backup.")],
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Put a backup in the shelf's place; the old shelf is kept beside it."""
    from scumble.jobs.shelf.keep_backup import restore_backup

    with progress_line(quiet=json) as progress:
        report = restore_backup(file, shelf, progress=progress)
    words = f"The shelf is as it was in {file.name}: {report['paints']} paints."
    if report["kept"]:
        words += f"\nWhat stood there before is kept as {report['kept']}."
    say(report, words, json=json)


def _size(count: int) -> str:
    return f"{count / 1e6:.1f} MB" if count >= 1e6 else f"{max(1, round(count / 1e3))} kB"
