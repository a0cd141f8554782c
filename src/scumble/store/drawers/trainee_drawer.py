"""The drawer of trainees: what they answered is added to, and erased for good with their name when that is asked."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select

from scumble.errors import InputError
from scumble.store.database.door import Door, now
from scumble.store.database.schema import answers, trainees
from scumble.store.database.sqlite_file import wipe_deleted
from scumble.store.drawers.paint_history import plain_moment
from scumble.store.trainee import Answer, Trainee, check_trainee_name


class TraineeDrawer:
    """Who learns, and what they answered.

    Parameters
    ----------
    door : Door
        Of the shelf.
    """

    def __init__(self, door: Door) -> None:
        self._door = door

    def add(self, name: str) -> Trainee:
        """Begin a record for a name or initials.

        Raises
        ------
        InputError
            If the name cannot be kept, or somebody has it.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        plain = check_trainee_name(name)
        with self._door.writing() as connection:
            if find_trainee(connection, plain) is not None:
                hint = "Add a letter to tell the two apart."
                raise InputError("name", plain, "a name that nobody here has yet", hint)
            return add_trainee(connection, plain)

    def load(self, number: int) -> Trainee:
        """One trainee.

        Raises
        ------
        InputError
            If there is none of that number.
        """
        with self._door.reading() as connection:
            row = connection.execute(select(trainees).where(trainees.c.id == number)).first()
        if row is None:
            raise InputError(
                "trainee", number, "a trainee of this shelf", "Their record may have been erased."
            )
        return _trainee(row)

    def find(self, name: str) -> Trainee:
        """One trainee by name, capitals aside.

        Raises
        ------
        InputError
            If there is none; the message lists who there is.
        """
        with self._door.reading() as connection:
            found = find_trainee(connection, name)
        if found is None:
            known = ", ".join(each.name for each in self.load_all())
            raise InputError(
                "trainee", name, known or "nobody yet", "A round with a new name begins a record."
            )
        return found

    def load_all(self) -> tuple[Trainee, ...]:
        """Everybody, by name."""
        with self._door.reading() as connection:
            rows = connection.execute(select(trainees).order_by(trainees.c.key)).all()
        return tuple(_trainee(row) for row in rows)

    def save_answer(self, number: int, answer: Answer) -> bool:
        """Keep an answer; the first to a question of a round counts, others are left. Whether it was kept.

        Raises
        ------
        InputError
            If there is no such trainee.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            if connection.execute(select(trainees.c.id).where(trainees.c.id == number)).first() is None:
                raise InputError(
                    "trainee", number, "a trainee of this shelf", "Their record may have been erased."
                )
            return add_answers(connection, number, [answer]) == 1

    def load_answers(self, number: int | None = None) -> dict[int, tuple[Answer, ...]]:
        """Answers by the trainee's number, oldest first; of one trainee only where one is named."""
        with self._door.reading() as connection:
            return select_answers(connection, number)

    def erase(self, number: int) -> Trainee:
        """Erase a trainee with all their answers: no bin, no way back, and no trace in the shelf's file.

        Raises
        ------
        InputError
            If there is no such trainee.
        StoreError
            If the shelf cannot be written; nothing was erased.

        Notes
        -----
        What is deleted is overwritten with zeros (SQLite, ``secure_delete``) and the log of what was written is cut
        off. Copies made before, such as a backup or an export, are not reached; nor is what a database server keeps.
        """
        trainee = self.load(number)
        with self._door.writing() as connection:
            connection.execute(delete(answers).where(answers.c.trainee_id == number))
            connection.execute(delete(trainees).where(trainees.c.id == number))
        wipe_deleted(self._door.engine)
        return trainee


def add_trainee(connection: Connection, name: str, added_at: datetime | None = None) -> Trainee:
    """Add a trainee within a visit."""
    moment = now() if added_at is None else plain_moment(added_at)
    values = {"key": name.casefold(), "name": name, "added_at": moment}
    found = connection.execute(insert(trainees).values(**values)).inserted_primary_key
    assert found is not None and moment is not None
    return Trainee(int(found[0]), name, moment.replace(tzinfo=UTC))


def find_trainee(connection: Connection, name: str) -> Trainee | None:
    """A trainee by name, capitals aside, within a visit."""
    key = " ".join(name.split()).casefold()
    row = connection.execute(select(trainees).where(trainees.c.key == key)).first()
    return None if row is None else _trainee(row)


def add_answers(connection: Connection, number: int, several: Iterable[Answer]) -> int:
    """Add answers within a visit, those to questions of rounds that have none yet; how many that were."""
    query = select(answers.c.round, answers.c.place).where(answers.c.trainee_id == number)
    known = {(row.round, row.place) for row in connection.execute(query)}
    added = 0
    for each in several:
        if (each.round, each.place) in known:
            continue
        known.add((each.round, each.place))
        connection.execute(insert(answers).values(trainee_id=number, **_row(each)))
        added += 1
    return added


def select_answers(connection: Connection, number: int | None = None) -> dict[int, tuple[Answer, ...]]:
    """Answers by the trainee's number, oldest first, within a visit."""
    query = select(answers).order_by(answers.c.answered_at, answers.c.id)
    if number is not None:
        query = query.where(answers.c.trainee_id == number)
    found: dict[int, list[Answer]] = {}
    for row in connection.execute(query):
        found.setdefault(row.trainee_id, []).append(_answer(row))
    return {trainee: tuple(own) for trainee, own in found.items()}


def _row(answer: Answer) -> dict[str, Any]:
    moment = now() if answer.answered_at is None else plain_moment(answer.answered_at)
    return {
        "answered_at": moment,
        "kind": answer.kind,
        "paints": list(answer.paints),
        "is_right": answer.right,
        "difficulty": answer.difficulty,
        "guessed": answer.guessed,
        "round": answer.round,
        "place": answer.place,
        "slip": answer.slip,
        "off_de00": answer.off_de00,
    }


def _answer(row: Row[Any]) -> Answer:
    return Answer(
        kind=row.kind,
        paints=tuple(row.paints),
        right=row.is_right,
        difficulty=row.difficulty,
        guessed=row.guessed,
        round=row.round,
        place=row.place,
        slip=row.slip,
        off_de00=row.off_de00,
        answered_at=row.answered_at.replace(tzinfo=UTC),
    )


def _trainee(row: Row[Any]) -> Trainee:
    return Trainee(row.id, row.name, row.added_at.replace(tzinfo=UTC))
