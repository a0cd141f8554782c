"""Reference targets and device profiles kept beside the shelf, to be chosen for the photographs of cards."""

from __future__ import annotations

import json
import time
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any, Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from scumble.errors import InputError
from scumble.jobs.colour_request import LARGEST_PROFILE, is_profile
from scumble.jobs.files import write_whole
from scumble.jobs.record_folder import Record, RecordFolder

if TYPE_CHECKING:
    from scumble.paint.reference import ReferenceTarget

MOST_AIDS = 60
"""Kept at once, those that were put away with them."""

LARGEST_REFERENCE = 4_000_000
"""Bytes; the text of a target takes some tens of kilobytes."""


class ColourWords(BaseModel):
    """What a person says of the colour of a photograph.

    Attributes
    ----------
    target, profile : str
        Keys of aids; empty for none.
    corners : str
        Of the target in the upright picture, ``x,y x,y x,y x,y``; looked for when empty.
    """

    model_config = ConfigDict(frozen=True)

    target: str = ""
    profile: str = ""
    corners: str = ""


NOTHING_CHOSEN = ColourWords()


class ColourAid(Record):
    """One target or profile.

    Attributes
    ----------
    key : str
        Made of its content, so that the same file is kept once.
    kind : str
        ``target`` or ``profile``.
    name : str
        What the file was called, to be shown.
    words : str
        What it is, in a few words.
    columns : int, optional
        Patches in a row of a target whose patches only have numbers.
    added_at : float [s]
        Since 1970.
    put_away : bool
        Whether it is no longer offered; photographs that were read by it still are.
    """

    kind: Literal["target", "profile"]
    name: str
    words: str
    columns: int | None = None
    added_at: float = 0.0
    put_away: bool = False


class ColourAids:
    """Targets and profiles in a folder; threads may share it.

    Parameters
    ----------
    folder : Path
        Made where it is missing.

    Raises
    ------
    StoreError
        If the folder cannot be made or read.
    """

    def __init__(self, folder: Path) -> None:
        self._kept = RecordFolder(
            folder,
            ColourAid,
            ending=".aid",
            order=lambda aid: aid.added_at,
            holds="targets and profiles",
            missing=lambda key: InputError(
                "target or profile", key, "one that is kept here", "Hand it in anew."
            ),
        )
        self._lock = Lock()
        self._targets: dict[str, ReferenceTarget] = {}

    def all(self, kind: str = "") -> tuple[ColourAid, ...]:
        """Those of one kind, or all, in the order in which they came."""
        return tuple(aid for aid in self._kept.all() if kind in ("", aid.kind))

    def find(self, key: str) -> ColourAid:
        """One of them.

        Raises
        ------
        InputError
            If it is not kept here.
        """
        return self._kept.find(key)

    def add(self, content: bytes, name: str, *, columns: int | None = None) -> ColourAid:
        """Keep a target's reference text or an ICC profile; what it is, its content says.

        Parameters
        ----------
        content : bytes
            The file.
        name : str
            To be shown.
        columns : int, optional
            Patches in a row, for a target whose patches only have numbers.

        Raises
        ------
        InputError
            If it is neither, or there are too many.
        """
        key = sha256(content).hexdigest()[:16]
        kind: Literal["target", "profile"] = "profile" if is_profile(content) else "target"
        words = _profile_words(content, name) if kind == "profile" else _target_words(content, name, columns)
        keys = {aid.key for aid in self._kept.all()}
        if key not in keys and len(keys) >= MOST_AIDS:
            raise InputError("file", name, f"{MOST_AIDS} targets and profiles")
        aid = ColourAid(
            key=key, kind=kind, name=name, words=words, columns=columns, added_at=round(time.time(), 3)
        )
        self._kept.add(aid, content)
        return aid

    def put_away(self, key: str, *, away: bool = True) -> ColourAid:
        """Offer one no longer, or again."""
        return self._kept.change(key, lambda _aid: {"put_away": away})

    def chosen(self) -> ColourWords:
        """What was chosen for the photographs that are dropped next."""
        try:
            text = (self._kept.path / "chosen").read_text(encoding="utf-8")
            words = ColourWords.model_validate(json.loads(text))
        except (OSError, ValueError, ValidationError):
            return ColourWords()
        offered = {aid.key for aid in self.all() if not aid.put_away}
        return ColourWords(
            target=words.target if words.target in offered else "",
            profile=words.profile if words.profile in offered else "",
        )

    def choose(self, words: ColourWords) -> None:
        """Have the photographs that are dropped from now on read by these.

        Raises
        ------
        InputError
            If one is not kept here, or is of the other kind.
        """
        self.check(words)
        plain = words.model_copy(update={"corners": ""})
        write_whole(self._kept.path / "chosen", plain.model_dump_json().encode())

    def check(self, words: ColourWords) -> None:
        """Refuse words that name what is not here.

        Raises
        ------
        InputError
            Naming what it is.
        """
        from scumble.card.by_target import corners_from_text

        for kind, key in (("target", words.target), ("profile", words.profile)):
            if key and self.find(key).kind != kind:
                raise InputError(kind, self.find(key).name, f"a {kind}")
        if words.corners and not words.target:
            raise InputError("corners", words.corners, "together with the target that lies there")
        if words.corners:
            corners_from_text(words.corners)

    def options(self, words: ColourWords) -> dict[str, Any]:
        """Options of `scumble.card.read_photograph` for what was said.

        Raises
        ------
        InputError
            If something that was named is not here any more.
        """
        from scumble.card.by_target import TargetView, corners_from_text

        self.check(words)
        options: dict[str, Any] = {}
        if words.target:
            corners = corners_from_text(words.corners) if words.corners else None
            target = self._target(words.target)
            options["target"] = TargetView(target, corners, self.find(words.target).columns)
        if words.profile:
            options["profile"] = self._kept.file(words.profile).read_bytes()
        return options

    def _target(self, key: str) -> ReferenceTarget:
        """A target; to lead its patches to D65 takes longer than to read a picture, so that it is done once."""
        from scumble.store.readings.reference_cgats import parse_reference

        with self._lock:
            if key not in self._targets:
                content = self._kept.file(key).read_bytes()
                self._targets[key] = parse_reference(content, name=self.find(key).name)
            return self._targets[key]


def _profile_words(content: bytes, name: str) -> str:
    """What a profile calls itself."""
    from scumble.card.picture.profile import encoding_from_icc
    from scumble.card.picture.profile_table import table_from_icc

    encoding = encoding_from_icc(content, is_absolute=True) or table_from_icc(content)
    if len(content) > LARGEST_PROFILE or encoding is None:
        raise InputError("file", name, "an ICC profile from red, green and blue, whole and of at most 8 MB")
    return f"profile “{encoding.name}”"


def _target_words(content: bytes, name: str, columns: int | None) -> str:
    """How many patches a target has, and how they lie."""
    from scumble.paint.reference import patch_grid
    from scumble.store.readings.reference_cgats import parse_reference

    if len(content) > LARGEST_REFERENCE:
        raise InputError("file", name, "the reference text of a target, at most 4 MB")
    grid = patch_grid(parse_reference(content, name=name), columns=columns)
    return f"target of {len(grid.members)} patches, {grid.rows} rows of {grid.columns}"
