"""``scumble card``: print a sample card."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, say_json


def card(
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="PDF to write; a name of its own if left out.")
    ] = None,
    layout: Annotated[str, typer.Option(help="full (16 areas) or quick (6 areas).")] = "full",
    page: Annotated[str, typer.Option(help="A4 or Letter.")] = "A4",
    json: JsonOption = False,
) -> None:
    """Print a sample card as PDF, true to scale; with --json also say where every area lies."""
    from scumble.jobs.print_card import card_map, print_card

    path = out or Path(f"sample-card-{layout}-{page}.pdf")
    if not json or out is not None:
        from scumble.jobs.files import write_whole

        write_whole(path, print_card(layout=layout, page=page))
    if json:
        say_json(card_map(layout=layout, page=page))
    else:
        typer.echo(
            f"{path}: print it at 100 %, check the ruler, paint one tube on it and photograph it in even light."
        )
