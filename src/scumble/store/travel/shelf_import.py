"""Take a file into a shelf: row by row, previewed by doing it and undoing it, and all or nothing in earnest."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from sqlalchemy import Connection, select

from scumble.errors import InputError
from scumble.store.database.schema import paints
from scumble.store.drawers.named_drawer import NamedDrawer
from scumble.store.drawers.paint_history import PaintHistory, insert_history, plain_moment
from scumble.store.drawers.proof_drawer import add_sheet
from scumble.store.drawers.save_version import add_version, check_words, same_paint, select_current
from scumble.store.drawers.tube_drawer import add_tube, select_tubes
from scumble.store.file_text import decode_text
from scumble.store.named_things import KeptGround, KeptPlan, Recipe
from scumble.store.shelf import Shelf
from scumble.store.travel.model_of import model_to_grounds, model_to_history, model_to_plans, model_to_recipes
from scumble.store.travel.proof_json import ProofTaker, model_to_sheet
from scumble.store.travel.sheet import parse_sheet
from scumble.store.travel.shelf_json import (
    FORMAT,
    FORMAT_VERSION,
    GroundModel,
    PaintModel,
    PictureModel,
    PlanModel,
    ProofModel,
    ProofSheetModel,
    RecipeModel,
    TraineeModel,
)
from scumble.store.travel.table import COLUMNS, parse_table_csv
from scumble.store.travel.take_row import label_to_key, take_row
from scumble.store.travel.trainee_json import take_trainee

Progress = Callable[[str, float], None]

NEW, CHANGED, SAME, REFUSED = "new", "changed", "same", "refused"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one row.

    Parameters
    ----------
    place : str
        Where it stands in the file.
    name : str
        What it is called.
    what : str
        ``new``, ``changed``, ``same`` or ``refused``.
    said : str
        Why, if it was refused.
    field : str
        The cell or field that was refused, where it is one.
    """

    place: str
    name: str
    what: str
    said: str = ""
    field: str = ""


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What became of a file.

    Parameters
    ----------
    outcomes : tuple of Outcome
        One a row, in the order of the file.
    saved : bool
        Whether the shelf was changed: never in a preview, nor while any row is refused.
    """

    outcomes: tuple[Outcome, ...]
    saved: bool

    def count(self, what: str) -> int:
        """How many rows had that outcome."""
        return sum(outcome.what == what for outcome in self.outcomes)


Step = tuple[str, str, Callable[[Connection], str]]
"""Place, name, and what to do; it answers ``new``, ``changed`` or ``same``."""


class _TakenBackError(Exception):
    """Ends a visit that shall leave nothing behind."""


def run_steps(shelf: Shelf, steps: Iterable[Step], *, preview: bool, progress: Progress) -> ImportReport:
    """Do everything in one visit, and take it back for a preview or if any row was refused.

    Raises
    ------
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    outcomes: list[Outcome] = []
    todo = list(steps)
    try:
        with shelf.door.writing() as connection:
            for number, (place, name, do) in enumerate(todo):
                progress(f"reading {name}", number / len(todo))
                try:
                    outcomes.append(Outcome(place, name, do(connection)))
                except InputError as error:
                    outcomes.append(Outcome(place, name, REFUSED, str(error), error.field.partition(",")[0]))
            if preview or any(outcome.what == REFUSED for outcome in outcomes):
                raise _TakenBackError
    except _TakenBackError:
        return ImportReport(tuple(outcomes), saved=False)
    return ImportReport(tuple(outcomes), saved=True)


def json_steps(shelf: Shelf, content: bytes) -> list[Step]:
    """What to do for every paint, ground, recipe, plan and proof of a shelf's JSON.

    Raises
    ------
    InputError
        If it is no such file, or of a newer Scumble.
    """
    data = _load(content)
    steps: list[Step] = []
    for number, each in enumerate(_list(data, "paints"), start=1):
        steps.append((f"paint {number}", _name(each), partial(_take_paint, data=each)))
    for word, drawer in (("ground", shelf.grounds), ("recipe", shelf.recipes), ("plan", shelf.plans)):
        for binned in (False, True):
            listed = f"binned_{word}s" if binned else f"{word}s"
            for number, each in enumerate(_list(data, listed), start=1):
                steps.append((f"{listed} {number}", _name(each), _named_step(drawer, each, binned=binned)))
    return steps + _proof_steps(data) + _trainee_steps(data)


