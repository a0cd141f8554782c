"""``scumble layer``: how a layering of paints from the shelf will look."""

from __future__ import annotations

from typing import Annotated

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, load_json_argument, say_json


def layer(
    layering: Annotated[str, typer.Argument(help="The layering as JSON, @file, or - for standard input.")],
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Predict a layering: a ground, the films on it, and the light it is seen under."""
    from scumble.jobs.bench.layer import predict_layering, say_answer

    answer = predict_layering(load_json_argument(layering, field="layering"), shelf)
    if json:
        say_json(answer)
    else:
        typer.echo(say_answer(answer))
