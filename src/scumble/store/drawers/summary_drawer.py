"""Summaries: what a job worked out about the current versions, kept so that a long list opens at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from scumble.store.database.door import Door
from scumble.store.database.schema import paints, summaries, versions
from scumble.store.drawers.entry import Entry
from scumble.store.drawers.paint_table import CURRENT, FEW


@dataclass(frozen=True, slots=True)
class Summary:
    """What was worked out about one version of a paint.

    Parameters
    ----------
    made_by : str
        What it was worked out by and from, at most 40 letters; where the job's own differs, it is out of date.
    content : mapping
        Plain data as JSON writes it; the store does not look inside.
    """

    made_by: str
    content: Mapping[str, Any]


class SummaryDrawer:
    """Summaries of the current versions; old ones are overwritten."""

    def __init__(self, door: Door) -> None:
        self._door = door

    def load_all(self, keys: Collection[str] | None = None) -> dict[str, Summary]:
        """Every summary of a current version on the shelf, by the paint's key; of some keys only, those there are."""
        query = (
            select(paints.c.key, summaries.c.made_by, summaries.c.content)
            .join_from(summaries, versions)
            .join(paints, CURRENT)
            .where(paints.c.binned_at.is_(None))
        )
        if keys is not None and len(keys) <= FEW:
            query = query.where(paints.c.key.in_(keys))
        with self._door.reading() as connection:
            rows = connection.execute(query).all()
        return {key: Summary(made_by, content) for key, made_by, content in rows}

    def save_all(self, made: Mapping[Entry, Summary]) -> None:
        """Save summaries, each for the version it was worked out from, wherever that is still there.

        Raises
        ------
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            numbers = _version_ids(connection, {entry.key for entry in made})
            rows = [
                {"version_id": numbers[name], "made_by": each.made_by, "content": each.content}
                for entry, each in made.items()
                if (name := (entry.key, entry.version)) in numbers
            ]
            for row in rows:
                connection.execute(delete(summaries).where(summaries.c.version_id == row["version_id"]))
            if rows:
                connection.execute(insert(summaries), rows)


def _version_ids(connection: Connection, keys: Collection[str]) -> dict[tuple[str, int], int]:
    query = select(paints.c.key, versions.c.number, versions.c.id).join_from(versions, paints)
    if len(keys) <= FEW:
        query = query.where(paints.c.key.in_(keys))
    found = connection.execute(query.where(paints.c.binned_at.is_(None)))
    return {(row.key, row.number): row.id for row in found}
