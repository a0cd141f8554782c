"""What a shop says of a tube, how far that makes it go, and how strong it is beside another."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.shelf.hung_shelf import hang_waiting, look_at_wall
from scumble.jobs.tube.beside_reference import likely_reference, say_among_all, strength_beside
from scumble.jobs.tube.describe import describe_paint
from scumble.jobs.tube.say_tube import say_tube
from scumble.jobs.tube.show_beside import show_beside
from scumble.jobs.tube.show_paint import show_paint
from scumble.store.shelf import Shelf, open_shelf


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = illustrative_shelf(tmp_path_factory.mktemp("said") / "shelf.sqlite")
    with open_shelf(path) as shelf:
        hang_waiting(shelf)
    said = {"price": "7.40", "currency": "eur", "size_ml": "37", "coat": "80 um"}
    assert say_tube("Yellow ochre", said, path)["became"] == "changed"
    return path


@pytest.fixture(scope="module")
def shelf(place: Path) -> Iterator[Shelf]:
    with open_shelf(place) as opened:
        yield opened


def test_what_is_said_is_kept_and_what_is_not_said_stays(place: Path) -> None:
    told = say_tube("yellow-ochre", {}, place)
    assert (told["became"], told["price"], told["coat"], told["pigments"]) == (
        "told",
        "7.40",
        "80 um",
        "PY43",
    )
    assert say_tube("yellow-ochre", {"coat": "80 um"}, place)["became"] == "same"
    with pytest.raises(InputError, match="coat: saw 'thick'"):
        say_tube("yellow-ochre", {"coat": "thick", "price": "1"}, place)
    assert say_tube("yellow-ochre", {}, place)["price"] == "7.40"


def test_a_known_coat_becomes_square_metres_and_money(place: Path) -> None:
    told = describe_paint("yellow-ochre", place, against="raw-sienna")
    spreading = told["spreading"]
    assert spreading["coat"] == {"said": "80 um", "wet_um": 80.0, "doubt": 0.1}
    for name in ("hiding_um", "m2_per_litre", "m2_per_tube", "price_per_m2", "fixed_ratio"):
        value, low, high = spreading[name]
        assert low < value < high
    hides_ml = spreading["m2_per_tube"][0] * spreading["hiding_um"][0]
    assert hides_ml == pytest.approx(37.0, rel=1e-3)
    assert spreading["price_per_m2"][0] * spreading["m2_per_tube"][0] == pytest.approx(7.40, rel=1e-3)
    assert told["strength"]["against"] == "raw-sienna"
    assert any("let down 1 : 9 with white when let down about 1 : " in said for said in told["sentences"])
    assert describe_paint("viridian", place)["spreading"] is None


def test_the_page_says_how_far_it_goes_and_how_strong_it_is_beside_others(shelf: Shelf) -> None:
    page = show_paint(shelf, "yellow-ochre")
    assert [said.topic for said, _ in page.further] == [
        "among all",
        "depth",
        "spreading",
        "fixed rate",
        "cost",
    ]
    assert all(evidence is not None for _, evidence in page.further)
    assert page.has_coat and page.against == "Yellow iron oxide"
    assert "Yellow iron oxide" in page.references[:3] and "Titanium white" not in page.references
    other = show_paint(shelf, "yellow-ochre", against="cadmium red")
    assert other.against == "Cadmium red" and "cadmium red let down" in other.further[1][0].claim
    wrong = show_paint(shelf, "yellow-ochre", against="zebra")
    assert wrong.against == "zebra" and "zebra" in wrong.against_fault
    assert "depth" not in {said.topic for said, _ in wrong.further}
    white = show_paint(shelf, "titanium-white")
    assert white.further == () and not white.has_coat


def test_side_by_side_says_what_a_tube_hides(shelf: Shelf) -> None:
    page = show_beside(shelf, ["yellow-ochre", "viridian"])
    row = next(row for row in page.rows if row.title == "one tube hides")
    said = [each.claim for each in page.pairs[0][1] if each.topic == "depth"]
    assert len(said) == 1 and "is as deep as Viridian let down 1 : 9 with white" in said[0]
    assert all(
        each.topic != "depth" for each in show_beside(shelf, ["viridian", "titanium-white"]).pairs[0][1]
    )
    assert row.cells[0].endswith("m²") and row.cells[1] == "not known: say what a coat is"


def test_a_reference_is_of_like_hue_and_may_be_named(shelf: Shelf) -> None:
    wall = look_at_wall(shelf)
    hues = {strip.key: strip.hue_word for strip in wall.strips}
    for key in ("cadmium-red", "phthalo-blue-green-shade", "viridian"):
        reference = likely_reference(wall, wall.entries[key])
        assert reference != key and hues[reference] == hues[key]
    assert likely_reference(wall, wall.entries["titanium-white"]) == ""
    for against, words in (
        ("viridian", "another tube"),
        ("titanium-white", "two colours"),
        ("zebra", "zebra"),
    ):
        with pytest.raises(InputError, match=words):
            strength_beside(shelf, "viridian", against)


def test_ranks_among_all_count_every_other_tube_once(shelf: Shelf) -> None:
    """The strongest has all others behind it, the weakest none, and each is one step from the next."""
    wall = look_at_wall(shelf)
    counts = []
    for strip in wall.strips:
        said = say_among_all(wall, wall.entries[strip.key])
        if said is not None:
            counts.append(int(said.claim.split("than ")[1].split(" of")[0]))
    assert min(counts) == 0 and max(counts) == len(counts) - 1
    assert len(counts) == sum(strip.strength_word != "" for strip in wall.strips)
