"""The terminal: one command for each thing a person asks for."""

from __future__ import annotations

import sys

import typer

from scumble.cli import (
    adjust,
    card,
    chart,
    describe,
    layer,
    match,
    open_pages,
    plan,
    predict,
    proof,
    read,
    refit,
    shelf,
    subject,
    substitute,
    supply,
    teach,
    travel,
    tube,
)
from scumble.errors import InputError, ScumbleError

app = typer.Typer(
    name="scumble",
    help="Paint one sample card per tube; compute what the paint does in a film.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("open")(open_pages.open_pages)
app.command("card")(card.card)
app.command("read")(read.read)
app.command("refit")(refit.refit)
app.command("shelf")(shelf.shelf)
app.command("beside")(shelf.beside)
app.command("describe")(describe.describe)
app.command("tube")(tube.tube)
app.command("layer")(layer.layer)
app.command("match")(match.match)
app.command("adjust")(adjust.adjust)
app.command("substitute")(substitute.substitute)
app.command("supply")(supply.supply)
app.command("gaps")(supply.gaps)
app.command("subject")(subject.subject)
app.command("plan")(plan.plan)
app.add_typer(proof.app, name="proof")
app.command("predict")(predict.predict)
app.command("chart")(chart.chart)
app.add_typer(teach.app, name="teach")
app.command("export")(travel.export_shelf)
app.command("import")(travel.import_shelf)
app.command("backup")(travel.backup)
app.command("restore")(travel.restore)


def run() -> None:
    """Run a command; say what went wrong in one line, exit 2 for input and 1 for failure."""
    try:
        app()
    except InputError as error:
        print(f"scumble: {error}", file=sys.stderr)
        sys.exit(2)
    except ScumbleError as error:
        print(f"scumble: {error}", file=sys.stderr)
        sys.exit(1)
