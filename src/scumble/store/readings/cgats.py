"""Card readings from CGATS.17 text, the exchange format of colour instruments.

*Source:* the table, keyword and field layout of ANSI CGATS.17 (2009) and ISO 28178:2009, from memory; D50 and the
2 degree observer as the condition of XYZ that names none, ISO 13655, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from scumble.errors import InputError
from scumble.paint.reading import BARE
from scumble.store.file_text import SOME_FILE, decode_text
from scumble.store.readings.measured import find_condition
from scumble.store.readings.raw import MOST_AREAS, ROLES, WEIGHT, RawCard, RawRow, plain
from scumble.store.readings.rows import ReadingsFile, read_card_rows

_TOKEN = re.compile(r'"((?:[^"]|"")*)"|([^\s"#][^\s"]*)|(#.*)|(")')

_NAMES: Final = ("area", "sample_name", "samplename", "sample_id", "sampleid")
"""Fields that can hold an area's name, the best first."""

_LIGHT_KEYS: Final = ("illuminant", "illumination", "illumination_name", "light")
_OBSERVER_KEYS: Final = ("observer", "observer_angle", "observerangle")
_CONDITION_KEYS: Final = ("condition", "measurement_condition", "measurementcondition", "filter")
_BACKING_KEYS: Final = ("backing", "sample_backing", "samplebacking")
_SCALE_KEYS: Final = ("scale", "spectral_norm", "spectral_scale")

_PAIR = re.compile(r"(illuminant|illumination|observer\w*)\s*[=,:]\s*([\w.-]+)", re.IGNORECASE)
"""Conditions inside a sentence: ``Illumination=D50 ObserverAngle=2``, ``ILLUMINANT, D50``."""

_LOOKS = re.compile(r"^\s*BEGIN_DATA(_FORMAT)?\s*$|\A\s*CGATS", re.MULTILINE)

_AREA_NAME = re.compile(r"(?P<film>[^-_\s/]+)[-_\s/]+(?P<ground>.+)")
_TINT_NAME = re.compile(r"tint_?(\d+(?:\.\d+)?)", re.IGNORECASE)


@dataclass(slots=True)
class Sheet:
    """One table of a file while it is being gathered."""

    fields: list[str] = field(default_factory=list)
    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    keywords: dict[str, tuple[str, int]] = field(default_factory=dict)
    ended: bool = False


def parse_readings_cgats(content: str | bytes, *, name: str = SOME_FILE) -> ReadingsFile:
    """Read a card from CGATS.17 text: ``content`` is the whole file, ``name`` what it is called in an error.

    Fields AREA, FILM, PAINT_PARTS, WHITE_PARTS and GROUND are used where they are there; otherwise the sample's
    name carries them, as the areas of a printed card are named: ``thin1-white``, ``tint4-white``, ``white``.

    Raises
    ------
    InputError
        For anything that cannot be a card; it names the line and field.

    Examples
    --------
    >>> file = parse_readings_cgats('''CGATS.17
    ... ILLUMINANT "D65"
    ... OBSERVER "2"
    ... BEGIN_DATA_FORMAT
    ... SAMPLE_NAME XYZ_X XYZ_Y XYZ_Z
    ... END_DATA_FORMAT
    ... BEGIN_DATA
    ... white 83.1 87.6 92.4
    ... tint4-white 62.3 59.1 64.4
    ... full-white 12.3 9.1 4.4
    ... END_DATA
    ... ''')
    >>> tint = file.readings.painted()[0]
    >>> tint.film, tint.white_parts, tint.ground, file.doubts
    ('tint4', 4.0, 'white', ())
    """
    text, doubts = decode_text(content, name=name)
    sheet, more = _first_table(text, name)
    return read_card_rows(_raw_card(sheet, (*doubts, *more)))


def is_cgats(text: str) -> bool:
    """Whether a text looks like CGATS.17."""
    return bool(_LOOKS.search(text))


