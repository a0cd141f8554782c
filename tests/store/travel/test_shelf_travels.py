"""Every export re-imports to an equal shelf; imports are previewed, row by row, and all or nothing."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from tests.store.cards import invented_paint, same_card, same_paint, small_card
from tests.store.shelves import FACTS, PICTURE, content_of, fill

from scumble.errors import InputError
from scumble.paint import Provenance, Quantity
from scumble.store.shelf import Shelf, TubeFacts, open_shelf
from scumble.store.travel.shelf_export import format_shelf_json, format_shelf_table
from scumble.store.travel.shelf_import import ImportReport, import_shelf


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    with open_shelf(tmp_path / "shelf.scumble") as opened:
        fill(opened)
        yield opened


def told(report: ImportReport) -> list[tuple[str, str, str]]:
    return [(outcome.place, outcome.name, outcome.what) for outcome in report.outcomes]


def table(shelf: Shelf) -> list[str]:
    return format_shelf_table(shelf, "csv").decode().splitlines()


def test_json_makes_an_equal_shelf(shelf: Shelf, place_of_shelf: Path | str, tmp_path: Path) -> None:
    content = format_shelf_json(shelf).encode()
    place = place_of_shelf if isinstance(place_of_shelf, str) else tmp_path / "other.scumble"
    with open_shelf(place) as other:
        report = import_shelf(other, content, "json")
        assert report.saved and {outcome.what for outcome in report.outcomes} == {"new"}
        assert content_of(other) == content_of(shelf)
        assert same_paint(other.load_paint("deep-blue"), shelf.load_paint("deep-blue"))
        assert same_paint(other.load_paint("crooked-green"), shelf.load_paint("crooked-green"))
        assert other.load_picture("deep-blue") == PICTURE
        card = other.load_readings("deep-blue")
        assert card is not None and same_card(card, small_card(Quantity.XYZ))
        assert other.load_versions("deep-blue") == shelf.load_versions("deep-blue")
        assert other.tubes.load_history("deep-blue") == shelf.tubes.load_history("deep-blue")
        again = import_shelf(other, content, "json")
        assert {outcome.what for outcome in again.outcomes} == {"same"}
        assert content_of(other) == content_of(shelf)


def test_json_carries_the_past_of_grounds_recipes_and_plans(shelf: Shelf, tmp_path: Path) -> None:
    toned = shelf.grounds.load_bin()[0]
    shelf.grounds.restore("toned")
    shelf.grounds.save(replace(toned, lab=(70.0, 1.0, 2.0)))
    recipe = shelf.recipes.load("glaze")
    shelf.recipes.save(replace(recipe, notes="thinner"))
    shelf.recipes.delete("glaze")
    with open_shelf(tmp_path / "other.scumble") as other:
        assert import_shelf(other, format_shelf_json(shelf).encode(), "json").saved
        for binned in (False, True):
            for name in ("grounds", "recipes", "plans"):
                own, others = (getattr(each, name).load_histories(binned=binned) for each in (shelf, other))
                assert [[(past.saved_at, past.binned) for past in each] for each in own] == [
                    [(past.saved_at, past.binned) for past in each] for each in others
                ]
        assert [past.binned for past in other.recipes.load_histories(binned=True)[0]] == [False, False, True]
        assert [past.thing.lab for past in other.grounds.load_histories(binned=False)[1]] == [
            (60.1, 12.0, 30.25)
        ] * 3 + [(70.0, 1.0, 2.0)]
        assert other.recipes.load_histories(binned=True)[0][0].thing == recipe
        assert content_of(other) == content_of(shelf)


def test_json_into_a_shelf_that_differs_adds_versions(shelf: Shelf) -> None:
    content = format_shelf_json(shelf).encode()
    before = shelf.load_paint("deep-blue")
    shelf.save_paint(invented_paint(seed=9))
    shelf.tubes.save("deep-blue", TubeFacts(stock=0))
    report = import_shelf(shelf, content, "json")
    assert [outcome.name for outcome in report.outcomes if outcome.what == "changed"] == ["deep-blue"]
    assert same_paint(shelf.load_paint("deep-blue"), before)
    assert [entry.version for entry in shelf.load_versions("deep-blue")] == [1, 2, 3, 4, 5]
    assert shelf.tubes.load("deep-blue") == FACTS
    assert shelf.load_picture("deep-blue") == PICTURE


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_table_brings_back_what_the_list_says(shelf: Shelf, kind: str) -> None:
    content, before = format_shelf_table(shelf, kind), shelf.load_entries()
    facts, paints = shelf.tubes.load_all(), shelf.load_paints()
    same = import_shelf(shelf, content, kind)
    assert [outcome.what for outcome in same.outcomes] == ["same"] * 3
    for entry in before:
        shelf.save_paint(replace(shelf.load_paint(entry.key), label="Changed", pigments=("PW6",)))
        shelf.tubes.save(entry.key, TubeFacts(notes="changed"))
    report = import_shelf(shelf, content, kind)
    assert [outcome.what for outcome in report.outcomes] == ["changed"] * 3 and report.saved
    assert {key: each for key, each in shelf.tubes.load_all().items() if each != TubeFacts()} == facts
    assert all(same_paint(*pair) for pair in zip(shelf.load_paints(), paints, strict=True))


def test_spreadsheets_run_no_cell(shelf: Shelf) -> None:
    text = format_shelf_table(shelf, "csv").decode()
    assert ",'=1+1," in text
    book = openpyxl.load_workbook(io.BytesIO(format_shelf_table(shelf, "xlsx")))
    rows = list(book["shelf"].iter_rows())
    assert rows[3][1].value == "=1+1" and rows[3][1].data_type == "s"
    price = rows[2][5]
    assert (price.value, price.number_format, rows[2][10].value) == (12.5, "0.00", "00-1017")


def test_a_shops_list_becomes_a_shelf(tmp_path: Path) -> None:
    text = "label;pigments;price;currency;stock\nUltramarine;PB29;8,90;eur;3\nPhthalo green;PG7;9;EUR;\n"
    with open_shelf(tmp_path / "shelf.scumble") as shelf:
        preview = import_shelf(shelf, text.encode(), "csv", preview=True)
        assert told(preview) == [("row 2", "ultramarine", "new"), ("row 3", "phthalo-green", "new")]
        assert not preview.saved and shelf.load_entries() == ()
        assert import_shelf(shelf, text.encode(), "csv").saved
        paint = shelf.load_paint("ultramarine")
        assert (paint.label, paint.provenance) == ("Ultramarine", Provenance.ILLUSTRATIVE)
        assert shelf.tubes.load("ultramarine") == TubeFacts(Decimal("8.90"), "EUR", stock=3)


def test_a_row_that_is_refused_leaves_the_shelf_as_it_was(shelf: Shelf) -> None:
    before = content_of(shelf)
    text = (
        "key,label,pigments,binder,price,currency,stock,lightfastness\n"
        "deep-blue,Deeper blue,PB29,oil,1,EUR,5,\n"
        "deep-blue,Twice,PB29,oil,1,EUR,5,\n"
        "exact-red,Red,PR101,egg,1,EUR,5,\n"
        "crooked-green,Green,PG7,oil,cheap,EUR,5,\n"
        "nothing-like-it,New,PX99,oil,1,EUR,5,\n"
        "exact-red,,PR101,oil,1,EUR,1.5,ASTM VI (x)\n"
        "crooked-green,Green,PG7,oil,1,EUR,5,,,too many\n"
    )
    report = import_shelf(shelf, text.encode(), "csv")
    assert not report.saved
    assert content_of(shelf) == before
    said = {outcome.place: outcome.said for outcome in report.outcomes if outcome.what == "refused"}
    assert list(said) == [f"row {number}" for number in range(3, 9)]
    assert said["row 3"] == "key: saw 'deep-blue'; allowed is a name used once. It stands in row 2 too."
    assert said["row 4"] == "binder: saw 'egg'; allowed is acrylic, oil, gum."
    assert said["row 5"] == "price: saw 'cheap'; allowed is an amount, such as 12.50."
    assert "pigments that the starter shelf shows. Paint and read its card" in said["row 6"]


@pytest.mark.parametrize(
    ("content", "kind", "words"),
    [
        (
            b"key,colour\na,b\n",
            "csv",
            r"columns: saw 'key, colour'; allowed is key or label, and any of pigments",
        ),
        (b"pigments\nPB29\n", "csv", "columns: saw 'pigments'"),
        (b"\n\n", "csv", "table: saw 'an empty file'"),
        (b",,\n,\n", "csv", "table: saw 'nothing'"),
        (b'key,label\n"a,b\n', "csv", "closed quotation marks"),
        (b"PK\x03\x04 no workbook", "xlsx", "allowed is an XLSX workbook"),
        (b"[]", "json", "shelf file: saw 'another kind of JSON'"),
        (b"{", "json", "allowed is JSON as scumble export writes it"),
        (b'{"format": "scumble-shelf", "format_version": 2}', "json", "written by a newer Scumble"),
        (b'{"format": "scumble-shelf", "format_version": 1, "paints": 3}', "json", "paints: saw 'int'"),
        (b"x", "pdf", "kind: saw 'pdf'"),
    ],
)
def test_files_of_another_kind_are_refused(shelf: Shelf, content: bytes, kind: str, words: str) -> None:
    before = content_of(shelf)
    with pytest.raises(InputError, match=words):
        import_shelf(shelf, content, kind)
    assert content_of(shelf) == before


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"key": "No Key"}, "key: saw 'No Key'"),
        ({"current": 9}, "current: saw '9'; allowed is 1 to 3"),
        ({"surprise": 1}, "surprise: saw '1'; allowed is nothing of that name"),
        ({"versions": []}, "versions: saw"),
        ({"optics": []}, "optics: saw '0'; allowed is a place in a list of 0"),
    ],
)
def test_damaged_paints_are_refused_one_by_one(
    shelf: Shelf, tmp_path: Path, change: dict[str, object], words: str
) -> None:
    data = json.loads(format_shelf_json(shelf))
    data["paints"][1] |= change
    with open_shelf(tmp_path / "other.scumble") as other:
        report = import_shelf(other, json.dumps(data).encode(), "json")
        assert not report.saved and other.load_entries() == ()
    refused = [outcome for outcome in report.outcomes if outcome.what == "refused"]
    assert [outcome.place for outcome in refused] == ["paint 2"]
    assert words in refused[0].said
