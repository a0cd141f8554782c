"""Card readings as CxF3, the XML exchange format of colour measurement, through colour-cxf.

Each area is an ``Object`` with its reflectance spectrum or its XYZ; a tag collection named ``scumble`` says what lies
there. *Source:* element names of CxF3 as the library colour-cxf holds them (ISO 17972-1:2015, not read).
"""

from __future__ import annotations

from typing import Any

from scumble.errors import InputError
from scumble.paint.reading import CardReadings, Quantity, Reading
from scumble.store.readings.raw import MEASURED, ROLES, WEIGHT, RawCard, RawRow
from scumble.store.readings.rows import ReadingsFile, read_card_rows
from scumble.store.readings.same import check_reads_back, without_directions
from scumble.store.readings.samples_cxf import load_resources
from scumble.tables import WAVELENGTH_NM

TAGS = "scumble"
_START_NM, _STEP_NM = int(WAVELENGTH_NM[0]), int(WAVELENGTH_NM[1] - WAVELENGTH_NM[0])
_CONDITIONS = ("light", "observer", "noise", *MEASURED)


def format_readings_cxf(readings: CardReadings) -> bytes:
    """Write a card as CxF3.

    Raises
    ------
    InputError
        If it could not be read back: a card without a bare area, a name that XML does not keep.
    """
    import colour_cxf
    from colour_cxf import cxf3

    readings = without_directions(readings)
    objects = [
        _object(readings, number, reading) for number, reading in enumerate(readings.readings, start=1)
    ]
    file = cxf3.CxF(
        file_information=cxf3.FileInformation(creator="Scumble", description="Readings of a painted card"),
        resources=cxf3.Resources(
            object_collection=cxf3.ObjectCollection(object_value=objects),
            color_specification_collection=cxf3.ColorSpecificationCollection([_specification(readings)]),
        ),
    )
    content: bytes = colour_cxf.write_cxf(file)
    check_reads_back(readings, parse_readings_cxf(content).readings)
    return content


def _object(card: CardReadings, number: int, reading: Reading) -> Any:
    from colour_cxf import cxf3

    values = reading.values.tolist()
    if card.quantity is Quantity.XYZ:
        x, y, z = values
        colour: Any = cxf3.ColorCiexyz(x=x, y=y, z=z, color_specification="CS1")
    else:
        colour = cxf3.ReflectanceSpectrum(value=values, start_wl=_START_NM, color_specification="CS1")
    said = {name: getattr(reading, name) for name in (*ROLES[1:], WEIGHT)}
    said |= {name: value for name in _CONDITIONS if (value := getattr(card, name)) != ""}
    tags = [
        cxf3.Tag(name=name, value=value if isinstance(value, str) else repr(value))
        for name, value in said.items()
    ]
    return cxf3.Object(
        color_values=cxf3.ColorValues(choice=[colour]),
        tag_collection=[cxf3.TagCollection(tag=tags, name=TAGS)],
        object_type="Standard",
        name=reading.area,
        id=f"o{number}",
    )


def _specification(card: CardReadings) -> Any:
    from colour_cxf import cxf3

    spectral = card.quantity is Quantity.REFLECTANCE
    kinds = cxf3.EspectrumType
    measured = kinds.SPECTRUM_REFLECTANCE if spectral else kinds.COLORIMETRIC_REFLECTANCE
    known = {each.value: each for each in cxf3.EilluminantType}
    light = cxf3.Illuminant(value=known.get(card.light, cxf3.EilluminantType.CUSTOM), name=card.light)
    observer = cxf3.Observer(value=cxf3.EobserverType(f"{card.observer}_Degree"))
    return cxf3.ColorSpecification(
        id="CS1",
        tristimulus_spec=cxf3.TristimulusSpec(light, observer),
        measurement_spec=cxf3.MeasurementSpec(
            measurement_type=cxf3.MeasurementType(measured),
            wavelength_range=cxf3.WavelengthRange(_START_NM, _STEP_NM) if spectral else None,
            backing=card.backing or None,
            device=_device(card.condition),
        ),
    )


def _device(condition: str) -> Any:
    """What lit the card, where it is known."""
    from colour_cxf import cxf3

    if not condition:
        return None
    light = next(each for each in cxf3.EdeviceIlluminationType if each.value.startswith(condition))
    return cxf3.Device(device_illumination=cxf3.DeviceIllumination(light))


def parse_readings_cxf(content: bytes) -> ReadingsFile:
    """Read a card from CxF3 whose areas carry Scumble's tags.

    Raises
    ------
    InputError
        If it is no CxF3, or says nowhere what lies in its areas.
    """
    objects = _load(content)
    told = [({tag.name: tag.value or "" for tag in _tags(each)}, each) for each in objects]
    if not told or any(not set(ROLES[1:]) <= set(said) for said, _ in told):
        wanted = f"objects with tags {', '.join(ROLES[1:])} in a collection named {TAGS}"
        raise InputError("CxF objects", f"{len(objects)} objects without them", wanted)
    columns: list[str] = []
    rows: list[RawRow] = []
    for number, (said, each) in enumerate(told, start=1):
        names, values = _values(each, f"object {number}")
        if columns and names != columns:
            raise InputError(f"object {number}", ", ".join(names[:4]), "readings alike in every object")
        columns = names
        cells = [each.name or "", *(said[name] for name in ROLES[1:]), said.get(WEIGHT, "1")]
        rows.append(RawRow(f"object {number}", (*cells, *map(repr, values))))
    header = {name: told[0][0][name] for name in _CONDITIONS if told[0][0].get(name)}
    scale = {"scale": "fraction"} if columns[0] != "X" else {}
    return read_card_rows(RawCard((*ROLES, WEIGHT, *columns), tuple(rows), header | scale))


def has_tags(content: bytes) -> bool:
    """Whether a CxF3 file carries the tags that say what lies in each area.

    Raises
    ------
    InputError
        If it is no CxF3.
    """
    objects = _load(content)
    return bool(objects) and all(set(ROLES[1:]) <= {tag.name for tag in _tags(each)} for each in objects)


def _load(content: bytes) -> list[Any]:
    found = load_resources(content).object_collection
    return [] if found is None else list(found.object_value)


def _tags(each: Any) -> list[Any]:
    return [tag for group in each.tag_collection if group.name == TAGS for tag in group.tag]


def _values(each: Any, place: str) -> tuple[list[str], list[float]]:
    """Column names and readings of an object: its spectrum, else its XYZ."""
    from colour_cxf import cxf3

    choice = each.color_values.choice if each.color_values is not None else []
    for found in choice:
        if isinstance(found, cxf3.ReflectanceSpectrum) and found.start_wl is not None:
            # The step stands elsewhere in the file; Scumble writes its own 36 bands.
            if (found.start_wl, len(found.value)) != (_START_NM, len(WAVELENGTH_NM)):
                break
            return [f"R{nm:.0f}" for nm in WAVELENGTH_NM], [float(value) for value in found.value]
        if isinstance(found, cxf3.ColorCiexyz):
            values = [found.x, found.y, found.z]
            if all(value is not None for value in values):
                return ["X", "Y", "Z"], [float(value) for value in values]
    given = ", ".join(type(found).__name__ for found in choice) or "no colour"
    raise InputError(
        place, given, f"XYZ, or a reflectance spectrum of {len(WAVELENGTH_NM)} bands from 380 nm"
    )
