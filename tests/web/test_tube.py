"""A tube's papers: put right, gone back, thrown away and fetched back; every word kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from tests.jobs.shelves import read_shelf
from tests.web.page import Page
from tests.web.server import serving

from scumble.store.shelf import Shelf, open_shelf
from scumble.web.app import create_app

BLUE = "/paints/class-blue"
FORM = {
    "label": "Class blue",
    "pigments": "PB15:3",
    "binder": "acrylic",
    "price": "8,90",
    "currency": "EUR",
    "size_ml": "60",
    "coat": "0,4 ml on 50 cm2",
    "stock": "4",
    "shop_code": "101",
    "notes": "Thin it first.",
    "rating_1": "ASTM D4303 I",
    "said_by_1": "the label",
    "rating_2": "Blue Wool 8",
    "said_by_2": "own test (south window)",
}


@pytest.fixture
def own(tmp_path: Path) -> Iterator[tuple[httpx.Client, Shelf]]:
    place = read_shelf(tmp_path / "shelf.sqlite")
    with (
        serving(create_app(place)) as address,
        httpx.Client(base_url=address, timeout=120) as client,
        open_shelf(place) as shelf,
    ):
        yield client, shelf


def test_papers_are_saved_as_a_version_and_undone(own: tuple[httpx.Client, Shelf]) -> None:
    client, shelf = own
    answer = client.post(f"{BLUE}/papers", data=FORM | {"label": "Window blue"})
    assert answer.status_code == 303
    facts = shelf.tubes.load("class-blue")
    assert (str(facts.price), facts.stock, facts.notes) == ("8.90", 4, "Thin it first.")
    assert facts.full_coat().wet_um == pytest.approx(80.0)  # type: ignore[union-attr]
    goes = client.get(f"{BLUE}?against=cadmium-red").text
    assert "One tube of 60 ml" in goes and "cadmium red let down 1 : 9" in goes
    assert [(each.rating, each.said_by) for each in facts.lightfastness] == [
        ("I", "the label"),
        ("8", "own test (south window)"),
    ]
    assert [each.label for each in shelf.load_versions("class-blue")] == ["Class blue", "Window blue"]
    page = Page(client.get(answer.headers["location"]).text)
    hidden = [each.attributes for each in page.all("input") if each.attributes.get("type") == "hidden"]
    undo = {each["name"]: each["value"] for each in hidden[:4] if each["name"] != "back"}
    assert undo["version"] == "1" and undo["said"] == "0"
    client.post(f"{BLUE}/back", data={"version": "1", "said": "0"})
    assert shelf.load_paint("class-blue").label == "Class blue"
    assert shelf.tubes.load("class-blue").price is None
    # Nothing that was said is lost by taking it back.
    assert len(shelf.load_versions("class-blue")) == 2 and len(shelf.tubes.load_history("class-blue")) == 2
    client.post(f"{BLUE}/back", data={"said": "1"})
    assert shelf.tubes.load("class-blue") == facts
    assert shelf.load_readings("class-blue") is not None and shelf.load_picture("class-blue") is not None


@pytest.mark.parametrize(
    ("wrong", "field", "words"),
    [
        ({"price": "dear"}, "f-price", "an amount, such as 12.50"),
        ({"coat": "0.6 g on 50 cm2"}, "f-coat", "needs the density, in g/ml"),
        ({"currency": ""}, "f-currency", "three capitals beside a price"),
        ({"stock": "-2"}, "f-stock", "a whole number of tubes"),
        ({"said_by_1": ""}, "f-rating_1", "who says so"),
        ({"label": " "}, "f-label", "what the tube is called"),
    ],
)
def test_a_wrong_field_is_told_at_its_place_and_nothing_is_saved(
    own: tuple[httpx.Client, Shelf], wrong: dict[str, str], field: str, words: str
) -> None:
    client, shelf = own
    answer = client.post(f"{BLUE}/papers", data=FORM | {"label": "Other"} | wrong)
    assert answer.status_code == 422
    page = Page(answer.text)
    at = next(each for each in page.elements if each.attributes.get("id") == field)
    assert "aria-describedby" in at.attributes
    told = next(
        each for each in page.elements if each.attributes.get("id") == at.attributes["aria-describedby"]
    )
    assert words in told.text
    assert page.one("textarea", id="f-notes").text == "Thin it first."
    assert len(shelf.load_versions("class-blue")) == 1 and shelf.tubes.load_history("class-blue") == ()


def test_a_tube_goes_into_the_bin_and_comes_back_whole(own: tuple[httpx.Client, Shelf]) -> None:
    client, shelf = own
    before = shelf.load_paint("class-blue")
    assert "The bin is empty" in client.get("/bin").text
    answer = client.post(f"{BLUE}/bin")
    assert answer.headers["location"] == "/bin?binned=class-blue"
    assert client.get(BLUE).status_code == 404
    assert "Fetch Class blue back" in client.get("/bin").text
    answer = client.post("/bin", data={"key": "class-blue"})
    assert answer.headers["location"] == BLUE
    assert shelf.load_paint("class-blue").optics.absorption.tolist() == before.optics.absorption.tolist()
    assert shelf.load_readings("class-blue") is not None
    assert client.post("/bin", data={"key": "nothing"}).status_code == 422


def test_unknown_tubes_and_versions_are_said(own: tuple[httpx.Client, Shelf]) -> None:
    client, _ = own
    assert client.get("/paints/nothing/papers").status_code == 404
    assert client.post("/paints/nothing/papers", data=FORM).status_code == 404
    assert "1 to 1" in client.post(f"{BLUE}/back", data={"version": "9"}).text
