"""The few errors a person is meant to read."""

from __future__ import annotations


class ScumbleError(Exception):
    """Anything Scumble says to a person; its text can be read aloud at the counter."""


class InputError(ScumbleError):
    """Something handed in cannot be used.

    Parameters
    ----------
    field : str
        What the person gave, in their words (a column, an option, a form field).
    given : object
        What was seen there.
    allowed : str
        What can stand there.
    hint : str
        What to do about it; may be empty.
    """

    def __init__(self, field: str, given: object, allowed: str, hint: str = "") -> None:
        self.field = field
        self.given = given
        self.allowed = allowed
        self.hint = hint
        shown = str(given)
        if len(shown) > 120:
            shown = shown[:117] + "..."
        sentence = f"{field}: saw {shown!r}; allowed is {allowed}."
        super().__init__(f"{sentence} {hint}".rstrip())


class CardError(ScumbleError):
    """A picture of a sample card cannot be read: what was seen, and what to do."""

    def __init__(self, seen: str, remedy: str) -> None:
        self.seen = seen
        self.remedy = remedy
        super().__init__(f"{seen} {remedy}".rstrip())


class StoreError(ScumbleError):
    """The shelf cannot be opened, read or written; nothing was half-saved."""
