"""From the rows of a readings file to card readings: names, parts and grounds checked, numbers read."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from scumble.colour.spectrum import LIGHTS, OBSERVERS
from scumble.errors import InputError
from scumble.paint.reading import BARE, CardReadings, Quantity, Reading
from scumble.store.readings.columns import COLOUR_NAMES, find_value_columns, wavelength_of
from scumble.store.readings.measured import read_measured
from scumble.store.readings.numbers import read_values
from scumble.store.readings.raw import (
    MOST_AREAS,
    ROLES,
    WEIGHT,
    RawCard,
    RawRow,
    check_name,
    join_words,
    parse_number,
)

FULL: Final = "full"

MOST_PARTS: Final = 1e6

_DEGREES = re.compile(r"(2|10)(?:\.0*)?[\s_]*(?:°|deg|degrees?)?|.*\b(1931|1964)\b.*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """What a readings file holds, and what had to be guessed to read it.

    Parameters
    ----------
    readings : CardReadings
        One card.
    doubts : tuple of str
        Sentences; empty when nothing was guessed.
    """

    readings: CardReadings
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Label:
    """Everything a row says but its numbers."""

    place: str
    area: str
    film: str
    paint_parts: float
    white_parts: float
    ground: str
    weight: float

    @property
    def is_bare(self) -> bool:
        return self.film == BARE


def read_card_rows(raw: RawCard) -> ReadingsFile:
    """Check the rows of a file of any kind and make card readings of them.

    Raises
    ------
    InputError
        Naming line and column, for anything that cannot be a card.
    """
    _check_shape(raw)
    columns = find_value_columns(raw)
    light, observer, light_doubts = light_and_observer(raw)
    labels = [_read_label(raw, row) for row in raw.rows]
    _check_areas(labels)
    ground_of = _find_grounds(labels)
    values, doubts = read_values(raw, columns, light=light, observer=observer)
    readings = tuple(
        Reading(
            each.area, each.film, each.paint_parts, each.white_parts, ground_of[each.area], seen, each.weight
        )
        for each, seen in zip(labels, values, strict=True)
    )
    card = CardReadings(readings, columns.quantity, light, observer, _noise(raw))
    card = replace(card, **read_measured(raw.header))
    # A spectrum is the same under every light, so nothing was guessed there.
    light_doubts = light_doubts if columns.quantity is Quantity.XYZ else []
    guessed = (*raw.doubts, *_doubt_columns(raw), *columns.doubts, *light_doubts)
    return ReadingsFile(card, (*guessed, *doubts, *_doubt_strokes(labels)))


def _check_shape(raw: RawCard) -> None:
    if missing := [role for role in ROLES if raw.column(role) is None]:
        given = join_words(raw.columns, most=12) or "none"
        raise InputError("columns", given, join_words(ROLES), f"Add {join_words(missing)}.")
    if not raw.rows:
        raise InputError("rows", "none", "a row for each area of the card")
    if len(raw.rows) > MOST_AREAS:
        raise InputError("rows", len(raw.rows), f"at most {MOST_AREAS}, one for each area of one card")


def light_and_observer(raw: RawCard) -> tuple[str, int, list[str]]:
    """Light and observer of a file's colours, and what was assumed where it does not say."""
    doubts = []
    light, observer = raw.expected_light, raw.expected_observer
    if (said := raw.header.get("light")) is not None:
        light = _known_light(said)
    else:
        doubts.append(f"The file does not name its illuminant; {light} was assumed.")
    if (said := raw.header.get("observer")) is not None:
        observer = _known_observer(said)
    else:
        doubts.append(f"The file does not name its observer; {observer} degrees was assumed.")
    return light, observer, doubts


def _known_light(said: str) -> str:
    wanted = re.sub(r"^(cie|standard|illuminant|\s)+|[\s_-]", "", said.lower())
    for light in LIGHTS:
        if wanted == light.lower().replace("-", ""):
            return light
    raise InputError(
        "illuminant", said, join_words(LIGHTS), "Let the instrument compute XYZ for one of them."
    )


def _known_observer(said: str) -> int:
    found = _DEGREES.fullmatch(said.strip())
    if not found:
        raise InputError("observer", said, " or ".join(map(str, OBSERVERS)), "Give it in degrees.")
    return int(found[1] or {"1931": 2, "1964": 10}[found[2]])


def _noise(raw: RawCard) -> float:
    said = raw.header.get("noise")
    if said is None:
        return 0.01
    allowed = "a relative scatter from 0.0001 to 1, such as 0.01"
    noise = parse_number(said, "header", "noise", allowed=allowed)
    if not 1e-4 <= noise <= 1.0:
        raise InputError("noise", said, allowed)
    return noise


