"""``scumble match``: recipes for a wanted colour."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, load_json_argument, progress_line, say_json


def match(
    colour: Annotated[
        list[str],
        typer.Argument(
            help="The colour: 'lab 60 20 30', 'lch ...', 'xyz ...', '#b4783c', 36 reflectances, 'masstone PAINT', "
            "'undertone PAINT', or a layering as JSON. Put -- before it if a number is negative."
        ),
    ],
    ground: Annotated[str, typer.Option("--ground", "-g", help="Sheet, or ground as JSON.")] = "white",
    light: Annotated[list[str] | None, typer.Option("--light", help="Light; several for a spectrum.")] = None,
    observer: Annotated[int, typer.Option("--observer", help="2 or 10 degrees.")] = 2,
    face: Annotated[str, typer.Option("--face", help="gloss, satin, matte or varnished.")] = "gloss",
    route: Annotated[
        list[str] | None, typer.Option("--route", help="cover, glaze or scumble; all by default.")
    ] = None,
    exclude: Annotated[
        list[str] | None, typer.Option("--exclude", help="Paint, Colour Index name or word of a label.")
    ] = None,
    binder: Annotated[str | None, typer.Option("--binder", help="acrylic, oil or gum.")] = None,
    tubes: Annotated[int, typer.Option("--tubes", help="Most tubes in an opaque mixture, 1 to 4.")] = 4,
    films: Annotated[int, typer.Option("--films", help="Most glazes, 1 to 3.")] = 3,
    coats: Annotated[float, typer.Option("--coats", help="Most coats of an opaque mixture.")] = 4.0,
    parts: Annotated[int, typer.Option("--parts", help="Most parts in a mixture.")] = 12,
    count: Annotated[int, typer.Option("--count", "-n", help="Recipes of each route.")] = 5,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Reach a colour with the tubes of the shelf: cover it, glaze it, or scumble it over dark."""
    from scumble.jobs.match import MatchRequest, match_colour, parse_wishes, say_match

    wishes = parse_wishes(
        route or [],
        exclude or [],
        most_tubes=tubes,
        most_films=films,
        most_coats=coats,
        most_parts=parts,
        count=count,
    )
    under = load_json_argument(ground, field="ground") if ground.startswith(("{", "@")) else ground
    request = MatchRequest(" ".join(colour), under, tuple(light or ["D65"]), observer, face, binder, wishes)
    with progress_line(quiet=json) as progress:
        answer = match_colour(request, shelf, progress=progress)
    if json:
        say_json(answer)
    else:
        typer.echo("\n".join(say_match(answer)))
