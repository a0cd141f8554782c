"""The doors of the house: the pages that every page leads to."""

from __future__ import annotations

from typing import NamedTuple


class Door(NamedTuple):
    """One page that every page leads to."""

    path: str
    """Where it lies; the pages below it belong to it."""
    name: str
    """What the door says."""


DOORS = (
    Door("/", "Shelf"),
    Door("/cards", "Cards"),
    Door("/layers", "Layers"),
    Door("/painting", "On a painting"),
    Door("/match", "Match"),
    Door("/plan", "Plan"),
    Door("/supply", "To buy"),
    Door("/print", "Print"),
    Door("/proofs", "Proofs"),
    Door("/teach", "Teach"),
    Door("/counter", "Counter"),
)
"""In the order in which they stand."""


def is_open(door: Door, here: str) -> bool:
    """Whether a page lies behind this door.

    Parameters
    ----------
    door : Door
        The door.
    here : str
        The path that was asked for, with its query.

    Examples
    --------
    >>> shelf, layers = DOORS[0], Door("/layers", "Layers")
    >>> is_open(shelf, "/?find=warm"), is_open(shelf, "/layers"), is_open(layers, "/layers?b=2")
    (True, False, True)
    """
    path = here.partition("?")[0]
    return path == door.path or (door.path != "/" and path.startswith(door.path + "/"))
