"""``scumble subject``: one subject painted two ways, covered and glazed, in numbers."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.options import (
    ColoursOption,
    ExcludeOption,
    LightfastnessOption,
    PictureOption,
    UnratedOption,
)
from scumble.cli.terminal import JsonOption, ShelfOption, progress_line, say_json


def subject(
    picture: PictureOption = None,
    colours: ColoursOption = None,
    count: Annotated[int, typer.Option("--count", help="Colours taken from a picture, 2 to 40.")] = 10,
    ground: Annotated[str, typer.Option("--ground", "-g", help="Sheet that it is painted on.")] = "white",
    only: Annotated[list[str] | None, typer.Option("--only", help="Tube to use; may be repeated.")] = None,
    exclude: ExcludeOption = None,
    lightfastness: LightfastnessOption = "",
    unrated: UnratedOption = "in",
    films: Annotated[int, typer.Option("--films", help="Glazes one over the other, at most.")] = 2,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="Picture to write: wanted, covered, glazed; a .png.")
    ] = None,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Paint one subject two ways, covered and glazed, and say what each takes and gives."""
    from scumble.jobs.files import write_whole
    from scumble.jobs.match.subject import SubjectRequest
    from scumble.jobs.match.subject_page import subject_from_shelf
    from scumble.jobs.match.subject_words import say_subject
    from scumble.jobs.match.wanted_colours import load_lines

    request = SubjectRequest(
        ground,
        tuple(only or ()),
        tuple(exclude or ()),
        lightfastness,
        unrated,
        most_films=films,
    )
    with progress_line(quiet=json) as progress:
        found = subject_from_shelf(
            request, shelf, picture=picture, lines=load_lines(colours), count=count, progress=progress
        )
    if out is not None:
        write_whole(out, found.board())
    if json:
        say_json({**found.subject.as_data(), "files": [str(out)] if out is not None else []})
    else:
        typer.echo("\n".join([*say_subject(found.subject), *([f"Wrote {out}."] if out is not None else [])]))
