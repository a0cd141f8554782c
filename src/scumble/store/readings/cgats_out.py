"""A card as CGATS.17 text, with every digit, so that it reads back the same."""

from __future__ import annotations

from scumble.errors import InputError
from scumble.paint.reading import CardReadings, Quantity, Reading
from scumble.store.readings.cgats import parse_readings_cgats
from scumble.store.readings.same import check_reads_back, without_directions
from scumble.tables import WAVELENGTH_NM

_ROLES = ("SAMPLE_ID", "AREA", "FILM", "PAINT_PARTS", "WHITE_PARTS", "GROUND", "WEIGHT")

_MEASURED = (("MEASUREMENT_CONDITION", "condition"), ("SAMPLE_BACKING", "backing"), ("SERIAL", "serial"))


def format_readings_cgats(readings: CardReadings) -> str:
    """Write a card as CGATS.17 text.

    Raises
    ------
    InputError
        If it could not be read back: a card without a bare area, a name with a quotation mark or a blank at its
        ends, a number that is no reading.
    """
    readings = without_directions(readings)
    spectral = readings.quantity is Quantity.REFLECTANCE
    names = [f"SPECTRAL_NM{nm:.0f}" for nm in WAVELENGTH_NM] if spectral else ["XYZ_X", "XYZ_Y", "XYZ_Z"]
    head = [
        "CGATS.17",
        'ORIGINATOR "Scumble"',
        f'ILLUMINANT "{readings.light}"',
        f'OBSERVER "{readings.observer}"',
        f'NOISE "{readings.noise!r}"',
        *(f'{keyword} "{said}"' for keyword, name in _MEASURED if (said := getattr(readings, name))),
        *(['SCALE "fraction"'] if spectral else []),
        f"NUMBER_OF_FIELDS {len(_ROLES) + len(names)}",
        "BEGIN_DATA_FORMAT",
        " ".join([*_ROLES, *names]),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(readings.readings)}",
        "BEGIN_DATA",
    ]
    rows = [_row(number, reading) for number, reading in enumerate(readings.readings, start=1)]
    text = "\n".join([*head, *rows, "END_DATA", ""])
    check_reads_back(readings, parse_readings_cgats(text).readings)
    return text


def _row(number: int, reading: Reading) -> str:
    words = [reading.area, reading.film, repr(reading.paint_parts), repr(reading.white_parts), reading.ground]
    for word in words:
        if '"' in word or "\n" in word or "\t" in word:
            raise InputError(f"area {reading.area}", word, "a name without quotation marks on one line")
    values = [repr(float(value)) for value in reading.values.tolist()]
    quoted = [f'"{word}"' for word in words]
    return " ".join([str(number), *quoted, repr(reading.weight), *values])
