"""Keep a prediction to prove: from the bench, a recipe, a paint's page, or as JSON."""

from __future__ import annotations

import json
import secrets
from dataclasses import replace
from typing import Any, Final

from scumble.card.sheet.serial import SERIALS, new_serial
from scumble.errors import InputError
from scumble.jobs.bench.build import OWN, Built, Tubes, build
from scumble.jobs.bench.request import Bench, parse_address
from scumble.jobs.layering_request import LayeringRequest, parse_layering
from scumble.jobs.proofs.promise import layering_of, promise_of
from scumble.jobs.proofs.words import say_layering
from scumble.jobs.white import is_white, white_for
from scumble.paint import PAPERS, Paint, Provenance
from scumble.paint.proof import proof_kind
from scumble.store.proof import PromisedPaint, Proof, mark_of_optics
from scumble.store.shelf import Shelf

SWATCHES: Final[dict[str, tuple[str, str, float, int]]] = {
    "masstone": ("Masstone: a full coat over white", "white", 1.0, 0),
    "undertone": ("Undertone: a quarter of a coat over white", "white", 0.25, 0),
    "breath": ("A breath of it: a tenth of a coat over white", "white", 0.1, 0),
    "dark": ("A quarter of a coat over black", "black", 0.25, 0),
    "tint1": ("Tint: 1 part to 1 of white", "white", 1.0, 1),
    "tint4": ("Tint: 1 part to 4 of white", "white", 1.0, 4),
    "tint9": ("Tint: 1 part to 9 of white", "white", 1.0, 9),
}
"""Swatches of one paint by name: what it is called, over which paper, coats, and parts of white."""

MOST_PROOFS: Final = 20_000
"""On one shelf, those in the bin included."""


def keep_layering(
    shelf: Shelf, data: object, *, label: str = "", ground: str = "", notes: str = "", again: bool = False
) -> Proof:
    """Keep the prediction of a layering given as JSON-ready data; one that waits already is kept once.

    Parameters
    ----------
    shelf : Shelf
        Open.
    data : object
        As ``scumble layer`` takes it, with at least one film.
    label : str
        What it is called; made from its films when left out.
    ground : str
        What its ground is called, where the data do not say.
    notes : str
        Anything else.
    again : bool
        Whether it is kept a second time, to be painted twice.

    Raises
    ------
    InputError, StoreError
        If something in it cannot be used, or the shelf cannot be written.
    """
    request = parse_layering(data)
    if not request.films:
        raise InputError("films", "none", "at least one film", "A bare ground promises nothing.")
    if shelf.proofs.count() >= MOST_PROOFS:
        raise InputError("proofs", MOST_PROOFS, f"at most {MOST_PROOFS} on one shelf")
    request = _by_key(shelf, request)
    layering = layering_of(shelf, request, label=" ".join(ground.split())[:200])
    paints = {paint.key: paint for film in layering.films for paint, _ in film.parts}
    proof = Proof(
        new_serial(secrets.randbelow(SERIALS)).lower(),
        " ".join(label.split()) or _shortened(say_layering(layering)),
        proof_kind(layering, is_white).value,
        layering.ground.label,
        request.model_dump(mode="json", exclude_none=True),
        _as_they_stand(shelf, paints),
        request.light,
        request.observer,
        promise_of(layering, light=request.light, observer=request.observer),
        notes,
    )
    waiting = None if again else _waits_already(shelf, proof)
    if waiting is None:
        shelf.proofs.keep(proof)
    return waiting or proof


def _waits_already(shelf: Shelf, proof: Proof) -> Proof | None:
    """The same prediction, by the same optics, that was kept and not read yet."""
    for kept in shelf.proofs.load_all():
        if kept.reading is None and replace(kept.proof, key=proof.key) == proof:
            return kept.proof
    return None


