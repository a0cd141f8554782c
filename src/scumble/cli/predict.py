"""``scumble predict``: predictions straight from cards, no shelf needed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import progress_line, say_json


def predict(
    job: Annotated[Path, typer.Argument(help="Job file: cards of a white and of paints, and layerings.")],
    _json: Annotated[bool, typer.Option("--json", help="Answer in JSON; it always does.")] = True,
) -> None:
    """Fit the cards a job names, photographs or readings files, and predict its layerings, as JSON."""
    from scumble.jobs.predict import run_job

    with progress_line(quiet=False) as progress:
        answer = run_job(job, progress=progress)
    say_json(answer)
