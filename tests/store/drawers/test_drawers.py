"""Tubes, grounds, recipes, plans and summaries: what is put in comes back, and nothing is overwritten."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from tests.store.cards import invented_paint

from scumble.errors import InputError
from scumble.store.shelf import (
    KeptGround,
    KeptPlan,
    Lightfastness,
    LightScale,
    Recipe,
    Shelf,
    Summary,
    TubeFacts,
    open_shelf,
)
from scumble.tables import BANDS

RATED = (
    Lightfastness(LightScale.ASTM, "I", "the label"),
    Lightfastness(LightScale.BLUE_WOOL, "7", "own test, south window, one year"),
)
FACTS = TubeFacts(
    Decimal("12.50"), "EUR", 37.0, 4, "A-1017", True, RATED, "Stiff.\nUse with medium: 10 %.", "80 um"
)
GREY = KeptGround("grey-board", "Grey board", reflectance=np.linspace(0.3, 0.4, BANDS), notes="Museum board")
TONED = KeptGround("toned-ground", "Toned ground", lab=(60.1, 12.0, 30.25))
GLAZE = Recipe(
    "evening-glaze", "Evening glaze", {"films": [{"parts": {"deep-blue": 1}, "coats": 0.1}]}, "two coats"
)


@pytest.fixture
def shelf(place_of_shelf: Path | str) -> Iterator[Shelf]:
    with open_shelf(place_of_shelf) as opened:
        opened.save_paints([invented_paint(), invented_paint("warm-red", seed=1)])
        yield opened


def test_tubes_come_back_and_older_facts_stay(shelf: Shelf) -> None:
    assert shelf.tubes.load("deep-blue") == TubeFacts()
    assert [shelf.tubes.save("Deep blue", facts) for facts in (FACTS, FACTS, TubeFacts(stock=3))] == [1, 1, 2]
    assert shelf.tubes.load("deep-blue") == TubeFacts(stock=3)
    assert [facts for _, facts in shelf.tubes.load_history("deep-blue")] == [FACTS, TubeFacts(stock=3)]
    shelf.tubes.save_all({"warm-red": FACTS, "deep-blue": FACTS})
    assert shelf.tubes.load_all() == {"deep-blue": FACTS, "warm-red": FACTS}
    shelf.delete_paint("warm-red")
    assert list(shelf.tubes.load_all()) == ["deep-blue"]
    shelf.restore_paint("warm-red")
    assert shelf.tubes.load("warm-red") == FACTS


def test_tubes_of_several_paints_are_saved_all_or_none(shelf: Shelf) -> None:
    with pytest.raises(InputError, match=r"paint: saw 'warm-rod'.* Did you mean warm-red\?"):
        shelf.tubes.save_all({"deep-blue": FACTS, "warm-rod": FACTS})
    assert shelf.tubes.load_all() == {}


def test_grounds_and_recipes_come_back_in_versions(shelf: Shelf) -> None:
    shelf.grounds.save_all([GREY, TONED])
    assert shelf.grounds.load_all() == (GREY, TONED)
    darker = KeptGround("grey-board", "Grey board", reflectance=np.full(BANDS, 0.2))
    assert [shelf.grounds.save(each) for each in (GREY, darker, darker)] == [1, 2, 2]
    assert shelf.grounds.load("grey-board") == darker
    assert shelf.grounds.load("grey-board", version=1) == GREY
    assert shelf.recipes.save(GLAZE) == 1
    assert shelf.recipes.load("evening-glaze") == GLAZE
    with pytest.raises(InputError, match=r"version: saw '3'; allowed is 1 to 2"):
        shelf.grounds.load("grey-board", version=3)


def test_grounds_go_to_the_bin_and_come_back(shelf: Shelf) -> None:
    shelf.grounds.save_all([GREY, TONED])
    shelf.grounds.delete("toned-ground")
    assert shelf.grounds.load_all() == (GREY,)
    assert shelf.grounds.load_bin() == (TONED,)
    with pytest.raises(InputError, match=r"ground: saw 'toned-ground'; .* There are: grey-board\."):
        shelf.grounds.load("toned-ground")
    with pytest.raises(InputError, match=r"a ground on the shelf"):
        shelf.grounds.delete("toned-ground")
    shelf.grounds.restore("toned-ground")
    assert shelf.grounds.load("toned-ground") == TONED
    with pytest.raises(InputError, match=r"recipe: saw 'nothing'; .* There are none yet\."):
        shelf.recipes.load("nothing")


def test_plans_come_back_in_versions_and_from_the_bin(shelf: Shelf) -> None:
    plan = KeptPlan("hill", "Hill", {"asked": {"count": 4}, "places": "abc"}, "larger sky")
    assert [shelf.plans.save(each) for each in (plan, plan, replace(plan, content={}))] == [1, 1, 2]
    assert shelf.plans.load("hill", version=1) == plan
    shelf.plans.delete("hill")
    assert shelf.plans.load_all() == () and shelf.plans.load_bin()[0].key == "hill"
    with pytest.raises(InputError, match=r"plan: saw 'hill'; allowed is a plan on the shelf"):
        shelf.plans.load("hill")
    shelf.plans.restore("hill")
    assert shelf.plans.load("hill").content == {}
    with pytest.raises(InputError, match=r"content: saw .*; allowed is plain data as JSON writes it"):
        KeptPlan("hill", "Hill", {"mean": float("nan")})


def test_summaries_belong_to_the_current_version(shelf: Shelf) -> None:
    entries = shelf.load_entries()
    made = {entry: Summary("figures 1", {"mark": "opaque", "hiding_coats": 1.25}) for entry in entries}
    shelf.summaries.save_all(made)
    shelf.summaries.save_all(made)
    assert shelf.summaries.load_all() == {entry.key: made[entry] for entry in entries}
    shelf.save_paint(invented_paint(seed=5))
    # One that was worked out for the older version is not shown for the new one.
    assert list(shelf.summaries.load_all()) == ["warm-red"]
    shelf.choose_version("deep-blue", 1)
    assert sorted(shelf.summaries.load_all()) == ["deep-blue", "warm-red"]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"price": Decimal("1.5")}, r"currency: saw ''; allowed is three capitals beside a price"),
        ({"price": Decimal("-1"), "currency": "EUR"}, r"price: saw '-1'; allowed is an amount of 0 or more"),
        ({"price": Decimal("NaN"), "currency": "EUR"}, r"price: saw 'NaN'"),
        ({"currency": "eur"}, r"currency: saw 'eur'; allowed is three capitals"),
        ({"size_ml": 0.0}, r"size_ml: saw '0\.0'; allowed is millilitres above 0"),
        ({"size_ml": float("inf")}, r"size_ml: saw 'inf'"),
        ({"stock": -1}, r"stock: saw '-1'; allowed is a whole number"),
        ({"shop_code": "a\nb"}, r"shop_code: .* on one line"),
        ({"notes": "x" * 20_001}, r"notes: .* at most 20000 characters"),
        ({"notes": "a\0b"}, r"notes: .* of text"),
    ],
)
def test_facts_that_cannot_be_are_refused(facts: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        TubeFacts(**facts)  # type: ignore[arg-type]


def test_ratings_and_grounds_that_cannot_be_are_refused() -> None:
    with pytest.raises(InputError, match=r"lightfastness, ASTM D4303: saw '7'; allowed is I to V"):
        Lightfastness(LightScale.ASTM, "7", "the label")
    with pytest.raises(InputError, match=r"Blue Wool: saw '9'; allowed is 1 to 8"):
        Lightfastness(LightScale.BLUE_WOOL, "9", "the label")
    with pytest.raises(InputError, match=r"said by: saw ' '; allowed is who says so"):
        Lightfastness(LightScale.BLUE_WOOL, "8", " ")
    with pytest.raises(InputError, match=r"either a reflectance or a lab"):
        KeptGround("a", "A")
    with pytest.raises(InputError, match=r"36 numbers from 0 to 1"):
        KeptGround("a", "A", reflectance=np.full(BANDS, 1.1))
    with pytest.raises(InputError, match=r"three finite numbers"):
        KeptGround("a", "A", lab=(1.0, 2.0, float("nan")))
    with pytest.raises(InputError, match=r"plain data as JSON"):
        Recipe("a", "A", {"films": float("nan")})
    with pytest.raises(InputError, match=r"key: saw 'A b'"):
        Recipe("A b", "A")
