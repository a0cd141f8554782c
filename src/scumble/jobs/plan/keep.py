"""Plans kept by name: everything they were made of but the paints, which are looked up in the versions of that day."""

from __future__ import annotations

import base64
import re
import unicodedata
import zlib
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from scumble.card.picture.points import load_picture
from scumble.card.picture.regions import draw_points
from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.jobs.plan.data import asked_as_data, stack_as_data
from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.reference import LEAST_SIDE_PX, Reference
from scumble.jobs.plan.request import PlanRequest
from scumble.paint import Face, Ground, GroundFace, Paint
from scumble.solve.plan.areas import Division
from scumble.solve.plan.layers import Layer, Mixture, Role, Stack, predict_stacks
from scumble.solve.plan.tell import tell_plan
from scumble.solve.plan.value import Plan
from scumble.solve.plan.wishes import Manner
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import target_of_lab
from scumble.store.named_things import KeptPlan
from scumble.store.shelf import Shelf

FORMAT = 1
"""Counted up when a kept plan would be read differently."""

MOVES = 0.5
"""dE00 from which it is said what a newer version of a paint would change."""


def keep_plan(shelf: Shelf, name: str, found: PlanFound) -> str:
    """Keep a plan under a name; a name that is there gets a further version. The key it goes by.

    Raises
    ------
    InputError
        If the name cannot be used.
    StoreError
        If the shelf cannot be written.
    """
    label = " ".join(name.split())
    key = _key(label)
    if not key:
        raise InputError("name", name, "a name with letters or digits in it")
    shelf.plans.save(KeptPlan(key, label, _content(shelf, found)))
    return key


def _key(label: str) -> str:
    plain = unicodedata.normalize("NFKC", label).casefold()
    return "-".join(re.findall(r"[^\W_]+", plain))[:80].strip("-")


def _content(shelf: Shelf, found: PlanFound) -> dict[str, Any]:
    keys = {paint.key for plan in found.plans.values() for paint in plan.used}
    used = {paint.key: paint for paint in found.search.tubes if paint.key in keys}
    versions = {entry.key: entry.version for entry in shelf.load_entries(list(used))}
    gone = [paint.label for key, paint in used.items() if key not in versions]
    gone += [
        paint.label
        for key, paint in used.items()
        if key in versions and not _same(shelf.load_paint(key), paint)
    ]
    if gone:
        raise InputError(
            "plan",
            ", ".join(gone),
            "tubes that are on the shelf as they were planned with",
            "Plan the painting anew.",
        )
    ground, places = found.search.ground, found.division.places.astype(np.uint8)
    return {
        "format": FORMAT,
        "asked": asked_as_data(found.request),
        "picture": {
            "name": found.reference.name,
            "notes": list(found.reference.notes),
            "png": base64.b64encode(draw_points(found.reference.codes)).decode(),
        },
        "areas": found.division.labs.tolist(),
        "places": {
            "size": list(places.shape),
            "packed": base64.b64encode(zlib.compress(places.tobytes(), 9)).decode(),
        },
        "ground": {
            "label": ground.label,
            "face": ground.face.value,
            "reflectance": ground.reflectance.tolist(),
        },
        "face": found.search.face.value,
        "tubes": [
            {"key": key, "label": paint.label, "version": versions[key]} for key, paint in used.items()
        ],
        "plans": {manner.value: _plan_content(plan) for manner, plan in found.plans.items()},
    }


def _same(one: Paint, other: Paint) -> bool:
    """Whether two versions of a paint look the same."""
    pairs = (
        (getattr(one.optics, name), getattr(other.optics, name)) for name in ("absorption", "scattering")
    )
    return all(np.array_equal(*pair) for pair in pairs)


def _plan_content(plan: Plan) -> dict[str, Any]:
    return {
        "tried": plan.tried,
        "nearest": [area.nearest for area in plan.areas],
        "layers": [stack_as_data(plan, area.stack) for area in plan.areas],
    }


