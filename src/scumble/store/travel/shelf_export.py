"""Write a shelf to a file: whole as JSON, its list as a table."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime

from sqlalchemy import func, select

from scumble.errors import InputError
from scumble.store.database.schema import paints
from scumble.store.drawers.paint_history import select_histories
from scumble.store.shelf import Shelf
from scumble.store.travel.model_of import ground_to_model, history_to_model, plan_to_model, recipe_to_model
from scumble.store.travel.proof_json import proofs_to_models, sheet_to_model, write_pictures
from scumble.store.travel.sheet import format_sheet
from scumble.store.travel.shelf_json import FORMAT, FORMAT_VERSION, GroundModel, PlanModel, RecipeModel
from scumble.store.travel.table import entry_to_cells, format_table_csv
from scumble.store.travel.trainee_json import trainee_to_model
from scumble.store.tube_facts import TubeFacts

Progress = Callable[[str, float], None]


def format_shelf_json(shelf: Shelf, *, progress: Progress | None = None) -> str:
    """Everything on a shelf: paints, tubes, grounds, recipes, plans, proofs with past and pictures, trainees.

    Parameters
    ----------
    shelf : Shelf
        Open.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Raises
    ------
    StoreError
        If the shelf cannot be read.
    """
    head = {"format": FORMAT, "format_version": FORMAT_VERSION, "written_at": datetime.now(UTC).isoformat()}
    named: dict[str, list[GroundModel] | list[RecipeModel] | list[PlanModel]] = {
        "grounds": [ground_to_model(each) for each in shelf.grounds.load_histories(binned=False)],
        "recipes": [recipe_to_model(each) for each in shelf.recipes.load_histories(binned=False)],
        "binned_grounds": [ground_to_model(each) for each in shelf.grounds.load_histories(binned=True)],
        "binned_recipes": [recipe_to_model(each) for each in shelf.recipes.load_histories(binned=True)],
        "plans": [plan_to_model(each) for each in shelf.plans.load_histories(binned=False)],
        "binned_plans": [plan_to_model(each) for each in shelf.plans.load_histories(binned=True)],
    }
    lines = [f"{json.dumps(name)}: {json.dumps(said)}," for name, said in head.items()]
    lines.append('"paints": [')
    lines.append(",\n".join(_paints(shelf, progress or (lambda _words, _share: None))))
    lines.append("],")
    lists = [
        f'"{name}": [' + ",\n".join(each.model_dump_json() for each in things) + "]"
        for name, things in named.items()
    ]
    lists += [*_proofs(shelf), _trainees(shelf)]
    return "{\n" + "\n".join(lines) + "\n" + ",\n".join(lists) + "\n}\n"


def _proofs(shelf: Shelf) -> list[str]:
    """Proofs with the pictures they were read from, and the sheets they are painted on."""
    with shelf.door.reading() as connection:
        models, numbers = proofs_to_models(connection)
        pictures = list(write_pictures(connection, numbers))
    listed = {
        "proof_pictures": pictures,
        "proofs": [each.model_dump_json(exclude_defaults=True) for each in models],
        "proof_sheets": [sheet_to_model(each).model_dump_json() for each in shelf.proofs.load_sheets()],
    }
    return [f'"{name}": [' + ",\n".join(things) + "]" for name, things in listed.items()]


def _trainees(shelf: Shelf) -> str:
    """Who learns, with what they answered."""
    answers = shelf.trainees.load_answers()
    models = [trainee_to_model(each, answers.get(each.number, ())) for each in shelf.trainees.load_all()]
    return '"trainees": [' + ",\n".join(each.model_dump_json(exclude_defaults=True) for each in models) + "]"


def _paints(shelf: Shelf, progress: Progress) -> Iterator[str]:
    with shelf.door.reading() as connection:
        total: int = connection.execute(select(func.count()).select_from(paints)).scalar_one()
        for number, history in enumerate(select_histories(connection)):
            progress(f"writing {history.key}", number / max(total, 1))
            yield history_to_model(history).model_dump_json(exclude_defaults=True)


def format_shelf_table(shelf: Shelf, kind: str) -> bytes:
    """The list of a shelf as a table.

    Parameters
    ----------
    shelf : Shelf
        Open.
    kind : str
        ``csv`` or ``xlsx``.

    Raises
    ------
    InputError
        For another kind.
    StoreError
        If the shelf cannot be read.
    """
    facts = shelf.tubes.load_all()
    rows = [entry_to_cells(entry, facts.get(entry.key, TubeFacts())) for entry in shelf.load_entries()]
    if kind == "xlsx":
        return format_sheet(rows)
    if kind == "csv":
        return format_table_csv(rows).encode()
    raise InputError("kind", kind, "csv or xlsx")
