"""What to be careful with, by pigment family; the safety data sheet always comes first."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from scumble.tables import load_table

ALWAYS = (
    "Any paint: do not spray it, sand it or use it as dry powder without the protection that its safety data sheet "
    "asks for; keep it away from food and out of children's mouths; keep wash water and scrapings out of the drain "
    "where local rules say so.",
    "This page knows Colour Index names only. The tube's own label, the maker's safety data sheet and local rules "
    "come before it.",
)
"""Said of every paint. *Common practice, no source.*"""


def pigment_cautions(pigments: Iterable[str]) -> tuple[str, ...]:
    """Cautions for a paint's pigments, from table ``pigment_cautions``.

    Parameters
    ----------
    pigments : iterable of str
        Colour Index names, in any spelling of capitals and blanks.

    Returns
    -------
    tuple of str
        One sentence a family, empty when none is known to ask for special care.

    Examples
    --------
    >>> pigment_cautions(["PY 37", "PB29"])
    ('PY37: Holds cadmium, which the body keeps: its dust must never be breathed or swallowed.',)
    """
    names = [_plain(name) for name in pigments]
    return tuple(
        f"{', '.join(_shown(name) for name in names if name in members)}: {caution}"
        for members, caution in _families()
        if not members.isdisjoint(names)
    )


def pigment_families(pigments: Iterable[str]) -> tuple[str, ...]:
    """Caution families of a paint's pigments, in the order of table ``pigment_cautions``.

    Parameters
    ----------
    pigments : iterable of str
        Colour Index names, in any spelling of capitals and blanks.

    Examples
    --------
    >>> pigment_families(["pw6", "PR 104"])
    ('lead', 'chromate', 'titanium dioxide')
    """
    names = {_plain(name) for name in pigments}
    known = load_table("pigment_cautions")["family"].tolist()
    return tuple(
        family
        for family, (members, _) in zip(known, _families(), strict=True)
        if not members.isdisjoint(names)
    )


def known_families() -> tuple[str, ...]:
    """Every caution family, in the order of table ``pigment_cautions``.

    Examples
    --------
    >>> "cadmium" in known_families()
    True
    """
    return tuple(str(family) for family in load_table("pigment_cautions")["family"].tolist())


def _plain(name: str) -> str:
    return "".join(name.split()).casefold()


def _shown(name: str) -> str:
    """A Colour Index name in its usual capitals."""
    return name.upper().replace("PBK", "PBk").replace("PBR", "PBr")


@cache
def _families() -> tuple[tuple[frozenset[str], str], ...]:
    table = load_table("pigment_cautions")
    rows = zip(table["names"].tolist(), table["caution"].tolist(), strict=True)
    return tuple((frozenset(_plain(name) for name in names.split()), caution) for names, caution in rows)
