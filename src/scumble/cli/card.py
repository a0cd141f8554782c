"""``scumble card``: print sample cards."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, say_json


def card(
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="PDF to write; a name of its own if left out.")
    ] = None,
    layout: Annotated[
        str,
        typer.Option(
            help="full (16 areas), quick (6 areas, half a page) or white (for the white); or strips, blank ones to"
            " paint by hand that are not read."
        ),
    ] = "full",
    page: Annotated[str, typer.Option(help="A4 or Letter; for quick also A5.")] = "A4",
    count: Annotated[
        int | None, typer.Option(help="How many cards, each with its own serial; one page if left out.")
    ] = None,
    serial: Annotated[
        list[str] | None, typer.Option(help="Serial of the first card, to print it again; can be repeated.")
    ] = None,
    guide: Annotated[
        bool, typer.Option("--guide/--no-guide", help="A last page that says step by step how to paint them.")
    ] = True,
    json: JsonOption = False,
) -> None:
    """Print sample cards as PDF, true to scale; with --json also say where everything lies on the first."""
    from scumble.jobs.cards.print_card import card_map, card_serials, print_card

    if layout == "strips":
        _print_strips(out or Path(f"strips-{page}.pdf"), page, json=json)
        return
    path = out or Path(f"sample-card-{layout}-{page}.pdf")
    serials = card_serials(layout, page, count=count, serials=serial or ())
    if not json or out is not None:
        from scumble.jobs.files import write_whole

        write_whole(path, print_card(layout=layout, page=page, serials=serials, guide=guide))
    if json:
        say_json(card_map(layout=layout, page=page, serial=serials[0]))
    else:
        cards = "1 card" if len(serials) == 1 else f"{len(serials)} cards"
        typer.echo(
            f"{path}: {cards}. Print at 100 %, check the ruler, paint one tube on a card"
            " and photograph it in even light."
        )


def _print_strips(path: Path, page: str, *, json: bool) -> None:
    """A page of strips, which has no areas to tell of."""
    from scumble.jobs.charts.print_strips import print_strips
    from scumble.jobs.files import write_whole

    write_whole(path, print_strips(page=page))
    if json:
        say_json({"layout": "strips", "page": page, "file": str(path)})
    else:
        typer.echo(f"{path}: print it at 100 % and paint one tube on a strip.")