def _read_label(raw: RawCard, row: RawRow) -> _Label:
    cells = {role: row.cells[at] for role in (*ROLES, WEIGHT) if (at := raw.column(role)) is not None}
    area = check_name(cells["area"], row.place, "area")
    film = check_name(cells["film"], row.place, "film")
    # The two names that mean something are understood in any capitals.
    film = film.lower() if film.lower() in (BARE, FULL) else film
    paint = _parts(cells["paint_parts"], row.place, "paint_parts", blank=1.0)
    white = _parts(cells["white_parts"], row.place, "white_parts", blank=0.0)
    if film != BARE and paint == 0.0:
        hint = "On the white's own card white is the paint: write 1 and 0."
        raise InputError(f"{row.place}, column paint_parts", "0", "a number above 0", hint)
    ground = cells["ground"]
    if ground:
        check_name(ground, row.place, "ground")
    return _Label(row.place, area, film, paint, white, ground, _weight(cells.get(WEIGHT, ""), row.place))


def _parts(cell: str, place: str, column: str, *, blank: float) -> float:
    if not cell:
        return blank
    allowed = "0 or more parts, at most a million"
    parts = parse_number(cell, place, column, allowed=allowed)
    if not 0.0 <= parts <= MOST_PARTS or 0.0 < parts < 1.0 / MOST_PARTS:
        raise InputError(f"{place}, column {column}", cell, allowed)
    return parts


def _weight(cell: str, place: str) -> float:
    if not cell:
        return 1.0
    weight = parse_number(cell, place, WEIGHT, allowed="0 to 1")
    if not 0.0 <= weight <= 1.0:
        raise InputError(f"{place}, column {WEIGHT}", cell, "0 to 1")
    return weight


def _check_areas(labels: list[_Label]) -> None:
    first: dict[str, str] = {}
    for label in labels:
        if label.area in first:
            hint = f"It stands in {first[label.area]} too; each area has one row."
            raise InputError(f"{label.place}, column area", label.area, "a name used once", hint)
        first[label.area] = label.place
    bare = sum(label.is_bare for label in labels)
    if not bare:
        hint = "Read the unpainted ground too, with film 'bare'."
        raise InputError("rows", f"{len(labels)} painted, no bare area", "at least one bare area", hint)
    if bare == len(labels):
        raise InputError("rows", f"{bare} bare, no painted area", "at least one painted area")


def _doubt_columns(raw: RawCard) -> list[str]:
    known_places = {raw.column(name) for name in (*ROLES, WEIGHT, *COLOUR_NAMES)}
    unused = [
        name
        for at, name in enumerate(raw.columns)
        if at not in known_places and wavelength_of(name) is None and name
    ]
    return [f"Columns that were not used: {join_words(unused)}."] if unused else []


def _doubt_strokes(labels: list[_Label]) -> list[str]:
    doubts = []
    painted = [label for label in labels if not label.is_bare]
    if all(label.film != FULL for label in painted):
        doubts.append("No stroke is named 'full', so how thick one coat is had to be guessed.")
    mixtures: dict[str, set[float]] = {}
    for label in painted:
        mixtures.setdefault(label.film, set()).add(label.white_parts / label.paint_parts)
    if mixed := [film for film, ratios in mixtures.items() if len(ratios) > 1]:
        doubts.append(
            f"One stroke has one mixture and one thickness, but the parts differ within {join_words(mixed)}."
        )
    spellings = Counter(film.casefold() for film in mixtures)
    if alike := [film for film in mixtures if spellings[film.casefold()] > 1]:
        doubts.append(f"Strokes that differ in capitals only were taken as different: {join_words(alike)}.")
    return doubts


def _find_grounds(labels: list[_Label]) -> dict[str, str]:
    """Bare area under every area: by its name, by the label in its own ``ground`` cell, capitals aside."""
    bare = [label for label in labels if label.is_bare]
    ways = (
        _index((label.area, label.area) for label in bare),
        _index((label.area.casefold(), label.area) for label in bare),
        _index((label.ground.casefold(), label.area) for label in bare if label.ground),
        _index((_without_bare(label.area), label.area) for label in bare),
    )
    return {label.area: label.area if label.is_bare else _find_ground(label, bare, ways) for label in labels}


def _index(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    index: dict[str, list[str]] = {}
    for key, area in pairs:
        index.setdefault(key, []).append(area)
    return index


def _without_bare(area: str) -> str:
    return re.sub(r"^bare[\s_-]+|[\s_-]+bare$", "", area.casefold())


def _find_ground(label: _Label, bare: list[_Label], ways: tuple[dict[str, list[str]], ...]) -> str:
    names = join_words([each.area for each in bare])
    field = f"{label.place}, column ground"
    if not label.ground:
        if len(bare) == 1:
            return bare[0].area
        raise InputError(field, "an empty cell", names, "Say which bare area lies under it.")
    for way, key in zip(ways, (label.ground, *[label.ground.casefold()] * 3), strict=True):
        found = way.get(key, [])
        if len(found) > 1:
            hint = f"It could be any of {join_words(found)}; name the area."
            raise InputError(field, label.ground, names, hint)
        if found:
            return found[0]
    raise InputError(field, label.ground, f"a bare area of this card: {names}")
