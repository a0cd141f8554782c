"""How a card was measured: its instrument's condition, the backing, the camera and the serial, kept and sent on."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.store.cards import same_card, small_card

from scumble.paint import Optics, Paint, Provenance, Quantity
from scumble.paint.camera_doubt import CameraDoubt
from scumble.store.shelf import open_shelf
from scumble.store.travel.model_of import _card_to_model, _model_to_card
from scumble.store.travel.shelf_json import CardModel

TOLD = replace(small_card(Quantity.REFLECTANCE), condition="M2", backing="black", serial="03NQK8NG")
PHOTOGRAPHED = replace(small_card(), camera=CameraDoubt(sensor=0.5, paper=0.02, tint=0.01, veil=0.003))


@pytest.mark.parametrize("card", [TOLD, PHOTOGRAPHED, small_card()])
def test_the_shelf_keeps_how_it_was_measured(tmp_path: Path, card) -> None:  # type: ignore[no-untyped-def]
    paint = Paint("blue", "Blue", Optics(np.ones(36), np.ones(36)), Provenance.INSTRUMENT)
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        shelf.save_paint(paint, readings=card)
        kept = shelf.load_readings("blue")
    assert kept is not None and same_card(kept, card)


@pytest.mark.parametrize("card", [TOLD, PHOTOGRAPHED, small_card()])
def test_json_keeps_how_it_was_measured(card) -> None:  # type: ignore[no-untyped-def]
    text = _card_to_model(card).model_dump_json()
    assert same_card(_model_to_card(CardModel.model_validate_json(text)), card)


def test_json_of_older_shelves_is_read() -> None:
    told = _card_to_model(small_card()).model_dump(mode="json")
    for name in ("camera", "condition", "backing", "serial"):
        del told[name]
    assert same_card(_model_to_card(CardModel.model_validate(told)), small_card())