def _trainee_steps(data: dict[str, Any]) -> list[Step]:
    """The same for trainees and what they answered."""
    steps: list[Step] = []
    for number, each in enumerate(_list(data, "trainees"), start=1):

        def take(connection: Connection, each: object = each) -> str:
            return take_trainee(connection, _parsed(TraineeModel, each))

        name = str(each.get("name", "?")) if isinstance(each, dict) else "?"
        steps.append((f"trainee {number}", name, take))
    return steps


def _proof_steps(data: dict[str, Any]) -> list[Step]:
    """The same for proofs and their sheets; a picture that cannot be read refuses the file."""
    taker = ProofTaker([_parsed(PictureModel, each) for each in _list(data, "proof_pictures")])
    steps: list[Step] = []
    for number, each in enumerate(_list(data, "proofs"), start=1):

        def take(connection: Connection, each: object = each) -> str:
            return taker.take(connection, _parsed(ProofModel, each))

        steps.append((f"proof {number}", _name(each), take))
    for number, each in enumerate(_list(data, "proof_sheets"), start=1):

        def keep(connection: Connection, each: object = each) -> str:
            return NEW if add_sheet(connection, model_to_sheet(_parsed(ProofSheetModel, each))) else SAME

        name = str(each.get("serial", "?")) if isinstance(each, dict) else "?"
        steps.append((f"proof_sheets {number}", name, keep))
    return steps


def _load(content: bytes) -> dict[str, Any]:
    try:
        data = json.loads(content.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError) as error:
        raise InputError("shelf file", str(error), "JSON as scumble export writes it") from None
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise InputError("shelf file", "another kind of JSON", "JSON as scumble export writes it")
    version = data.get("format_version")
    if version != FORMAT_VERSION:
        hint = "It was written by a newer Scumble; read it with that one."
        raise InputError("format_version", version, str(FORMAT_VERSION), hint)
    return data


def _list(data: dict[str, Any], name: str) -> list[Any]:
    listed = data.get(name, [])
    if not isinstance(listed, list):
        raise InputError(name, type(listed).__name__, "a list")
    return listed


def _name(data: object) -> str:
    return str(data.get("key", "?")) if isinstance(data, dict) else "?"


def _take_paint(connection: Connection, data: object) -> str:
    history = model_to_history(_parsed(PaintModel, data))
    for record in history.versions:
        check_words(record.paint)
    if history.binned_at is not None:
        return _take_binned(connection, history)
    current = select_current(connection, history.key)
    if current is None:
        insert_history(connection, history)
        return NEW
    paint_id, paint = current
    changed = not same_paint(paint, history.now.paint)
    if changed:
        record = history.now
        card = None if record.card is None else history.cards[record.card]
        picture = None if record.picture is None else history.pictures[record.picture]
        add_version(connection, record.paint, card, picture)
    known = select_tubes(connection, paint_id)
    facts = history.tubes[-1][1] if history.tubes else None
    if facts is not None and (not known or known[-1][1] != facts):
        add_tube(connection, paint_id, facts)
        changed = True
    return CHANGED if changed else SAME


def _take_binned(connection: Connection, history: PaintHistory) -> str:
    moment = plain_moment(history.binned_at)
    query = select(paints.c.id).where(paints.c.key == history.key, paints.c.binned_at == moment)
    if connection.execute(query).first() is not None:
        return SAME
    insert_history(connection, history)
    return NEW


def _named_step(
    drawer: NamedDrawer[KeptGround] | NamedDrawer[Recipe] | NamedDrawer[KeptPlan],
    data: object,
    *,
    binned: bool,
) -> Callable[[Connection], str]:
    def take(connection: Connection) -> str:
        if drawer.kind is KeptGround:
            history: list[Any] = model_to_grounds(_parsed(GroundModel, data), binned=binned)
        elif drawer.kind is KeptPlan:
            history = model_to_plans(_parsed(PlanModel, data), binned=binned)
        else:
            history = model_to_recipes(_parsed(RecipeModel, data), binned=binned)
        thing = history[-1].thing
        before = drawer.count(connection, thing.key)
        if before == 0:
            drawer.add_history(connection, history)
            return NEW
        return CHANGED if drawer.add(connection, thing, binned=binned) != before else SAME

    return take