def gather_samples(text: str, *, name: str = SOME_FILE) -> tuple[tuple[str, ...], RawCard]:
    """Names of the samples of a CGATS.17 text, and its other fields, whatever the names may mean.

    Raises
    ------
    InputError
        If it holds no table, or none with names; it names the line.
    """
    sheet, doubts = _first_table(text, name)
    _check_rows(sheet)
    fields = [plain(each) for each in sheet.fields]
    name_at = _name_place(sheet, fields)
    kept = [at for at, each in enumerate(fields) if each not in (*ROLES, WEIGHT, *_NAMES)]
    rows = tuple(RawRow(f"line {number}", tuple(words[at] for at in kept)) for number, words in sheet.rows)
    columns = tuple(sheet.fields[at] for at in kept)
    raw = RawCard(
        columns, rows, _conditions(sheet), expected_light="D50", doubts=(*doubts, *_doubt_count(sheet))
    )
    return tuple(words[name_at] for _, words in sheet.rows), raw


def describes_areas(text: str) -> bool:
    """Whether a CGATS.17 text has fields of its own that say what lies in each area."""
    return any("film" in map(plain, sheet.fields) for sheet in gather_sheets(text))


def _first_table(text: str, name: str) -> tuple[Sheet, tuple[str, ...]]:
    sheets = [sheet for sheet in gather_sheets(text) if sheet.fields and sheet.rows]
    if not sheets:
        wanted = "BEGIN_DATA_FORMAT with field names, then BEGIN_DATA with a line for each area"
        raise InputError(name, "no table with rows", wanted)
    more = (f"The file holds {len(sheets)} tables; the first was read.",) if len(sheets) > 1 else ()
    return sheets[0], more


def gather_sheets(text: str) -> list[Sheet]:
    """Tables of the file; keywords above the first one hold for all."""
    sheet, part = Sheet(), ""
    sheets = [sheet]
    for number, line in enumerate(text.split("\n"), start=1):
        words = _words(line, number, len(sheet.fields) if part == "BEGIN_DATA" else None)
        first = words[0].upper() if words else ""
        if first in ("BEGIN_DATA_FORMAT", "BEGIN_DATA"):
            if sheet.ended and first == "BEGIN_DATA_FORMAT":
                sheet = Sheet(keywords=dict(sheet.keywords))
                sheets.append(sheet)
            part = first
        elif first in ("END_DATA_FORMAT", "END_DATA"):
            part, sheet.ended = "", sheet.ended or first == "END_DATA"
        elif part == "BEGIN_DATA_FORMAT":
            sheet.fields += words
        elif part == "BEGIN_DATA" and words:
            sheet.rows.append((number, words))
            _check_count(len(sheet.rows))
        elif part == "" and len(words) > 1:
            sheet.keywords.setdefault(plain(words[0]), (" ".join(words[1:]), number))
    return sheets


def _check_count(rows: int) -> None:
    if rows > MOST_AREAS:
        given, allowed = (
            f"more than {MOST_AREAS}",
            f"at most {MOST_AREAS}, one for each area of one card",
        )
        raise InputError("rows", given, allowed)


def _words(line: str, number: int, fields: int | None) -> list[str]:
    # Instruments part cells by tabs and then leave blanks inside names unquoted.
    if fields and "\t" in line:
        cells = [cell.strip().strip('"').strip() for cell in line.strip("\n").split("\t")]
        if len(cells) == fields or (len(cells) == fields + 1 and not cells[-1]):
            return cells[:fields]
    return list(_tokens(line, number))


def _tokens(line: str, number: int) -> Iterator[str]:
    for quoted, bare, comment, stray in _TOKEN.findall(line):
        if comment:
            return
        if stray:
            raise InputError(f"line {number}", line.strip(), "words with closed quotation marks")
        yield bare or quoted.replace('""', '"').strip()


