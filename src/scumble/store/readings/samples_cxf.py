"""Samples of a CxF3 file of any program, through colour-cxf.

*Source:* element names of CxF3 as the library colour-cxf holds them (ISO 17972-1:2015, not read).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from scumble.errors import InputError
from scumble.paint.reading import CONDITIONS
from scumble.store.file_text import SOME_FILE
from scumble.store.readings.measured import find_condition
from scumble.store.readings.raw import RawCard, RawRow, join_words


@dataclass(frozen=True, slots=True)
class _Seen:
    """One set of numbers of one object.

    Parameters
    ----------
    columns : tuple of str
        What they are.
    values : tuple of float
        As written.
    said : dict
        Light, observer, condition and backing, where the file says so.
    """

    columns: tuple[str, ...]
    values: tuple[float, ...]
    said: dict[str, str]

    @property
    def kind(self) -> int:
        """0 a spectrum, 1 XYZ, 2 L*a*b*: the lower the better."""
        return {"X": 1, "LAB_L": 2}.get(self.columns[0], 0)


def gather_cxf(content: bytes, *, condition: str = "") -> tuple[tuple[str, ...], RawCard]:
    """Names and readings of the objects of a CxF3 file.

    Parameters
    ----------
    content : bytes
        The whole file.
    condition : str
        Measurement condition to take, where an object holds several.

    Raises
    ------
    InputError
        If it is no CxF3 or holds no colours that all its objects share.
    """
    if condition and condition not in CONDITIONS:
        raise InputError("condition", condition, ", ".join(CONDITIONS))
    resources = load_resources(content)
    found = resources.object_collection
    objects = [] if found is None else list(found.object_value)
    specifications = resources.color_specification_collection
    known = {each.id: each for each in (specifications.color_specification if specifications else ())}
    seen = [
        (each.name or each.id or str(at), _all_of(each, known)) for at, each in enumerate(objects, start=1)
    ]
    seen = [(name, sets) for name, sets in seen if sets]
    if not seen:
        raise InputError(
            "CxF objects", f"{len(objects)} without colours", "a spectrum, XYZ or L*a*b* in each"
        )
    chosen, doubts = _choose(seen, condition)
    columns = chosen[0].columns
    rows = tuple(
        RawRow(f"object {at}", tuple(map(repr, each.values))) for at, each in enumerate(chosen, start=1)
    )
    raw = RawCard(columns, rows, chosen[0].said, expected_light="D50", doubts=doubts)
    return tuple(name for name, _ in seen), raw


def load_resources(content: bytes) -> Any:
    """The resources of a CxF3 file.

    Raises
    ------
    InputError
        If it is none, or brings a document type of its own.
    """
    import colour_cxf

    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise InputError(SOME_FILE, "a document type of its own", "plain CxF3")
    try:
        resources = colour_cxf.read_cxf(content).resources
    except Exception as error:
        # The reader of XML raises whatever it stumbles over.
        said = f"{type(error).__name__}: {error}"
        raise InputError(SOME_FILE, said, "CxF3") from None
    if resources is None:
        raise InputError(SOME_FILE, "no resources", "CxF3 with objects")
    return resources


def _all_of(each: Any, specifications: Mapping[str, Any]) -> list[_Seen]:
    """Every set of numbers of an object that is understood."""
    from colour_cxf import cxf3

    sets = []
    for found in each.color_values.choice if each.color_values is not None else ():
        specification = specifications.get(found.color_specification or "")
        said = _said(specification)
        if isinstance(found, cxf3.ReflectanceSpectrum):
            start, step = _range(found, specification)
            if start is not None and step and found.value:
                columns = tuple(f"R{start + step * at:g}" for at in range(len(found.value)))
                sets.append(_Seen(columns, tuple(map(float, found.value)), said | {"scale": "fraction"}))
        elif isinstance(found, cxf3.ColorCiexyz):
            sets += _triple(("X", "Y", "Z"), (found.x, found.y, found.z), said)
        elif isinstance(found, cxf3.ColorCielab):
            sets += _triple(("LAB_L", "LAB_A", "LAB_B"), (found.l, found.a, found.b), said)
    return sets


def _triple(columns: tuple[str, ...], values: tuple[float | None, ...], said: dict[str, str]) -> list[_Seen]:
    if any(value is None for value in values):
        return []
    return [_Seen(columns, tuple(float(value) for value in values if value is not None), said)]


def _range(spectrum: Any, specification: Any) -> tuple[int | None, int | None]:
    """First wavelength and step [nm]."""
    measured = specification.measurement_spec if specification is not None else None
    spread = measured.wavelength_range if measured is not None else None
    start = spectrum.start_wl if spectrum.start_wl is not None else spread.start_wl if spread else None
    step = spread.increment if spread is not None and spread.increment else 10
    return start, step


def _said(specification: Any) -> dict[str, str]:
    """Light, observer, condition and backing that a specification names."""
    if specification is None:
        return {}
    said: dict[str, str] = {}
    spec = specification.tristimulus_spec
    light: Any = spec.illuminant_or_custom_illuminant if spec is not None else None
    if getattr(light, "value", None) is not None:
        said["light"] = str(light.name or "") if light.value.value == "Custom" else str(light.value.value)
    observer = spec.observer if spec is not None else None
    if observer is not None and observer.value is not None:
        said["observer"] = observer.value.value.partition("_")[0]
    measured = specification.measurement_spec
    if measured is not None and measured.backing:
        said["backing"] = measured.backing
    device = measured.device if measured is not None else None
    lit = device.device_illumination if device is not None else None
    if lit is not None and lit.value is not None and (condition := find_condition(lit.value.value)):
        said["condition"] = condition
    return {name: value for name, value in said.items() if value}


def _choose(seen: list[tuple[str, list[_Seen]]], condition: str) -> tuple[list[_Seen], tuple[str, ...]]:
    """The same kind of numbers under the same condition for every object."""
    offered = [{(each.columns, each.said.get("condition", "")) for each in sets} for _, sets in seen]
    shared = set.intersection(*offered)
    if condition:
        shared = {(columns, found) for columns, found in shared if found == condition}
        if not shared:
            given = join_words(sorted({found or "not said" for each in offered for _, found in each}))
            raise InputError("condition", condition, f"what the file holds: {given}")
    if not shared:
        raise InputError("CxF objects", "different kinds of numbers", "the same kind in every object")
    kinds = {
        key: next(each.kind for each in seen[0][1] if (each.columns, each.said.get("condition", "")) == key)
        for key in shared
    }
    best = min(shared, key=lambda key: (kinds[key], key[1], key[0]))
    others = sorted({found for columns, found in shared if columns == best[0]} - {best[1]})
    doubts = (
        (
            f"The file holds readings under {join_words([best[1] or 'no named condition', *others])};"
            f" {best[1] or 'those without a condition'} was used.",
        )
        if others
        else ()
    )
    picked = [
        next(each for each in sets if (each.columns, each.said.get("condition", "")) == best)
        for _, sets in seen
    ]
    return picked, doubts
