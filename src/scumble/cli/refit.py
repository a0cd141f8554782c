"""``scumble refit``: the shelf's cards fitted again, as new versions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json


def refit(
    paints: Annotated[
        list[str] | None, typer.Argument(help="Short names; all paints with a card when left out.")
    ] = None,
    white: Annotated[
        str | None, typer.Option(help="The white that tints were mixed with, by its short name.")
    ] = None,
    together: Annotated[
        bool | None,
        typer.Option(
            "--together/--alone",
            help="Solve the cards of one white together, or each by itself; if left out, together unless one of"
            " them was photographed.",
        ),
    ] = None,
    preview: Annotated[
        bool, typer.Option("--preview", help="Say what would change; change nothing.")
    ] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Fit the cards on the shelf again; what comes out differently becomes a new version with its card and picture."""
    from scumble.jobs.cards.refit import refit_file

    with progress_line(quiet=json) as progress:
        told = refit_file(
            shelf,
            keys=tuple(paints or ()),
            white_key=white,
            together=together,
            preview=preview,
            progress=progress,
        )
    if json:
        say_json([asdict(each) for each in told])
        return
    for each in told:
        if each.what == "refused":
            typer.echo(f"{each.label}: not fitted. {each.said}")
        elif each.what == "changed":
            by = ", ".join(f"{name} {amount:.2f}" for name, amount in each.differences.items())
            known = f"known to {each.interval_before:.1f}, now to {each.interval_now:.1f}"
            typer.echo(f"{each.label}: version {each.version}, changed by dE00 {by}; {known}.")
    counts = {what: sum(each.what == what for each in told) for what in ("changed", "same", "refused")}
    would = "would change" if preview else "changed"
    typer.echo(
        f"{counts['changed']} {would}, {counts['same']} the same, {counts['refused']} not fitted;"
        " older versions, cards and pictures stay."
    )
