"""Values of the shelf as JSON models, and back to the last digit."""

from __future__ import annotations

import base64
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel

from scumble.errors import InputError
from scumble.paint import CardReadings, Optics, Paint, Provenance, Reading
from scumble.paint.reading import sized_directions
from scumble.store.drawers.named_drawer import Kept
from scumble.store.drawers.paint_history import PaintHistory, VersionRecord
from scumble.store.named_things import KeptGround, KeptPlan, Recipe
from scumble.store.picture import Picture
from scumble.store.travel.shelf_json import (
    SQUARE,
    TRIANGLE,
    CardModel,
    GroundModel,
    OpticsModel,
    PaintModel,
    PastGroundModel,
    PastPlanModel,
    PastRecipeModel,
    PictureModel,
    PlanModel,
    RatingModel,
    ReadingModel,
    RecipeModel,
    TubeModel,
    VersionModel,
)
from scumble.store.tube_facts import Lightfastness, TubeFacts
from scumble.tables import BANDS

Floats = NDArray[np.float64]
Thing = TypeVar("Thing", KeptGround, Recipe, KeptPlan)


def history_to_model(history: PaintHistory) -> PaintModel:
    """A paint and its past as JSON."""
    numbers = list(dict.fromkeys(record.optics for record in history.versions))
    first = {record.optics: record.paint for record in reversed(history.versions)}
    cards, pictures = list(history.cards), list(history.pictures)
    return PaintModel(
        key=history.key,
        current=history.current,
        binned_at=history.binned_at,
        optics=[_optics_to_model(first[number]) for number in numbers],
        cards=[_card_to_model(card) for card in history.cards.values()],
        pictures=[picture_to_model(picture) for picture in history.pictures.values()],
        versions=[
            VersionModel(
                saved_at=record.saved_at,
                label=record.paint.label,
                pigments=list(record.paint.pigments),
                binder=record.paint.binder,
                status=list(record.paint.status),
                optics=numbers.index(record.optics),
                card=None if record.card is None else cards.index(record.card),
                picture=None if record.picture is None else pictures.index(record.picture),
            )
            for record in history.versions
        ],
        tubes=[_tube_to_model(saved_at, facts) for saved_at, facts in history.tubes],
    )


def model_to_history(model: PaintModel) -> PaintHistory:
    """A paint and its past from JSON.

    Raises
    ------
    InputError
        If a number, a name or a place in a list cannot be.
    """
    _check_places(model)
    optics = [_model_to_optics(each) for each in model.optics]
    versions = []
    for each in model.versions:
        paint = Paint(
            model.key,
            each.label,
            optics[each.optics],
            Provenance[model.optics[each.optics].provenance.upper()],
            tuple(each.pigments),
            each.binder,
            tuple(each.status),
        )
        versions.append(VersionRecord(paint, each.saved_at, each.optics, each.card, each.picture))
    return PaintHistory(
        key=model.key,
        current=model.current,
        binned_at=model.binned_at,
        versions=tuple(versions),
        cards={number: _model_to_card(card) for number, card in enumerate(model.cards)},
        pictures={number: model_to_picture(each) for number, each in enumerate(model.pictures)},
        tubes=tuple((each.saved_at, _model_to_tube(each)) for each in model.tubes),
    )


def _check_places(model: PaintModel) -> None:
    if model.current > len(model.versions):
        raise InputError("current", model.current, f"1 to {len(model.versions)}")
    for version in model.versions:
        for name, listed in (("optics", model.optics), ("card", model.cards), ("picture", model.pictures)):
            place = getattr(version, name)
            if place is not None and place >= len(listed):
                raise InputError(name, place, f"a place in a list of {len(listed)}, counted from 0")


def _optics_to_model(paint: Paint) -> OpticsModel:
    return OpticsModel(
        provenance=paint.provenance.name.lower(),  # type: ignore[arg-type]
        absorption=paint.optics.absorption.tolist(),
        scattering=paint.optics.scattering.tolist(),
        covariance=covariance_to_list(paint.optics.covariance),
    )


def covariance_to_list(matrix: Floats) -> list[float] | None:
    """A covariance by rows: None if it is zero, its lower triangle if that says all, else whole."""
    if not matrix.any():
        return None
    kept = matrix[np.tril_indices(2 * BANDS)] if np.array_equal(matrix, matrix.T) else matrix.ravel()
    numbers: list[float] = kept.tolist()
    return numbers


def list_to_covariance(numbers: list[float] | None) -> Floats:
    """A covariance from its numbers by rows.

    Raises
    ------
    InputError
        If there are neither as many as a triangle nor as a square.
    """
    size = 2 * BANDS
    if numbers is None:
        return np.zeros((size, size))
    if len(numbers) == SQUARE:
        return np.array(numbers).reshape(size, size)
    if len(numbers) != TRIANGLE:
        raise InputError("covariance", f"{len(numbers)} numbers", f"none, {TRIANGLE} or {SQUARE} numbers")
    matrix = np.zeros((size, size))
    matrix[np.tril_indices(size)] = numbers
    return np.where(np.tri(size, dtype=bool), matrix, matrix.T)


def _model_to_optics(model: OpticsModel) -> Optics:
    matrix = list_to_covariance(model.covariance)
    return Optics(np.array(model.absorption), np.array(model.scattering), matrix)


_OF_A_CARD = ("quantity", "light", "observer", "noise", "camera", "condition", "backing", "serial")


