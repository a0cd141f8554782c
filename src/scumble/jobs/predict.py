"""Predictions straight from cards, photographed or as readings files, for scripts and checks: no shelf is opened."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from scumble.errors import InputError
from scumble.jobs.cards.bare_grounds import bare_grounds
from scumble.jobs.cards.card_file import load_card, provenance_of
from scumble.jobs.layering_request import LayeringRequest, answer_layering, parse_model
from scumble.jobs.paint_names import paints_by_name
from scumble.paint import Ground, Optics, Paint
from scumble.solve.fit.one_card import fit_optics, fit_white
from scumble.solve.fit.verdict import judge_fit

WHITE = "white"

Progress = Callable[[str, float], None]


class Job(BaseModel):
    """What a job file says: the cards of a white and of paints, and the layerings to predict."""

    model_config = ConfigDict(extra="forbid")

    white: str | None = None
    paints: dict[str, str] = {}
    layerings: list[LayeringRequest] = Field(default=[])


def run_job(path: Path, *, progress: Progress | None = None) -> dict[str, Any]:
    """Fit every paint of a job file and predict its layerings.

    Parameters
    ----------
    path : Path
        JSON; the cards it names, photographs or readings files, are looked for beside it.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Returns
    -------
    dict
        ``{"paints": {name: {"status": ..., "notes": [...]}}, "predictions": [...]}``.

    Raises
    ------
    InputError, CardError
        If the job or a card cannot be used; the message says which and why.
    """
    job = parse_model(Job, _load_json(path), field=path.name)
    if WHITE in job.paints:
        raise InputError("paints", WHITE, "any other name", "The white stands in its own entry.")
    paints, report, papers = _fit_all(job, path.parent, progress or (lambda _words, _share: None))

    find_paint = paints_by_name(tuple(paints.values()), field="parts", among="a paint of this job")
    answers = [answer_layering(request, find_paint, papers=papers) for request in job.layerings]
    return {"paints": report, "predictions": answers}


def _load_json(path: Path) -> object:
    try:
        return json.loads(path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        raise InputError("job", path.name, "a JSON file that exists") from None
    except (OSError, UnicodeDecodeError) as error:
        raise InputError("job", path.name, "a readable JSON file", str(error)) from None
    except json.JSONDecodeError as error:
        hint = f"Line {error.lineno}, column {error.colno}: {error.msg}."
        raise InputError("job", path.name, "a JSON file", hint) from None


def _fit_all(
    job: Job, folder: Path, progress: Progress
) -> tuple[dict[str, Paint], dict[str, dict[str, Any]], dict[str, Ground]]:
    """Fit the white, then each paint against it."""
    paints: dict[str, Paint] = {}
    report: dict[str, dict[str, Any]] = {}
    papers: dict[str, Ground] = {}
    white: Optics | None = None
    cards = [(WHITE, job.white)] if job.white is not None else []
    cards += list(job.paints.items())
    for number, (name, file) in enumerate(cards):
        progress(f"fitting {name}", number / len(cards))
        readings, _, doubts = load_card(folder / file)
        fit = fit_white(readings) if name == WHITE else fit_optics(readings, white=white)
        white = fit.optics if name == WHITE else white
        notes = (*judge_fit(fit, readings), *doubts)
        paints[name] = Paint(name, name, fit.optics, provenance_of(readings), status=notes)
        report[name] = {"status": " ".join(notes), "notes": list(notes)}
        papers = papers or bare_grounds(readings)
    return paints, report, papers
