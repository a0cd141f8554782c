"""On which area of a card each of an instrument's samples was read: by their names, or as a person says.

Nothing is guessed in silence: a mapping tells for every sample how it was found, and what was left over.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache
from typing import Final

from scumble.card.sheet.geometry import LAYOUTS, Area, card_geometry
from scumble.card.sheet.words import caption
from scumble.errors import InputError

CLOSE: Final = 0.84
"""Likeness of two names from which one is taken for a slip of the other, 0 to 1."""

CLEAR: Final = 0.06
"""How much likelier it must be than the next best."""

_FILMS: Final = {
    "full": ("full", "full strength", "masstone"),
    "thin1": ("thin", "thin1", "thin 1"),
    "thin2": ("very thin", "thin2", "thin 2"),
    "bare": ("bare", "unpainted", ""),
}
"""What a film is called by those who type names into an instrument."""

_PAPER: Final = ("paper", "bare paper", "substrate")
_FILLING: Final = frozenset(("on", "over", "the", "area"))
_REPEAT: Final = re.compile(r"^(.*\D)[\s_#(.-]+\d{1,2}\)?$")

HOWS: Final = ("given", "name", "words", "close")
"""How a sample was placed: as a person said, by the area's own name, by what the card says under the area, or by the
closest such words."""


@dataclass(frozen=True, slots=True)
class Match:
    """A sample and its area.

    Parameters
    ----------
    sample : int
        Place of the sample in the file, counted from 0.
    name : str
        What the instrument calls it.
    area : str
        Area of the card.
    how : str
        One of :data:`HOWS`.
    """

    sample: int
    name: str
    area: str
    how: str


@dataclass(frozen=True, slots=True)
class SamplePlaces:
    """Where the samples of a file were read.

    Parameters
    ----------
    layout : str
        Of the card.
    matches : tuple of Match
        In the order of the file.
    left_over : tuple of (int, str)
        Samples that no area was found for, or that were left out as asked: place and name.
    missing : tuple of str
        Areas of the card without a sample.
    """

    layout: str
    matches: tuple[Match, ...]
    left_over: tuple[tuple[int, str], ...]
    missing: tuple[str, ...]

    @property
    def places(self) -> dict[int, str]:
        """Area of each sample that has one."""
        return {match.sample: match.area for match in self.matches}

    @property
    def certain(self) -> int:
        """Number of samples that were placed by more than likeness."""
        return sum(match.how != "close" for match in self.matches)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was done, for whoever has to believe it."""
        said = [
            f"{len(self.matches)} samples were placed on the {self.layout} card, {_counts(self.matches)}."
        ]
        said += [
            f"Sample {match.name} was taken for area {match.area}, the closest name."
            for match in self.matches
            if match.how == "close"
        ]
        if self.left_over:
            said.append(f"Left out: {_list(name for _, name in self.left_over)}.")
        if self.missing:
            said.append(f"No sample was read on {_list(self.missing)}.")
        return tuple(said)


def map_samples(names: Sequence[str], *, layout: str, given: Mapping[int, str] | None = None) -> SamplePlaces:
    """Say on which area of a card each sample was read.

    Parameters
    ----------
    names : sequence of str
        What the instrument calls its samples; of several on one area the mean is taken later.
    layout : str
        Of the card.
    given : mapping of int to str, optional
        Areas that a person named, by the place of the sample counted from 0; an empty name leaves it out. The others
        are placed by their names.

    Raises
    ------
    InputError
        If there is no such layout, sample or area.

    Examples
    --------
    >>> found = map_samples(["bare white", "full-white", "Thin on white", "swatch 7"], layout="quick")
    >>> [(match.area, match.how) for match in found.matches]
    [('white', 'words'), ('full-white', 'name'), ('thin1-white', 'words')]
    >>> found.left_over
    ((3, 'swatch 7'),)
    """
    geometry = card_geometry(layout)
    areas = [area.name for area in geometry.areas]
    given = dict(given or {})
    _check_given(names, areas, given)
    matches = {at: Match(at, names[at], area, "given") for at, area in given.items() if area}
    waiting = [at for at in range(len(names)) if at not in given]
    spelled = spellings(layout)
    for at in waiting:
        if (found := _by_name(names[at], spelled)) is not None:
            matches[at] = Match(at, names[at], *found)
    # A slip is looked for only among the areas that nobody else is called by.
    free = [area for area in areas if area not in {match.area for match in matches.values()}]
    for at in waiting:
        if at not in matches and (close := _closest(names[at], {area: spelled[area] for area in free})):
            matches[at] = Match(at, names[at], close, "close")
    taken = {match.area for match in matches.values()}
    return SamplePlaces(
        layout,
        tuple(matches[at] for at in sorted(matches)),
        tuple((at, name) for at, name in enumerate(names) if at not in matches),
        tuple(area for area in areas if area not in taken),
    )


