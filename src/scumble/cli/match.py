"""``scumble match``: recipes for a wanted colour."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from scumble.cli.options import ExcludeOption, FaceOption, GroundOption, LightfastnessOption, UnratedOption
from scumble.cli.terminal import JsonOption, ShelfOption, load_json_argument, progress_line, say_json


def match(
    colour: Annotated[
        list[str] | None,
        typer.Argument(
            help="The colour: 'lab 60 20 30', 'lch ...', 'xyz ...', '5YR 6/8', '#b4783c', 36 reflectances, "
            "'masstone PAINT', 'undertone PAINT', or a layering as JSON. Put -- before it if a number is negative."
        ),
    ] = None,
    picture: Annotated[
        Path | None, typer.Option("--picture", help="A photograph to take the colour from, with --at.")
    ] = None,
    at: Annotated[
        str, typer.Option("--at", help="Its point, X,Y from the top left; X,Y,SIDE averages.")
    ] = "",
    ground: GroundOption = "white",
    light: Annotated[list[str] | None, typer.Option("--light", help="Light; several for a spectrum.")] = None,
    observer: Annotated[int, typer.Option("--observer", help="2 or 10 degrees.")] = 2,
    face: FaceOption = "gloss",
    route: Annotated[
        list[str] | None,
        typer.Option("--route", help="cover, glaze, underpaint or scumble; all by default."),
    ] = None,
    exclude: ExcludeOption = None,
    binder: Annotated[str | None, typer.Option("--binder", help="acrylic, oil or gum.")] = None,
    tubes: Annotated[int, typer.Option("--tubes", help="Most tubes in an opaque mixture, 1 to 4.")] = 4,
    films: Annotated[int, typer.Option("--films", help="Most glazes, 1 to 3.")] = 3,
    coats: Annotated[float, typer.Option("--coats", help="Most coats of an opaque mixture.")] = 4.0,
    parts: Annotated[int, typer.Option("--parts", help="Most parts in a mixture.")] = 12,
    count: Annotated[int, typer.Option("--count", "-n", help="Recipes of each route.")] = 5,
    fours: Annotated[
        str, typer.Option("--fours", help="Mixtures of four tubes: fit (all of up to 71), all or likely.")
    ] = "fit",
    lightfastness: LightfastnessOption = "",
    unrated: UnratedOption = "out",
    session: Annotated[
        bool, typer.Option("--one-session", help="All is laid wet: nothing over a film that must dry.")
    ] = False,
    per_tube: Annotated[float, typer.Option("--per-tube", help="Price of a tube, dE00.")] = 0.3,
    per_pass: Annotated[float, typer.Option("--per-pass", help="Price of a coat, dE00.")] = 0.15,
    per_unevenness: Annotated[
        float, typer.Option("--per-unevenness", help="Price of each dE00 that an uneven hand costs.")
    ] = 0.1,
    per_drying: Annotated[float, typer.Option("--per-drying", help="Price of a wait for drying.")] = 0.0,
    per_wet_shift: Annotated[
        float, typer.Option("--per-wet-shift", help="Price of each dE00 of change from wet to dry.")
    ] = 0.0,
    per_cost: Annotated[
        float, typer.Option("--per-cost", help="Price in dE00 of one unit of money a millilitre.")
    ] = 0.0,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Reach a colour with the tubes of the shelf: cover it, glaze it, or scumble it over dark."""
    from scumble.jobs.match.match_colour import MatchRequest, match_colour, parse_wishes, say_match

    wishes = parse_wishes(
        route or [],
        exclude or [],
        most_tubes=tubes,
        most_films=films,
        most_coats=coats,
        most_parts=parts,
        count=count,
        fours=fours,
        one_session=session,
        per_tube=per_tube,
        per_pass=per_pass,
        per_unevenness=per_unevenness,
        per_drying=per_drying,
        per_wet_shift=per_wet_shift,
        per_cost=per_cost,
    )
    lights = tuple(light or ["D65"])
    wanted = _of_picture(picture, at, lights, observer) if picture is not None else " ".join(colour or [])
    under = load_json_argument(ground, field="ground") if ground.startswith(("{", "@")) else ground
    request = MatchRequest(
        wanted, under, lights, observer, face, binder, wishes, lightfastness=lightfastness, unrated=unrated
    )
    with progress_line(quiet=json) as progress:
        answer = match_colour(request, shelf, progress=progress)
    if json:
        say_json(answer)
    else:
        typer.echo("\n".join(say_match(answer)))


def _of_picture(picture: Path, at: str, lights: tuple[str, ...], observer: int) -> Any:
    from scumble.errors import InputError
    from scumble.jobs.match.picture import SIDE_PX, target_of_picture

    numbers = at.replace(",", " ").split()
    if len(numbers) not in (2, 3) or not all(number.isdigit() for number in numbers):
        raise InputError("at", at or "nothing", "X,Y or X,Y,SIDE in points of the picture, as 1200,800")
    x, y, *rest = (int(number) for number in numbers)
    side = rest[0] if rest else SIDE_PX
    return target_of_picture(picture, x, y, side_px=side, lights=lights, observer=observer)
