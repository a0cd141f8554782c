"""Options that several commands take, in the same words wherever they are asked for."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

ColoursOption = Annotated[
    Path | None, typer.Option("--colours", help="Text file with one wanted colour a line.")
]
PictureOption = Annotated[Path | None, typer.Option("--picture", help="Picture whose colours are wanted.")]
MostOption = Annotated[int, typer.Option("--most", help="Colours taken from a picture, at most.")]

RouteOption = Annotated[list[str] | None, typer.Option("--route", help="cover or glaze; both by default.")]
FaceOption = Annotated[str, typer.Option("--face", help="gloss, satin, matte or varnished.")]
GroundOption = Annotated[str, typer.Option("--ground", "-g", help="Sheet, or ground as JSON.")]
SheetOption = Annotated[str, typer.Option("--ground", "-g", help="Sheet that glazes lie over.")]

ExcludeOption = Annotated[
    list[str] | None,
    typer.Option("--exclude", help="Paint, Colour Index name, label word or caution family."),
]
LightfastnessOption = Annotated[
    str, typer.Option("--lightfastness", help="Least rating, as 'ASTM II' or 'Blue Wool 7'.")
]
UnratedOption = Annotated[str, typer.Option("--unrated", help="Tubes that nobody rated: out or in.")]
"""Together: which tubes of the shelf may be used."""
