"""The name of a question, from which the same shelf makes the same question again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from scumble.errors import InputError
from scumble.paint.question.question import Kind
from scumble.paint.question.tray import LEVELS

MOST_SEED: Final = 999_999

_NAME: Final = re.compile(r"([a-z-]+)\.([\w-]{1,80})\.([123])\.(\d{1,6})")


@dataclass(frozen=True, slots=True)
class Asked:
    """A question by name.

    Parameters
    ----------
    kind : Kind
        What it is about.
    key : str
        The tube it is asked of.
    level : int
        How near its wrong answers may come.
    seed : int
        Decides the rest.

    Examples
    --------
    >>> str(Asked(Kind.MIXING, "viridian", 2, 17))
    'mixing.viridian.2.17'
    >>> read_asked("mixing.viridian.2.17").kind.value
    'mixing'
    """

    kind: Kind
    key: str
    level: int
    seed: int

    def __str__(self) -> str:
        return f"{self.kind.value}.{self.key}.{self.level}.{self.seed}"


def read_asked(name: str) -> Asked:
    """A question from its name.

    Raises
    ------
    InputError
        If it is none.
    """
    found = _NAME.fullmatch(name)
    if found is None or found[1] not in {kind.value for kind in Kind}:
        raise InputError(
            "question", name, "the name of a question, such as mixing.viridian.2.17", "Begin a new round."
        )
    assert int(found[3]) in LEVELS
    return Asked(Kind(found[1]), found[2], int(found[3]), int(found[4]))
