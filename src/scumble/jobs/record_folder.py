"""A folder of records, each beside the file that it is about; threads may share it, and a restart loses none."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from threading import Lock
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from scumble.errors import ScumbleError, StoreError
from scumble.jobs.files import write_whole


class Record(BaseModel):
    """What is known of one file of a folder.

    Attributes
    ----------
    key : str
        Its files go by it, never by a name that was sent.
    """

    model_config = ConfigDict(frozen=True)

    key: str


Kind = TypeVar("Kind", bound=Record)


class RecordFolder(Generic[Kind]):
    """Records of one kind with their files.

    Parameters
    ----------
    path : Path
        The folder, made where it is missing; a record lies there as ``KEY.json``.
    kind : type
        What a record is; what does not read as one, or has lost its file, is passed over.
    ending : str
        Of the files that the records are about, such as ``.card``.
    order : callable
        By what records are sorted.
    holds : str
        What lies there, for a sentence.
    missing : callable
        The error for a key that is not there.

    Raises
    ------
    StoreError
        If the folder cannot be made or read.
    """

    def __init__(
        self,
        path: Path,
        kind: type[Kind],
        *,
        ending: str,
        order: Callable[[Kind], float],
        holds: str,
        missing: Callable[[str], ScumbleError],
    ) -> None:
        self.path = path
        self._kind = kind
        self._ending = ending
        self._missing = missing
        self._order = order
        self._lock = Lock()
        self._writing = Lock()
        try:
            path.mkdir(parents=True, exist_ok=True)
            found = [record for file in path.glob("*.json") if (record := self._load(file))]
        except OSError as error:
            said = error.strerror or str(error)
            raise StoreError(f"The folder of {holds} cannot be used: {said}.") from None
        self._records = {record.key: record for record in found}

    def all(self) -> tuple[Kind, ...]:
        """Every record, the oldest first; those of one moment by their keys, so that a restart shows them alike."""
        with self._lock:
            return tuple(sorted(self._records.values(), key=lambda record: (self._order(record), record.key)))

    def find(self, key: str) -> Kind:
        """One record, or the error that says it is not there."""
        with self._lock:
            if key not in self._records:
                raise self._missing(key)
            return self._records[key]

    def add(self, record: Kind, content: bytes) -> None:
        """Keep a file and what is known of it.

        Raises
        ------
        InputError
            If it cannot be written.
        """
        write_whole(self.file(record.key), content)
        with self._writing:
            self._keep(record)

    def change(self, key: str, change: Callable[[Kind], dict[str, Any]]) -> Kind:
        """Write down something else about a file; nobody else changes it meanwhile.

        Parameters
        ----------
        key : str
            Of the record.
        change : callable
            From the record as it stands to the fields that differ; none, and nothing is written.
        """
        with self._writing:
            record = self.find(key)
            if changes := change(record):
                record = record.model_copy(update=changes)
                self._keep(record)
        return record

    def let_go(self, keys: tuple[str, ...]) -> None:
        """Delete records and all their files."""
        with self._lock:
            for key in keys:
                self._records.pop(key, None)
        for key in keys:
            for file in self.path.glob(f"{key}.*"):
                file.unlink(missing_ok=True)

    def file(self, key: str, ending: str = "") -> Path:
        """Where the file of a record lies, or another one of it with an ending of its own."""
        return self.path / f"{key}{ending or self._ending}"

    def _keep(self, record: Kind) -> None:
        write_whole(self.file(record.key, ".json"), record.model_dump_json().encode())
        with self._lock:
            self._records[record.key] = record

    def _load(self, file: Path) -> Kind | None:
        """One record as it was written down; None for what is damaged or has lost its file."""
        try:
            record = self._kind.model_validate(json.loads(file.read_text(encoding="utf-8")))
        except (OSError, ValueError, ValidationError):
            return None
        return record if record.key == file.stem and self.file(record.key).exists() else None
