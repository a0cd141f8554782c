"""A layering as a person or a script writes it down, and the answer in the same words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Literal, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from scumble.errors import InputError
from scumble.paint import (
    Face,
    Film,
    Ground,
    GroundFace,
    Layering,
    Look,
    Paint,
    ground_of_colour,
    paper_ground,
    predict_look,
)

Model = TypeVar("Model", bound=BaseModel)


class GroundRequest(BaseModel):
    """What lies at the bottom: one of a paper, a colour (D65, 2 degrees) or a spectrum."""

    model_config = ConfigDict(extra="forbid")

    paper: str | None = None
    lab: list[float] | None = None
    reflectance: list[float] | None = None
    face: Literal["none", "gloss"] = "none"


class FilmRequest(BaseModel):
    """One film: parts by volume of each paint, coats, and what it was thinned with."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)

    parts: dict[str, float] = Field(min_length=1)
    coats: float
    medium_parts: float = 0.0
    water_parts: float = 0.0


class LayeringRequest(BaseModel):
    """A ground and the films on it, the first film lowest, and what to look at it under."""

    model_config = ConfigDict(extra="forbid")

    ground: GroundRequest
    films: list[FilmRequest] = []
    light: str = "D65"
    observer: int = 2
    face: Literal["gloss", "satin", "matte", "varnished"] = "gloss"
    wet: bool = False


def parse_layering(data: object, *, field: str = "layering") -> LayeringRequest:
    """Check a layering that came as JSON.

    Raises
    ------
    InputError
        Naming the first thing that is wrong and where it stands.
    """
    return parse_model(LayeringRequest, data, field=field)


def parse_model(model: type[Model], data: object, *, field: str) -> Model:
    """Check data against a model and say the first fault in a sentence.

    Raises
    ------
    InputError
        Naming the first thing that is wrong and where it stands.
    """
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise _first_fault(error, field) from None


def _first_fault(error: ValidationError, field: str) -> InputError:
    faults = error.errors()
    # A misspelled entry is also a missing one; its spelling is what helps.
    fault = next((each for each in faults if each["type"] == "extra_forbidden"), faults[0])
    place = ".".join([field, *(str(step) for step in fault["loc"])])
    if fault["type"] == "extra_forbidden":
        return InputError(place, fault["loc"][-1], "an entry that Scumble knows", "Check its spelling.")
    if fault["type"] == "missing":
        return InputError(place, "nothing", "an entry of that name", "Add it.")
    return InputError(place, fault["input"], fault["msg"][0].lower() + fault["msg"][1:])


FindPaint = Callable[[str], Paint]
"""Fetches a paint by the name used in ``parts``; raises InputError for an unknown one."""


def build_layering(
    request: LayeringRequest, find_paint: FindPaint, *, papers: Mapping[str, Ground] | None = None
) -> Layering:
    """Turn a request into a layering.

    Parameters
    ----------
    request : LayeringRequest
        Checked for form, not yet for sense.
    find_paint : callable
        Fetches the paints named in ``parts``.
    papers : mapping, optional
        Grounds that go by a name beyond the sheets Scumble knows.

    Raises
    ------
    InputError
        For an unknown paint or paper, or an impossible amount or colour.
    """
    films = tuple(_build_film(film, find_paint) for film in request.films)
    face = Face.GLOSS if request.face == "varnished" else Face(request.face)
    return Layering(_build_ground(request.ground, papers or {}), films, face=face, wet=request.wet)


def _build_film(request: FilmRequest, find_paint: FindPaint) -> Film:
    parts = tuple((find_paint(name), amount) for name, amount in request.parts.items() if amount != 0)
    return Film(parts, request.coats, request.medium_parts, request.water_parts)


def _build_ground(request: GroundRequest, papers: Mapping[str, Ground]) -> Ground:
    face = GroundFace(request.face)
    given = [name for name in ("paper", "lab", "reflectance") if getattr(request, name) is not None]
    if len(given) != 1:
        raise InputError("ground", ", ".join(given) or "nothing", "exactly one of paper, lab, reflectance")
    if request.paper is not None:
        own = papers.get(request.paper)
        found = own if own is not None else paper_ground(request.paper)
        return Ground(found.reflectance, face, found.label)
    if request.lab is not None:
        return ground_of_colour(request.lab, face=face)
    return Ground(request.reflectance, face, "given spectrum")  # type: ignore[arg-type]


def answer_layering(
    request: LayeringRequest, find_paint: FindPaint, *, papers: Mapping[str, Ground] | None = None
) -> dict[str, Any]:
    """Predict a layering and say it as plain data: lab, xyz, reflectance, srgb, in_gamut, interval_de00."""
    layering = build_layering(request, find_paint, papers=papers)
    return look_as_data(predict_look(layering, light=request.light, observer=request.observer))


def look_as_data(look: Look) -> dict[str, Any]:
    """A look as JSON-ready data; ``interval_de00`` is the 95 % bound."""
    return {
        "lab": [round(value, 4) for value in look.lab.tolist()],
        "xyz": [round(value, 4) for value in look.xyz.tolist()],
        "reflectance": [round(value, 6) for value in look.reflectance.tolist()],
        "srgb": [round(value, 4) for value in look.srgb.tolist()],
        "in_gamut": look.in_gamut,
        "interval_de00": round(look.interval_de00, 4),
    }
