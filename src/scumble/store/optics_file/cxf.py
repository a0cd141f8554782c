"""A paint's optics as CxF3: two custom spectra and their covariance in tags, through colour-cxf.

*Source:* element names of CxF3 as the library colour-cxf holds them (ISO 17972-1:2015, not read). The standard knows
no spectra of absorption and scattering; they are written as its CustomSpectrum, named for what they are.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint import Paint
from scumble.store.optics_file.words import check_same, from_lower_rows, lower_rows, paint_of, words_of
from scumble.store.readings.samples_cxf import load_resources
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

TAGS: Final = "scumble optics"
_ROW: Final = "covariance "
SPECTRA: Final = ("absorption", "scattering")


def format_optics_cxf(paint: Paint) -> bytes:
    """Write a paint's optics as CxF3, every digit of them.

    Raises
    ------
    InputError
        If something could not be read back, such as a name that XML does not keep.
    """
    import colour_cxf
    from colour_cxf import cxf3

    spectra: list[Any] = [
        cxf3.CustomSpectrum(
            name=name,
            color_specification="CS1",
            spectral_point=[
                cxf3.SpectralPoint(value=float(value), wl=float(nm))
                for nm, value in zip(WAVELENGTH_NM.tolist(), getattr(paint.optics, name), strict=True)
            ],
        )
        for name in SPECTRA
    ]
    tags = [cxf3.Tag(name=name, value=value) for name, value in {**words_of(paint), "unit": "1/coat"}.items()]
    if np.any(paint.optics.covariance):
        tags += [
            cxf3.Tag(name=f"{_ROW}{at}", value=" ".join(map(repr, row)))
            for at, row in enumerate(lower_rows(paint.optics.covariance), start=1)
        ]
    described = cxf3.Object(
        color_values=cxf3.ColorValues(choice=spectra),
        tag_collection=[cxf3.TagCollection(tag=tags, name=TAGS)],
        object_type="Standard",
        name=paint.label,
        id="o1",
    )
    measured = cxf3.MeasurementSpec(measurement_type=cxf3.MeasurementType(cxf3.EspectrumType.SPECTRUM_CUSTOM))
    specification = cxf3.ColorSpecification(id="CS1", measurement_spec=measured)
    file = cxf3.CxF(
        file_information=cxf3.FileInformation(creator="Scumble", description="Optics of a paint"),
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(object_value=[described]),
            color_specification_collection=cxf3.ColorSpecificationCollection([specification]),
        ),
    )
    content: bytes = colour_cxf.write_cxf(file)
    check_same(paint, parse_optics_cxf(content))
    return content


def is_optics_cxf(content: bytes) -> bool:
    """Whether a CxF3 file holds a paint's optics rather than readings.

    Raises
    ------
    InputError
        If it is no CxF3.
    """
    return _described(content) is not None


def parse_optics_cxf(content: bytes) -> Paint:
    """Read a paint's optics from CxF3.

    Raises
    ------
    InputError
        If it is no CxF3, or holds none.
    """
    found = _described(content)
    if found is None:
        raise InputError("optics file", "no optics", f"CxF3 with an object whose tags are called {TAGS!r}")
    described, said = found
    absorption, scattering = (_spectrum(described, name) for name in SPECTRA)
    rows = [said[f"{_ROW}{at}"] for at in range(1, 2 * BANDS + 1) if f"{_ROW}{at}" in said]
    covariance = (
        from_lower_rows([[_number(each) for each in row.split()] for row in rows])
        if rows
        else np.zeros((2 * BANDS, 2 * BANDS))
    )
    return paint_of(said, absorption, scattering, covariance)


def _described(content: bytes) -> tuple[Any, dict[str, str]] | None:
    """The first object with tags of optics, and what they say."""
    collection = load_resources(content).object_collection
    for each in collection.object_value if collection is not None else ():
        for group in each.tag_collection:
            if group.name == TAGS:
                return each, {tag.name: tag.value or "" for tag in group.tag}
    return None


def _spectrum(described: Any, name: str) -> Floats:
    """One of the two spectra."""
    from colour_cxf import cxf3

    choice = described.color_values.choice if described.color_values is not None else ()
    for found in choice:
        if isinstance(found, cxf3.CustomSpectrum) and found.name == name:
            points = [(point.wl, point.value) for point in found.spectral_point]
            if [nm for nm, _ in points] == WAVELENGTH_NM.tolist() and all(v is not None for _, v in points):
                return np.array([float(value) for _, value in points])
            raise InputError(
                name, f"{len(points)} points", f"{BANDS} bands from 380 to 730 nm, in steps of 10"
            )
    raise InputError("optics file", f"no spectrum called {name}", " and ".join(SPECTRA))


def _number(word: str) -> float:
    try:
        return float(word)
    except ValueError:
        raise InputError("covariance", word, "a number") from None