def _card_to_model(card: CardReadings) -> CardModel:
    names = ("area", "film", "paint_parts", "white_parts", "ground", "weight", "blind")
    readings = [
        ReadingModel(values=reading.values.tolist(), **{name: getattr(reading, name) for name in names})
        for reading in card.readings
    ]
    return CardModel(readings=readings, **{name: getattr(card, name) for name in _OF_A_CARD})


def _model_to_card(model: CardModel) -> CardReadings:
    readings = tuple(
        Reading(
            each.area,
            each.film,
            each.paint_parts,
            each.white_parts,
            each.ground,
            np.array(each.values),
            each.weight,
            sized_directions(each.blind, np.array(each.values)),
        )
        for each in model.readings
    )
    return CardReadings(readings, **{name: getattr(model, name) for name in _OF_A_CARD})


def picture_to_model(picture: Picture) -> PictureModel:
    """A picture as JSON."""
    outlines = {area: list(corners) for area, corners in picture.outlines.items()}
    content = base64.b64encode(picture.content)
    return PictureModel(media_type=picture.media_type, content=content, outlines=outlines)


def model_to_picture(model: PictureModel) -> Picture:
    """A picture from JSON."""
    return Picture(
        model.content, model.media_type, {area: tuple(each) for area, each in model.outlines.items()}
    )


def _tube_to_model(saved_at: datetime, facts: TubeFacts) -> TubeModel:
    plain = ("price", "currency", "size_ml", "stock", "shop_code", "discontinued", "notes", "coat")
    ratings = [
        RatingModel(scale=each.scale, rating=each.rating, said_by=each.said_by)
        for each in facts.lightfastness
    ]
    return TubeModel(
        saved_at=saved_at, lightfastness=ratings, **{name: getattr(facts, name) for name in plain}
    )


def _model_to_tube(model: TubeModel) -> TubeFacts:
    ratings = tuple(Lightfastness(each.scale, each.rating, each.said_by) for each in model.lightfastness)
    return TubeFacts(
        model.price,
        model.currency,
        model.size_ml,
        model.stock,
        model.shop_code,
        model.discontinued,
        ratings,
        model.notes,
        model.coat,
    )


def ground_to_model(history: Sequence[Kept[KeptGround]]) -> GroundModel:
    """A ground with its past as JSON."""
    return GroundModel(key=history[-1].thing.key, **_with_past(history, _ground_words, PastGroundModel))


def model_to_grounds(model: GroundModel, *, binned: bool) -> list[Kept[KeptGround]]:
    """A ground with its past from JSON, oldest first.

    Raises
    ------
    InputError
        If it cannot be kept.
    """

    def ground(said: GroundModel | PastGroundModel) -> KeptGround:
        spectrum = None if said.reflectance is None else np.array(said.reflectance)
        return KeptGround(model.key, said.label, spectrum, said.lab, said.notes)

    past = [Kept(each.saved_at, each.binned, ground(each)) for each in model.past]
    return [*past, Kept(model.saved_at, binned, ground(model))]


def recipe_to_model(history: Sequence[Kept[Recipe]]) -> RecipeModel:
    """A recipe with its past as JSON."""
    return RecipeModel(key=history[-1].thing.key, **_with_past(history, _recipe_words, PastRecipeModel))


def model_to_recipes(model: RecipeModel, *, binned: bool) -> list[Kept[Recipe]]:
    """A recipe with its past from JSON, oldest first.

    Raises
    ------
    InputError
        If it cannot be kept.
    """

    def recipe(said: RecipeModel | PastRecipeModel) -> Recipe:
        return Recipe(model.key, said.label, said.layering, said.notes)

    past = [Kept(each.saved_at, each.binned, recipe(each)) for each in model.past]
    return [*past, Kept(model.saved_at, binned, recipe(model))]


def plan_to_model(history: Sequence[Kept[KeptPlan]]) -> PlanModel:
    """A plan with its past as JSON."""
    return PlanModel(key=history[-1].thing.key, **_with_past(history, _plan_words, PastPlanModel))


def model_to_plans(model: PlanModel, *, binned: bool) -> list[Kept[KeptPlan]]:
    """A plan with its past from JSON, oldest first.

    Raises
    ------
    InputError
        If it cannot be kept.
    """

    def plan(said: PlanModel | PastPlanModel) -> KeptPlan:
        return KeptPlan(model.key, said.label, said.content, said.notes)

    past = [Kept(each.saved_at, each.binned, plan(each)) for each in model.past]
    return [*past, Kept(model.saved_at, binned, plan(model))]


def _with_past(
    history: Sequence[Kept[Thing]], words: Callable[[Thing], dict[str, Any]], past: type[BaseModel]
) -> dict[str, Any]:
    """Fields of a named thing as it stands, and in ``past`` what it was before."""
    now = history[-1]
    was = [past(saved_at=each.moment, binned=each.binned, **words(each.thing)) for each in history[:-1]]
    return {**words(now.thing), "saved_at": now.saved_at, "past": was}


def _ground_words(ground: KeptGround) -> dict[str, Any]:
    spectrum = None if ground.reflectance is None else ground.reflectance.tolist()
    return {"label": ground.label, "reflectance": spectrum, "lab": ground.lab, "notes": ground.notes}


def _recipe_words(recipe: Recipe) -> dict[str, Any]:
    return {"label": recipe.label, "layering": dict(recipe.layering), "notes": recipe.notes}


def _plan_words(plan: KeptPlan) -> dict[str, Any]:
    return {"label": plan.label, "content": dict(plan.content), "notes": plan.notes}
