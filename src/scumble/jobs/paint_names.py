"""Paints by what a person calls them, where the paints are at hand already."""

from __future__ import annotations

from collections.abc import Sequence

from scumble.errors import InputError
from scumble.jobs.layering_request import FindPaint
from scumble.paint import Paint
from scumble.paint.near_names import hint_names


def paints_by_name(
    paints: Sequence[Paint], *, field: str = "paint", among: str = "a paint on the shelf"
) -> FindPaint:
    """Make the look-up of paints by their short names, or by their labels where only one has it.

    Parameters
    ----------
    paints : sequence of Paint
        To be looked among.
    field : str
        What the message calls a name that is not found.
    among : str
        What would have been allowed.

    Returns
    -------
    callable
        Takes a name, capitals aside, answers its paint, and raises InputError for a name nobody has or several have.

    Examples
    --------
    >>> from scumble.paint.pigment import starter_shelf
    >>> find_paint = paints_by_name(starter_shelf())
    >>> find_paint("titanium white").key
    'titanium-white'
    """
    by_key = {paint.key.casefold(): paint for paint in paints}
    by_label: dict[str, list[Paint]] = {}
    for paint in paints:
        by_label.setdefault(paint.label.casefold(), []).append(paint)

    def find_paint(name: str) -> Paint:
        wanted = name.strip().casefold()
        if wanted in by_key:
            return by_key[wanted]
        same = by_label.get(wanted, [])
        if len(same) == 1:
            return same[0]
        raise InputError(field, name, among, _hint(name, same or paints))

    return find_paint


def split_names(text: str) -> tuple[str, ...]:
    """Names written in one line with commas between.

    Examples
    --------
    >>> split_names(" cadmium red,, lead white ")
    ('cadmium red', 'lead white')
    """
    return tuple(word.strip() for word in text.split(",") if word.strip())


def _hint(name: str, paints: Sequence[Paint]) -> str:
    if not paints:
        return "There is none yet."
    keys = {paint.key: paint.label for paint in paints}
    if all(label.casefold() == name.strip().casefold() for label in keys.values()):
        return f"Several go by that name; write one of {', '.join(keys)}."
    return hint_names(name, keys)