Model = TypeVar("Model", bound=BaseModel)


def _parsed(model: type[Model], data: object) -> Model:
    try:
        return model.model_validate_json(json.dumps(data))
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        place = ", ".join(str(part) for part in first["loc"]) or "row"
        given = "nothing" if first["type"] == "missing" else first["input"]
        wanted = first["msg"].removeprefix("Input should be ").rstrip(".")
        allowed = "nothing of that name" if first["type"] == "extra_forbidden" else wanted
        raise InputError(place, given, allowed) from None


def table_steps(rows: list[list[str]]) -> list[Step]:
    """What to do for every row of a table.

    Raises
    ------
    InputError
        If the names above the rows are not those of a shelf's table.
    """
    filled = [(number, row) for number, row in enumerate(rows, start=1) if any(cell.strip() for cell in row)]
    if not filled:
        raise InputError("table", "nothing", "a row of names: " + ", ".join(COLUMNS))
    _, first = filled[0]
    names = [name.strip().lower() for name in first]
    while names and not names[-1]:
        names.pop()
    twice = [name for name in names if names.count(name) > 1]
    unknown = [name for name in names if name not in COLUMNS]
    if unknown or twice or not {"key", "label"} & set(names):
        raise InputError("columns", ", ".join(names), "key or label, and any of " + ", ".join(COLUMNS[2:]))
    seen: dict[str, int] = {}
    return [_row_step(number, names, row, seen) for number, row in filled[1:]]


def _row_step(number: int, names: list[str], row: list[str], seen: dict[str, int]) -> Step:
    cells = dict(zip(names, [*row, *[""] * len(names)], strict=False))
    key = cells.get("key", "").strip().casefold() or label_to_key(cells.get("label", ""))

    def take(connection: Connection) -> str:
        if any(cell.strip() for cell in row[len(names) :]):
            raise InputError("row", f"{len(row)} cells", f"{len(names)}, as there are names")
        if (first := seen.setdefault(key, number)) != number:
            raise InputError("key", key, "a name used once", f"It stands in row {first} too.")
        return take_row(connection, key, cells)

    return f"row {number}", key, take


def import_shelf(
    shelf: Shelf, content: bytes, kind: str, *, preview: bool = False, progress: Progress | None = None
) -> ImportReport:
    """Take a shelf's JSON or table into another shelf, all or nothing.

    Parameters
    ----------
    shelf : Shelf
        Open. Nothing on it is overwritten: what differs becomes a new version.
    content : bytes
        The whole file.
    kind : str
        ``json``, ``csv`` or ``xlsx``.
    preview : bool
        Say what would become of every row, and leave the shelf as it is.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Raises
    ------
    InputError
        If the file as a whole cannot be read; a row that cannot is told in the report.
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    tell = progress or (lambda _words, _share: None)
    steps = json_steps(shelf, content) if kind == "json" else table_steps(read_table(content, kind))
    return run_steps(shelf, steps, preview=preview, progress=tell)


def import_table(
    shelf: Shelf, rows: list[list[str]], *, preview: bool = False, progress: Progress | None = None
) -> ImportReport:
    """Take the rows of a table, names first, into a shelf; otherwise as :func:`import_shelf`."""
    tell = progress or (lambda _words, _share: None)
    return run_steps(shelf, table_steps(rows), preview=preview, progress=tell)


def read_table(content: bytes, kind: str) -> list[list[str]]:
    """Cells of a table's file, the names first.

    Raises
    ------
    InputError
        If it is no table.
    """
    if kind == "xlsx":
        return parse_sheet(content)
    if kind == "csv":
        return parse_table_csv(decode_text(content, name="table")[0])
    raise InputError("kind", kind, "json, csv or xlsx")
