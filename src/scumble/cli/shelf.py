"""``scumble shelf`` and ``beside``: what is on the shelf, and a few tubes side by side."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, say_json


def shelf(
    find: Annotated[str, typer.Argument(help="Words to find paints by, e.g. 'transparent blue'.")] = "",
    order: Annotated[str, typer.Option(help="hue, opacity, strength, name or price.")] = "hue",
    hue: Annotated[str, typer.Option(help="Family of hue: yellow, red, blue, brown and so on.")] = "",
    mark: Annotated[str, typer.Option(help="transparent, semi-transparent, semi-opaque or opaque.")] = "",
    strength: Annotated[str, typer.Option(help="weak, middling, strong or 'very strong', in white.")] = "",
    lasting: Annotated[str, typer.Option(help="lasting, fleeting or 'not rated'.")] = "",
    binder: Annotated[str, typer.Option(help="acrylic, oil or gum.")] = "",
    caution: Annotated[str, typer.Option(help="A caution family such as cadmium, or 'none known'.")] = "",
    stock: Annotated[str, typer.Option(help="'at hand', 'none left' or orderable.")] = "",
    most_price: Annotated[str, typer.Option(help="Highest price of a tube.")] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """List the paints on the shelf."""
    from scumble.jobs.shelf.list_shelf import list_shelf
    from scumble.jobs.shelf.shelf_filter import ShelfFilter

    wanted = ShelfFilter(hue, mark, strength, lasting, binder, caution, stock, most_price)
    rows = list_shelf(shelf, order=order, find=find, wanted=wanted)
    if json:
        say_json(rows)
        return
    for row in rows:
        pigments = " ".join(row["pigments"])
        price = "" if row["price"] is None else f"{row['price']:.2f} {row['currency']}"
        typer.echo(
            f"{row['key']:<34} {row['mark']:<18} {pigments:<16} {row['provenance']:<14} {price}".rstrip()
        )
    if not rows:
        typer.echo("Nothing on the shelf answers to that.")


def beside(
    paints: Annotated[list[str], typer.Argument(help="Two to six short names.")],
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Lay a few tubes side by side: what each has, and in what every two differ."""
    from scumble.jobs.tube.lay_beside import lay_beside

    told = lay_beside(paints, shelf)
    if json:
        say_json(told)
        return
    for number, paint in enumerate(told["paints"]):
        typer.echo(paint["label"])
        for title, cells in told["rows"].items():
            typer.echo(f"  {title:<28} {cells[number]}")
    for pair in told["pairs"]:
        typer.echo(pair["names"])
        for sentence in pair["sentences"]:
            typer.echo(f"  {sentence}")
