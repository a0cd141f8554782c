"""``scumble tube``: what the shop knows of a tube."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, say_json


def tube(
    paint: Annotated[str, typer.Argument(help="The paint's short name on the shelf.")],
    label: Annotated[str | None, typer.Option(help="What it is called.")] = None,
    pigments: Annotated[str | None, typer.Option(help="Colour Index names, such as 'PB15:3 PW6'.")] = None,
    price: Annotated[str | None, typer.Option(help="Of one tube, such as 7.40; empty for none.")] = None,
    currency: Annotated[str | None, typer.Option(help="Three letters, such as EUR.")] = None,
    size_ml: Annotated[str | None, typer.Option(help="Paint in a tube, in ml.")] = None,
    coat: Annotated[
        str | None,
        typer.Option(
            help="One full coat: '80 um', '0.4 ml on 50 cm2', '0.6 g on 5 x 10 cm at 1.4 g/ml', '12 m2/l'."
        ),
    ] = None,
    stock: Annotated[str | None, typer.Option(help="Tubes at hand.")] = None,
    shop_code: Annotated[str | None, typer.Option(help="The shop's own number for it.")] = None,
    discontinued: Annotated[
        str | None, typer.Option(help="yes, where it can no longer be ordered, or no.")
    ] = None,
    lightfastness: Annotated[
        str | None, typer.Option(help="With who says so: 'ASTM D4303 I (the label); Blue Wool 7 (own test)'.")
    ] = None,
    notes: Annotated[str | None, typer.Option(help="Anything else.")] = None,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Say what a tube costs, holds, covers and how it lasts, or see what is known; older words are kept."""
    from scumble.jobs.tube.say_tube import say_tube

    given = {
        "label": label,
        "pigments": pigments,
        "price": price,
        "currency": currency,
        "size_ml": size_ml,
        "coat": coat,
        "stock": stock,
        "shop_code": shop_code,
        "discontinued": discontinued,
        "lightfastness": lightfastness,
        "notes": notes,
    }
    told = say_tube(paint, {name: words for name, words in given.items() if words is not None}, shelf)
    if json:
        say_json(told)
        return
    for name, words in told.items():
        if words and name != "became":
            typer.echo(f"{name.replace('_', ' '):<14} {words}")
    if told["became"] == "changed":
        typer.echo("Saved as a new entry; what was said before is kept.")