def _raw_card(sheet: Sheet, doubts: tuple[str, ...]) -> RawCard:
    _check_rows(sheet)
    plain_fields = [plain(each) for each in sheet.fields]
    roles = _role_columns(sheet, plain_fields)
    others = [at for at, each in enumerate(plain_fields) if each not in (*ROLES, WEIGHT, *_NAMES)]
    kept = [*others, *(at for at, each in enumerate(plain_fields) if each == WEIGHT)]
    rows = tuple(
        RawRow(f"line {number}", (*label, *(words[at] for at in kept)))
        for label, (number, words) in zip(roles, sheet.rows, strict=True)
    )
    columns = (*ROLES, *(sheet.fields[at] for at in kept))
    header, doubt_count = _conditions(sheet), _doubt_count(sheet)
    return RawCard(columns, rows, header, expected_light="D50", doubts=(*doubts, *doubt_count))


def _check_rows(sheet: Sheet) -> None:
    for number, words in sheet.rows:
        if len(words) != len(sheet.fields):
            given, allowed = f"{len(words)} cells", f"{len(sheet.fields)}, one for each field"
            raise InputError(f"line {number}", given, allowed)


def _name_place(sheet: Sheet, fields: list[str]) -> int:
    name_at = next((fields.index(each) for each in _NAMES if each in fields), None)
    if name_at is None:
        raise InputError("fields", ", ".join(sheet.fields[:8]), "SAMPLE_NAME, SAMPLE_ID or AREA among them")
    return name_at


def _role_columns(sheet: Sheet, fields: list[str]) -> list[tuple[str, ...]]:
    """What lies in each area: from fields of those names, else from the area's name."""
    name_at = _name_place(sheet, fields)
    own = {role: fields.index(role) for role in ROLES[1:] if role in fields}
    labels = []
    for _, words in sheet.rows:
        said = _label_of_name(words[name_at])
        said |= {role: words[at] for role, at in own.items()}
        labels.append(tuple(said[role] for role in ROLES))
    return labels


def _label_of_name(name: str) -> dict[str, str]:
    """Film, parts and ground that an area's name carries.

    ``thin1-white`` is stroke thin1 over the area white, ``tint4-white`` one part of paint to four of white, and a
    name of one word, or one that starts with ``bare``, is a bare area.
    """
    found = _AREA_NAME.fullmatch(name)
    if not found or found["film"].lower() == BARE:
        return dict(zip(ROLES, (name, BARE, "1", "0", ""), strict=True))
    tint = _TINT_NAME.fullmatch(found["film"])
    white_parts = tint[1] if tint else "0"
    return dict(zip(ROLES, (name, found["film"], "1", white_parts, found["ground"]), strict=True))


def _conditions(sheet: Sheet) -> dict[str, str]:
    """Light, observer and scale from the keywords that instruments use for them."""
    header: dict[str, str] = {}
    for key, (said, number) in sheet.keywords.items():
        for word, value in _condition(key, said):
            if header.setdefault(word, value).upper() != value.upper():
                raise InputError(f"line {number}, {key}", value, f"what was said before: {header[word]}")
    return header


def _condition(key: str, said: str) -> Iterator[tuple[str, str]]:
    if key in _LIGHT_KEYS:
        yield "light", said
    elif key in _OBSERVER_KEYS:
        yield "observer", said
    elif key in _SCALE_KEYS:
        yield "scale", said
    elif key in ("noise", "serial"):
        yield key, said
    elif key in _CONDITION_KEYS:
        # A filter may be none of the four conditions and is then passed over.
        if key != "filter" or find_condition(said):
            yield "condition", said
    elif key in _BACKING_KEYS:
        yield "backing", said
    elif key in ("weighting_function", "measurement_source"):
        if condition := find_condition(said):
            yield "condition", condition
        for word, value in _PAIR.findall(said):
            if not find_condition(value):
                yield ("observer" if word.lower().startswith("observer") else "light"), value


def _doubt_count(sheet: Sheet) -> list[str]:
    doubts = []
    said, _ = sheet.keywords.get("number_of_sets", ("", 0))
    if said.isdecimal() and int(said) != len(sheet.rows):
        doubts.append(f"The file announces {said} samples and holds {len(sheet.rows)}: is it whole?")
    elif not sheet.ended:
        doubts.append("The file stops before END_DATA: is it whole?")
    return doubts