def likeliest_layout(names: Sequence[str], *, given: Mapping[int, str] | None = None) -> str:
    """The layout on which most samples find a place, and of those the one with fewest areas left.

    Examples
    --------
    >>> likeliest_layout(["white", "black", "full on white", "thin on magenta", "1:19 on black"])
    'full'
    """

    def fit(layout: str) -> tuple[int, int]:
        areas = {area.name for area in card_geometry(layout).areas}
        own = {at: area for at, area in (given or {}).items() if not area or area in areas}
        found = map_samples(names, layout=layout, given=own)
        return found.certain, -len(found.missing)

    return max(LAYOUTS, key=fit)


def areas_in_order(names: Sequence[str], *, layout: str) -> dict[int, str]:
    """The areas of a card in the order in which it is painted, one for each sample.

    Raises
    ------
    InputError
        If there are not as many samples as areas.
    """
    areas = [area.name for area in card_geometry(layout).areas]
    if len(names) != len(areas):
        raise InputError(
            "samples", len(names), f"{len(areas)}, one for each area of the {layout} card in order"
        )
    return dict(enumerate(areas))


def given_by_name(said: Iterable[str], names: Sequence[str]) -> dict[int, str]:
    """What a person typed as ``SAMPLE=AREA``: the sample by its name or its number from 1, the area or nothing.

    Raises
    ------
    InputError
        If it is not of that form, or no sample, or several, go by that name.

    Examples
    --------
    >>> given_by_name(["S2=full-white", "1="], ["S1", "S2"])
    {1: 'full-white', 0: ''}
    """
    given: dict[int, str] = {}
    for each in said:
        sample, sign, area = (part.strip() for part in each.rpartition("="))
        if not sign or not sample:
            raise InputError("map", each, "SAMPLE=AREA, such as S12=full-white")
        found = [at for at, name in enumerate(names) if name == sample]
        if not found and sample.isdecimal() and 1 <= int(sample) <= len(names):
            found = [int(sample) - 1]
        if len(found) != 1:
            hint = "Several go by that name; use its number in the file." if found else ""
            raise InputError("map", sample, _list(names) or "the name of a sample", hint)
        given[found[0]] = area
    return given


@cache
def spellings(layout: str) -> dict[str, tuple[str, ...]]:
    """What each area of a layout may be called, made plain; the first is its own name."""
    return {
        area.name: tuple(dict.fromkeys(map(_plain, _said_of(area)))) for area in card_geometry(layout).areas
    }


def _said_of(area: Area) -> list[str]:
    films = _FILMS.get(area.film) or _tint_names(area.film)
    said = [area.name, caption(area.film, area.ground)]
    said += [f"{film} {area.ground}" for film in films]
    return said + (list(_PAPER) if area.is_bare and area.ground == "white" else [])


def _tint_names(film: str) -> tuple[str, ...]:
    parts = film.removeprefix("tint")
    return (film, f"tint {parts}", f"tint 1:{parts}", f"1:{parts}", f"1 to {parts}", f"1+{parts}")


def _plain(name: str) -> str:
    """Words and numbers alone, without capitals and filling words."""
    bare = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return " ".join(word for word in re.findall(r"[a-z0-9]+", bare) if word not in _FILLING)


def _by_name(name: str, spelled: Mapping[str, tuple[str, ...]]) -> tuple[str, str] | None:
    """Area and way, if a name, or a name with the number of a repeat behind it, is what an area is called."""
    tries = [name, *(found[1] for found in [_REPEAT.match(name.strip())] if found)]
    for each in tries:
        wanted = _plain(each)
        for area, names in spelled.items():
            if wanted in names or wanted.replace(" ", "") in {known.replace(" ", "") for known in names}:
                return area, "name" if each.strip().lower() == area else "words"
    return None


def _closest(name: str, spelled: Mapping[str, tuple[str, ...]]) -> str | None:
    """The one area whose name is most alike, if it is alike and none other is."""
    wanted = _plain(name)
    if not wanted:
        return None
    alike = sorted(
        (
            (max(SequenceMatcher(None, wanted, each).ratio() for each in names), area)
            for area, names in spelled.items()
        ),
        reverse=True,
    )
    if not alike or alike[0][0] < CLOSE or (len(alike) > 1 and alike[0][0] - alike[1][0] < CLEAR):
        return None
    return alike[0][1]


def _check_given(names: Sequence[str], areas: list[str], given: Mapping[int, str]) -> None:
    for at, area in given.items():
        if not 0 <= at < len(names):
            raise InputError("sample", at + 1, f"1 to {len(names)}")
        if area and area not in areas:
            raise InputError("area", area, _list(areas, most=30))


def _counts(matches: Sequence[Match]) -> str:
    ways = {"given": "as given", "name": "by name", "words": "by their words", "close": "by the closest name"}
    counts = {how: sum(match.how == how for match in matches) for how in HOWS}
    return ", ".join(f"{count} {ways[how]}" for how, count in counts.items() if count) or "none"


def _list(words: Iterable[str], *, most: int = 12) -> str:
    known = list(words)
    return ", ".join(known[:most]) + (f" and {len(known) - most} more" if len(known) > most else "")
