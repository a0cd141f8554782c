"""A full shelf and what it says, for tests that send shelves from place to place."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
from tests.store.cards import invented_paint, small_card
from tests.store.proofs import (
    invented_proof,
    invented_sheet,
    photographed_reading,
    spectral_reading,
    typed_reading,
)

from scumble.paint import Quantity
from scumble.store.proof import ProofUse, mark_of_optics
from scumble.store.shelf import (
    KeptGround,
    KeptPlan,
    Lightfastness,
    LightScale,
    Picture,
    Recipe,
    Shelf,
    TubeFacts,
)
from scumble.store.trainee import Answer
from scumble.store.travel.shelf_export import format_shelf_json
from scumble.tables import BANDS

PICTURE = Picture(bytes(range(256)), "image/png", {"white": ((1.0, 2.0), (3.5, 2.0), (3.5, 4.25))})
RATED = (
    Lightfastness(LightScale.ASTM, "I", "the label"),
    Lightfastness(LightScale.BLUE_WOOL, "7", "own test; south window (1 year)"),
)
FACTS = TubeFacts(
    Decimal("12.50"),
    "EUR",
    37.0,
    4,
    "00-1017",
    True,
    RATED,
    'Stiff; "new".\nUse medium, 10 %.',
    "0.4 ml on 50 cm2 +- 15 %",
)


ANSWERS = (
    Answer("cover", ("deep-blue",), True, -0.7, 0.5, "ab12", 1),
    Answer(
        "mixing", ("deep-blue", "exact-red"), False, 1.25, 0.25, "ab12", 2, "looked half way between the two"
    ),
    Answer("undertone", ("deep-blue",), True, 0.1, 0.0, "cd34", 1, off_de00=3.75),
)


def fill(shelf: Shelf) -> None:
    """Paints in versions, with cards, a picture, a bin, tubes, grounds, recipes, plans, proofs and trainees."""
    blue = invented_paint()
    shelf.save_paint(blue, readings=small_card(), picture=PICTURE)
    shelf.save_paint(replace(blue, label="Blue", pigments=("PB29",)))
    shelf.save_paint(invented_paint(seed=2), readings=small_card(Quantity.REFLECTANCE))
    shelf.choose_version("deep-blue", 2)
    exact = invented_paint("exact-red", seed=3)
    shelf.save_paint(
        replace(exact, optics=replace(exact.optics, covariance=np.zeros((72, 72))), label="=1+1")
    )
    crooked = invented_paint("crooked-green", seed=4)
    matrix = crooked.optics.covariance.copy()
    matrix[0, 1] = np.nextafter(matrix[1, 0], 9.0)
    shelf.save_paint(replace(crooked, optics=replace(crooked.optics, covariance=matrix), pigments=()))
    shelf.save_paint(invented_paint("old-black", seed=5))
    shelf.delete_paint("old-black")
    shelf.tubes.save("deep-blue", TubeFacts(stock=1, shop_code="=cmd"))
    shelf.tubes.save("deep-blue", FACTS)
    shelf.tubes.save("exact-red", TubeFacts(notes="- a list\n- of two", size_ml=0.1))
    shelf.grounds.save(KeptGround("grey", "Grey board", reflectance=np.linspace(0.3, 0.4, BANDS)))
    shelf.grounds.save(KeptGround("toned", "Toned", lab=(60.1, 12.0, 30.25), notes="two coats"))
    shelf.grounds.delete("toned")
    shelf.proofs.keep(invented_proof())
    shelf.proofs.keep(invented_proof("binned00"))
    shelf.proofs.move("binned00", binned=True)
    shelf.proofs.save_readings({"abcd1234": typed_reading()})
    shelf.proofs.save_readings(
        {"abcd1234": photographed_reading(), "binned00": photographed_reading()}, PICTURE
    )
    shelf.proofs.save_readings({"abcd1234": spectral_reading()})
    shelf.proofs.set_reading_aside("abcd1234", 1, aside=True)
    shelf.proofs.add_uses([("abcd1234", 2)], ProofUse("deep-blue", mark_of_optics(blue.optics)))
    shelf.proofs.save_sheets([invented_sheet()])
    learner = shelf.trainees.add("A. B.")
    for each in ANSWERS:
        shelf.trainees.save_answer(learner.number, each)
    shelf.trainees.add("Zoë")
    shelf.plans.save(KeptPlan("still-life", "Still life", {"asked": {"count": 12}}, "for Tuesday"))
    shelf.plans.save(KeptPlan("still-life", "Still life", {"asked": {"count": 16}}))
    shelf.plans.save(KeptPlan("hill", "Hill"))
    shelf.plans.delete("hill")
    shelf.recipes.save(Recipe("glaze", "Evening", {"films": [{"parts": {"deep-blue": 1}, "coats": 0.1}]}))


def content_of(shelf: Shelf) -> dict[str, Any]:
    """Everything a shelf holds, as plain data that can be compared."""
    from json import loads

    content: dict[str, Any] = loads(format_shelf_json(shelf))
    del content["written_at"]
    return content