def reopen_plan(shelf: Shelf, key: str) -> PlanFound:
    """A kept plan as it was, with the paints in the versions of that day, and what has changed since.

    Raises
    ------
    InputError
        If there is none of that key, a tube it takes is gone, or a newer Scumble kept it.
    """
    kept = shelf.plans.load(key)
    content = kept.content
    if content.get("format") != FORMAT:
        raise InputError(
            "plan", key, "a plan that this Scumble can read", "Open it with the one that kept it."
        )
    tubes, newer = _tubes(shelf, kept.label, content["tubes"])
    division = _division(content)
    said = content["ground"]
    ground = Ground(np.array(said["reflectance"]), GroundFace(said["face"]), said["label"])
    search = Search(target_of_lab(division.labs[0]), tubes, ground, Face(content["face"]))
    stacks = {Manner(name): _stacks(each["layers"], tubes) for name, each in content["plans"].items()}
    plans = {
        manner: tell_plan(
            search,
            manner,
            own,
            division.labs,
            division.shares,
            nearest=np.array(content["plans"][manner.value]["nearest"]),
            tried=content["plans"][manner.value]["tried"],
        )
        for manner, own in stacks.items()
    }
    changed = _changes(search, stacks, newer)
    return PlanFound(
        _request(content["asked"]),
        _reference(content["picture"]),
        division,
        search,
        plans,
        shelf.tubes.load_all(),
        changed,
    )


def _tubes(
    shelf: Shelf, label: str, listed: Sequence[Mapping[str, Any]]
) -> tuple[tuple[Paint, ...], dict[str, Paint]]:
    """Paints in the versions of that day, and by key those that look different now."""
    tubes, newer = [], {}
    for each in listed:
        try:
            was, now = shelf.load_paint(each["key"], version=each["version"]), shelf.load_paint(each["key"])
        except InputError:
            hint = "Fetch it from the bin, or plan the painting anew."
            raise InputError(
                "plan", label, f"a plan whose tubes are all here; {each['label']} is not", hint
            ) from None
        tubes.append(was)
        if not _same(was, now):
            newer[was.key] = now
    return tuple(tubes), newer


def _changes(
    search: Search, stacks: Mapping[Manner, Sequence[Stack]], newer: Mapping[str, Paint]
) -> tuple[str, ...]:
    """What paints that were read anew since would change."""
    said = []
    for place, paint in enumerate(search.tubes):
        if paint.key not in newer:
            continue
        tubes = (*search.tubes[:place], newer[paint.key], *search.tubes[place + 1 :])
        other = Search(search.target, tubes, search.ground, search.face)
        own = [
            stack
            for each in stacks.values()
            for stack in each
            if any(used == place for layer in stack for used, _ in layer.mixture.parts)
        ]
        most = 0.0
        if own:
            most = float(delta_e_2000(predict_stacks(search, own), predict_stacks(other, own)).max())
        moves = (
            f"with it areas move by up to dE00 {most:.1f}"
            if most >= MOVES
            else "with it hardly anything moves"
        )
        said.append(
            f"{paint.label} has been read anew since this plan was kept: {moves}. "
            "The plan is shown with the paint as it was; plan anew to use the new one."
        )
    return tuple(said)


def _stacks(listed: Sequence[Sequence[Mapping[str, Any]]], tubes: Sequence[Paint]) -> list[Stack]:
    places = {paint.key: place for place, paint in enumerate(tubes)}
    return [
        tuple(
            Layer(
                Mixture(
                    tuple(sorted((places[key], part) for key, part in each["parts"].items())),
                    each["medium_parts"],
                    each["thinner_parts"],
                ),
                each["coats"],
                Role(each["role"]),
            )
            for each in stack
        )
        for stack in listed
    ]


def _division(content: Mapping[str, Any]) -> Division:
    packed = zlib.decompress(base64.b64decode(content["places"]["packed"]))
    places = np.frombuffer(packed, dtype=np.uint8).reshape(content["places"]["size"]).astype(np.intp)
    return Division(np.array(content["areas"]), places)


def _reference(said: Mapping[str, Any]) -> Reference:
    codes = load_picture(base64.b64decode(said["png"]), least_side_px=LEAST_SIDE_PX).codes
    return Reference(codes.astype(np.uint8), said["name"], tuple(said["notes"]))


def _request(asked: Mapping[str, Any]) -> PlanRequest:
    said: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value for name, value in asked.items()
    }
    return PlanRequest(**said)


def move_plan(shelf: Shelf, key: str, *, binned: bool) -> None:
    """Put a kept plan into the bin, or fetch it back; where it is already there, nothing changes.

    Raises
    ------
    InputError
        If there is none of that key.
    """
    if key in {each.key for each in (shelf.plans.load_bin() if binned else shelf.plans.load_all())}:
        return
    (shelf.plans.delete if binned else shelf.plans.restore)(key)