def keep_layering_text(shelf: Shelf, text: str, *, label: str = "", ground: str = "") -> Proof:
    """The same of JSON text, as a page sends it.

    Raises
    ------
    InputError, StoreError
        If it is no layering, something in it cannot be used, or the shelf cannot be written.
    """
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        raise InputError("layering", text, "a layering as JSON") from None
    return keep_layering(shelf, data, label=label, ground=ground)


def keep_bench(shelf: Shelf, query: str, *, label: str = "", notes: str = "") -> Proof:
    """Keep the prediction of a layering on the bench, given as the query of its address.

    Raises
    ------
    InputError, StoreError
        If something in it cannot be used, or the shelf cannot be written.
    """
    built = build(shelf, Tubes(shelf), parse_address(query))
    return keep_layering(
        shelf, bench_to_data(built), label=label, ground=built.layering.ground.label, notes=notes
    )


def keep_swatch(shelf: Shelf, paint: str, swatch: str, *, again: bool = False) -> Proof:
    """Keep one of the :data:`SWATCHES` of a paint.

    Raises
    ------
    InputError
        If there is no such paint or swatch, or no white to tint it with.
    """
    if swatch not in SWATCHES:
        raise InputError("swatch", swatch, ", ".join(SWATCHES))
    return keep_layering(shelf, swatch_data(shelf, shelf.load_paint(paint), swatch), again=again)


def swatch_names() -> dict[str, str]:
    """What each of the :data:`SWATCHES` is called."""
    return {name: says for name, (says, *_) in SWATCHES.items()}


def swatch_data(shelf: Shelf, paint: Paint, swatch: str) -> dict[str, Any]:
    """A swatch of a paint as a layering.

    Raises
    ------
    InputError
        If there is no white of its binder to tint it with.
    """
    _, paper, coats, white_parts = SWATCHES[swatch]
    parts = {paint.key: 1.0}
    if white_parts:
        white = white_for(paint, shelf.load_entries())
        if white is None or white.key == paint.key:
            allowed = f"a paint that a white in {paint.binder} on this shelf is another than"
            raise InputError("paint", paint.label, allowed)
        parts[white.key] = float(white_parts)
    return {"ground": {"paper": paper}, "films": [{"parts": parts, "coats": coats}]}


def bench_to_data(built: Built) -> dict[str, Any]:
    """A layering on the bench as ``scumble layer`` takes it; a proof is judged dry."""
    bench, ground = built.bench, built.layering.ground
    face: dict[str, Any] = {"face": ground.face.value}
    plain = bench.ground in PAPERS and bench.ground != OWN
    known = {"paper": bench.ground} if plain else {"reflectance": ground.reflectance.tolist()}
    films = [
        {
            "parts": {paint.key: amount for paint, amount in each.film.parts},
            "coats": each.film.coats,
            "medium_parts": each.film.medium_parts,
            "water_parts": each.film.water_parts,
        }
        for each in built.films
    ]
    return {"ground": known | face, "films": films, "light": bench.light, "face": _face(bench)}


def _face(bench: Bench) -> str:
    return bench.state if bench.state in ("satin", "matte", "varnished") else "gloss"


def _by_key(shelf: Shelf, request: LayeringRequest) -> LayeringRequest:
    """The same with every paint called by its key, and dry."""
    films = []
    for film in request.films:
        parts: dict[str, float] = {}
        for name, amount in film.parts.items():
            key = shelf.load_paint(name).key
            parts[key] = parts.get(key, 0.0) + amount
        films.append(film.model_copy(update={"parts": parts}))
    return request.model_copy(update={"films": films, "wet": False})


def _as_they_stand(shelf: Shelf, paints: dict[str, Paint]) -> tuple[PromisedPaint, ...]:
    versions = {entry.key: entry.version for entry in shelf.load_entries(list(paints))}
    return tuple(
        PromisedPaint(
            key,
            paint.label,
            versions[key],
            mark_of_optics(paint.optics),
            paint.provenance is Provenance.ILLUSTRATIVE,
        )
        for key, paint in paints.items()
    )


def _shortened(words: str) -> str:
    return words if len(words) <= 200 else words[:197] + "..."
