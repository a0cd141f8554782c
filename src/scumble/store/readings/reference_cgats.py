"""Reference values of a target from CGATS.17 text, as ISO 12641 has them delivered with each target.

*Source:* the layout of ANSI CGATS.17 and ISO 12641-1:2016, from memory; D50 and the 2 degree observer where a file
does not say (ISO 13655, from memory).
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import reflectance_to_xyz, smoothest_reflectance, upsample_colours
from scumble.errors import InputError
from scumble.paint.reading import Quantity
from scumble.paint.reference import LEAST_PATCHES, ReferenceTarget
from scumble.store.file_text import decode_text, load_bytes
from scumble.store.readings.cgats import gather_samples, is_cgats
from scumble.store.readings.columns import find_value_columns
from scumble.store.readings.numbers import read_values
from scumble.store.readings.rows import light_and_observer

Floats = NDArray[np.float64]

_WANTED: Final = (
    "CGATS.17 text: BEGIN_DATA_FORMAT with SAMPLE_ID and XYZ, L*a*b* or spectral fields, then BEGIN_DATA"
)


def load_reference(path: Path) -> ReferenceTarget:
    """Read the reference file of a target.

    Raises
    ------
    InputError, StoreError
        If it is missing or holds no reference values; it names the line and field.
    """
    return parse_reference(load_bytes(path), name=path.name)


def parse_reference(content: str | bytes, *, name: str = "reference file") -> ReferenceTarget:
    """Read reference values from CGATS.17 text: ``content`` is the whole file, ``name`` what an error calls it.

    Raises
    ------
    InputError
        For anything that is no reference file; it names the line and field.

    Examples
    --------
    >>> rows = [f"{row}{column} {9 * column} {10 * column} {8 * column}" for row in "AB" for column in range(1, 8)]
    >>> rows = "\\n".join(rows)
    >>> target = parse_reference(f'''IT8.7/2
    ... BEGIN_DATA_FORMAT
    ... SAMPLE_ID XYZ_X XYZ_Y XYZ_Z
    ... END_DATA_FORMAT
    ... BEGIN_DATA
    ... {rows}
    ... END_DATA''')
    >>> target.names[8], target.xyz[8].round(0).tolist()
    ('B2', [18.0, 20.0, 21.0])
    """
    text, doubts = decode_text(content, name=name)
    if not is_cgats(text):
        raise InputError(name, "a text without a table", _WANTED)
    names, raw = gather_samples(text, name=name)
    if len(names) < LEAST_PATCHES:
        raise InputError(name, f"{len(names)} patches", f"at least {LEAST_PATCHES}")
    if len(set(names)) < len(names):
        raise InputError(name, "patches that share a name", "every name once")
    columns = find_value_columns(raw)
    light, observer, light_doubts = light_and_observer(raw)
    values, more = read_values(raw, columns, light=light, observer=observer)
    if columns.quantity is Quantity.REFLECTANCE:
        xyz = np.asarray(reflectance_to_xyz(values, light="D65", observer=2))
        return ReferenceTarget(names, xyz, (*doubts, *raw.doubts, *more), spectra=values)
    return ReferenceTarget(
        names,
        _to_d65(values, light, observer),
        (*doubts, *raw.doubts, *light_doubts, *more),
        stated=values,
        light=light,
        observer=observer,
    )


def _to_d65(xyz: Floats, light: str, observer: int) -> Floats:
    """The same colours under D65, 2 degrees, by the smoothest spectra that have them."""
    if (light, observer) == ("D65", 2):
        return xyz
    spectra = [_smoothest(each, light, observer) for each in xyz]
    return np.asarray(reflectance_to_xyz(np.array(spectra), light="D65", observer=2))


def _smoothest(xyz: Floats, light: str, observer: int) -> Floats:
    """A smooth reflectance of a colour; the nearest that was found where none between 0 and 1 has it."""
    try:
        return smoothest_reflectance(xyz, light=light, observer=observer)
    except InputError:
        return upsample_colours(xyz, light=light, observer=observer)
