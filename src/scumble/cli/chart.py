"""``scumble chart``: print charts, handouts, labels and sheets to paint on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json

if TYPE_CHECKING:
    from scumble.jobs.charts.kinds import ChartRequest

KINDS = "wall, handout, labels, mix, glaze, triangle or compare"


def chart(
    kind: Annotated[str, typer.Argument(help=f"{KINDS}.")],
    paints: Annotated[
        list[str] | None, typer.Argument(help="Short names of paints; for wall and labels all when left out.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="PDF or SVG to write; a name of its own if left out.")
    ] = None,
    page: Annotated[
        str, typer.Option(help="A5 to A1 or Letter, each also with -landscape, or WIDTHxHEIGHT in mm.")
    ] = "",
    order: Annotated[str, typer.Option(help="Wall, labels: hue, opacity, strength or name.")] = "",
    scale: Annotated[
        float | None,
        typer.Option(help="Wall: size of the strips, 1 is 22 mm apart; to fit one page if left out."),
    ] = None,
    find: Annotated[str, typer.Option(help="Wall, labels: words to find paints by.")] = "",
    over: Annotated[
        str, typer.Option(help="Glaze: grounds or paints to lay over, with commas between.")
    ] = "",
    coats: Annotated[
        float | None, typer.Option(help="Glaze, mix, triangle: thickness of a film in coats.")
    ] = None,
    parts: Annotated[str, typer.Option(help="Mix: parts of the paint at the side and along the top.")] = "",
    ladder: Annotated[
        str, typer.Option(help="Mix: parts of white under each mixture, as 1:4:9, or none.")
    ] = "",
    steps: Annotated[int | None, typer.Option(help="Triangle: parts in every mixture.")] = None,
    white: Annotated[float, typer.Option(help="Triangle: parts of white to one of every mixture.")] = 0.0,
    labels: Annotated[
        str, typer.Option(help="Labels: size as 70x37, or geometry as 3x7:63.5x38.1+2.5x0, in mm.")
    ] = "",
    start: Annotated[int, typer.Option(help="Labels: place of the first label not used up yet.")] = 1,
    outlines: Annotated[bool, typer.Option("--outlines", help="Labels: print their outlines too.")] = False,
    blank: Annotated[
        bool,
        typer.Option("--blank", help="Wall, handout, mix, glaze, triangle: leave blank, to paint by hand."),
    ] = False,
    title: Annotated[str, typer.Option(help="Heading; one of its own if left out.")] = "",
    profile: Annotated[
        Path | None, typer.Option(help="ICC profile of the printer and its paper; sRGB if left out.")
    ] = None,
    intent: Annotated[
        str, typer.Option(help="With --profile: relative, perceptual, saturation or absolute.")
    ] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Print a chart of paints from the shelf, true to scale, as PDF or SVG."""
    from scumble.jobs.charts.kinds import ChartRequest, load_profile, print_to_file

    request = ChartRequest(
        kind=kind,
        keys=tuple(paints or ()),
        page=page,
        order=order,
        find=find,
        over=over,
        coats=coats,
        parts=parts,
        ladder=ladder,
        scale=scale,
        steps=steps,
        white_parts=white,
        labels=labels,
        start=start,
        outlines=outlines,
        blank=blank,
        title=title,
        profile=load_profile(profile),
        intent=intent,
    )
    with progress_line(quiet=json) as progress:
        told = print_to_file(request, shelf, out, progress=progress)
    if json:
        say_json(told)
        return
    _say(request, told["files"], told["pages"])


def _say(request: ChartRequest, files: list[str], pages: int) -> None:
    count = "one page" if pages == 1 else f"{pages} pages"
    check = "." if request.kind == "labels" else " and check the ruler."
    typer.echo(f"{', '.join(files)}: {count}. Print at 100 %{check}")
