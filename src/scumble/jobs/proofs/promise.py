"""What a layering promises: fetched with the optics of a day, predicted, and put into words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from scumble.jobs.layering_request import LayeringRequest, build_layering, parse_layering
from scumble.paint import Ground, Layering, Paint, predict_look
from scumble.paint.proof import predict_hand
from scumble.store.proof import LabPromise, Matrix, Proof
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]


def promised_layering(shelf: Shelf, proof: Proof, *, today: bool = False) -> Layering:
    """The layering of a proof with the optics that it was predicted with, or with those of today.

    Parameters
    ----------
    shelf : Shelf
        Open.
    proof : Proof
        Kept on it.
    today : bool
        Whether the current versions of its paints are taken.

    Raises
    ------
    InputError
        If a paint or a version of it is no longer on the shelf.
    """
    versions = {} if today else {paint.key: paint.version for paint in proof.paints}
    return layering_of(shelf, parse_layering(dict(proof.layering)), versions, label=proof.ground)


def layering_of(
    shelf: Shelf, request: LayeringRequest, versions: Mapping[str, int] | None = None, *, label: str = ""
) -> Layering:
    """A layering of paints of a shelf.

    Parameters
    ----------
    shelf : Shelf
        Open.
    request : LayeringRequest
        As it was asked for.
    versions : mapping of str to int, optional
        Which version of each paint; the current one of those left out.
    label : str
        What its ground is called; as the request says when left out.

    Raises
    ------
    InputError
        For an unknown paint, version or paper, or an impossible amount or colour.
    """
    known = versions or {}

    def find(name: str) -> Paint:
        return shelf.load_paint(name, version=known.get(name))

    built = build_layering(request, find)
    return replace(built, ground=replace(built.ground, label=label)) if label else built


def over_ground(layering: Layering, reflectance: Floats) -> Layering:
    """The same films over a ground that was read."""
    ground = Ground(np.clip(reflectance, 0.0, 1.0), layering.ground.face, layering.ground.label)
    return replace(layering, ground=ground)


def promise_of(layering: Layering, *, light: str, observer: int) -> LabPromise:
    """What a layering is predicted to look like, how sure its paints are, and what a hand adds."""
    look = predict_look(layering, light=light, observer=observer)
    hand = predict_hand(layering, light=light, observer=observer)
    lightness, a, b = look.lab.tolist()
    return LabPromise((lightness, a, b), plain_matrix(look.lab_covariance), plain_matrix(hand))


def plain_matrix(matrix: Floats) -> Matrix:
    """A covariance of Lab as plain numbers."""
    first, second, third = (tuple(row) for row in np.asarray(matrix).tolist())
    return first, second, third
