"""Names that come near what a person wrote, for the message that says there is no such paint."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

SHOWN = 3
"""Near names that a message says."""

LISTED = 8
"""Names that a message says when none is near."""


def hint_names(name: str, known: Mapping[str, str]) -> str:
    """A sentence that leads from a name nobody has to one that somebody has.

    Parameters
    ----------
    name : str
        What was written.
    known : mapping of str to str
        Keys and the labels they go by; at least one.

    Returns
    -------
    str
        Up to three near keys, or the first few of all.

    Examples
    --------
    >>> hint_names("titanum white", {"titanium-white": "Titanium white", "warm-earth": "Warm earth"})
    'Did you mean titanium-white?'
    >>> hint_names("xyz", {"titanium-white": "Titanium white", "warm-earth": "Warm earth"})
    'There are: titanium-white, warm-earth.'
    """
    ways = {label.casefold(): key for key, label in known.items()} | {key.casefold(): key for key in known}
    close = get_close_matches(name.strip().casefold(), ways, n=2 * SHOWN, cutoff=0.5)
    near = tuple(dict.fromkeys(ways[way] for way in close))[:SHOWN]
    if near:
        return f"Did you mean {' or '.join(near)}?"
    return f"There are: {', '.join(sorted(known)[:LISTED])}{' ...' if len(known) > LISTED else ''}."
