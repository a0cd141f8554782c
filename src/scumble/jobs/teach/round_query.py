"""A round as its address says it: who answers, what is asked, and what became of the questions so far."""

from __future__ import annotations

from typing import Literal
from urllib.parse import parse_qs, urlencode, urlsplit

from pydantic import BaseModel, Field

from scumble.errors import InputError
from scumble.jobs.teach.asked import MOST_SEED, Asked, read_asked
from scumble.paint.question.ask import THEME_KINDS, THEME_WORDS, Theme
from scumble.paint.question.question import Kind

MOST_OF = 30

MOST_NAMES = 3600
"""Letters of the names of a round's questions."""


class RoundQuery(BaseModel):
    """What the address of a round says."""

    who: int = Field(default=0, ge=0, description="number of the trainee; 0 keeps nothing")
    theme: str = Field(default="", max_length=20, description="what it is about; everything when empty")
    manner: Literal["choose", "point"] = Field(
        default="choose", description="choose an answer, or point a colour out"
    )
    of: int = Field(default=8, ge=1, le=MOST_OF, description="how many questions")
    seed: int = Field(
        default=-1, ge=-1, le=MOST_SEED, description="the same seed asks the same; -1 takes one by chance"
    )
    round: str = Field(
        default="", max_length=16, pattern=r"^[0-9a-f]*$", description="tells one round from another"
    )
    had: str = Field(
        default="", max_length=MOST_NAMES, description="names of the questions so far, commas between"
    )
    so: str = Field(
        default="", max_length=MOST_OF, pattern=r"^[01]*$", description="1 for each that was right, else 0"
    )
    ask: str = Field(default="", max_length=120, description="name of the question that is asked now")
    said: str = Field(default="", max_length=40, description="the answer to it")

    def address(self, **changes: object) -> str:
        """The address of the round with some words changed; what is usual is left out."""
        usual = RoundQuery()
        words = {**self.model_dump(), **changes}
        kept = {name: value for name, value in words.items() if value != getattr(usual, name)}
        return f"/teach/round?{urlencode(kept)}"

    def kinds(self) -> tuple[Kind, ...]:
        """Kinds of question it may ask.

        Raises
        ------
        InputError
            For an unknown theme.
        """
        return kinds_of(self.theme)

    def asked_so_far(self) -> tuple[Asked, ...]:
        """Questions it has asked.

        Raises
        ------
        InputError
            If one is none.
        """
        return tuple(read_asked(name) for name in self.had.split(",") if name)


def read_address(address: str) -> RoundQuery:
    """The round that an address of :meth:`RoundQuery.address` says.

    Examples
    --------
    >>> read_address(RoundQuery(theme="white", of=3).address()).of
    3
    """
    words = parse_qs(urlsplit(address).query)
    return RoundQuery.model_validate({name: values[0] for name, values in words.items()})


def kinds_of(theme: str) -> tuple[Kind, ...]:
    """Kinds of question of a theme, of all themes where it is empty.

    Raises
    ------
    InputError
        For an unknown theme.

    Examples
    --------
    >>> [kind.value for kind in kinds_of("white")]
    ['with-white', 'little-white', 'pulls-white']
    """
    if not theme:
        return tuple(Kind)
    if theme not in set(Theme):
        raise InputError(
            "theme", theme, ", ".join(f"{each.value} ({THEME_WORDS[each].lower()})" for each in Theme)
        )
    return THEME_KINDS[Theme(theme)]
