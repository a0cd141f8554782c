"""The shelf in and out through the pages: looked at, columns chosen, all or nothing, and back equal."""

from __future__ import annotations

import io
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from openpyxl import load_workbook
from tests.jobs.shelves import read_shelf
from tests.store.shelves import content_of
from tests.web.page import Page
from tests.web.server import serving

from scumble.store.shelf import Shelf, open_shelf
from scumble.web.app import create_app

LIST = b"""Name;CI name;Qty;Cost;Cur;Row
Window blue;PB15:3;3;8,50;EUR;A1
Class white;PW6;12;6;EUR;A2
"""


@pytest.fixture
def own(tmp_path: Path) -> Iterator[tuple[httpx.Client, Shelf]]:
    place = read_shelf(tmp_path / "shelf.sqlite")
    with (
        serving(create_app(place)) as address,
        httpx.Client(base_url=address, timeout=120, follow_redirects=True) as client,
        open_shelf(place) as shelf,
    ):
        yield client, shelf


def drop(client: httpx.Client, name: str, content: bytes) -> tuple[Page, str]:
    answer = client.post("/import", files={"file": (name, content)})
    assert answer.status_code == 200, answer.text
    return settled(client, answer), answer.url.path


def settled(client: httpx.Client, answer: httpx.Response) -> Page:
    """The page once all rows were gone through."""
    until = time.monotonic() + 60
    while "Going through the rows" in answer.text and time.monotonic() < until:
        time.sleep(0.2)
        answer = client.get(answer.url.path)
    return Page(answer.text)


def test_a_list_of_ones_own_is_looked_at_then_taken_in(own: tuple[httpx.Client, Shelf]) -> None:
    client, shelf = own
    before = content_of(shelf)
    page, address = drop(client, "my list.csv", LIST)
    assert "1 new, 1 changed, 0 the same, 0 refused" in page.one("main").text
    assert content_of(shelf) == before
    answer = client.post(address, data={"move": "take"})
    assert "All of it is on the" in settled(client, answer).one("main").text
    assert shelf.tubes.load("window-blue").stock == 3 and shelf.tubes.load("class-white").stock == 12
    assert shelf.load_paint("class-white").provenance.value == "measured from a card"


def test_a_refused_row_is_told_at_its_cell_and_nothing_is_taken(own: tuple[httpx.Client, Shelf]) -> None:
    client, shelf = own
    before = content_of(shelf)
    page, address = drop(client, "list.csv", LIST.replace(b";12;", b";many;"))
    assert "1 refused" in page.one("main").text
    wrong = [each for each in page.all("td") if each.attributes.get("class") == "wrong"]
    assert [each.text.strip() for each in wrong] == ["refused: many"]
    assert not [each for each in page.all("button") if each.attributes.get("value") == "take"]
    answer = client.post(address, data={"move": "take"})
    assert "Nothing was saved" in settled(client, answer).source and content_of(shelf) == before
    left = client.post(
        address, data={"move": "look", "column": ["label", "pigments", "", "price", "currency", ""]}
    )
    assert "0 refused" in settled(client, left).one("main").text


def test_columns_are_chosen_once_and_one_names_the_tube(own: tuple[httpx.Client, Shelf]) -> None:
    client, _ = own
    _, address = drop(client, "list.csv", LIST)
    twice = client.post(address, data={"move": "look", "column": ["label", "label"]})
    assert twice.status_code == 422 and "each once" in twice.text
    unnamed = client.post(address, data={"move": "look", "column": ["", "pigments", "stock", "", "", ""]})
    assert "key or label among them" in settled(client, unnamed).source


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("list.txt", b"a", ".json, .csv, .xlsx"),
        ("list.xlsx", b"no workbook", "workbook"),
        ("list.csv", b"\n\n", "an empty file"),
    ],
)
def test_what_is_no_list_is_refused_in_words(
    own: tuple[httpx.Client, Shelf], name: str, content: bytes, words: str
) -> None:
    client, _ = own
    answer = client.post("/import", files={"file": (name, content)})
    assert answer.status_code == 422 and words in answer.text
    assert client.get("/import/nothing").status_code == 404


@pytest.mark.parametrize("kind", ["json", "csv", "xlsx"])
def test_what_was_taken_out_is_taken_in_as_the_same(own: tuple[httpx.Client, Shelf], kind: str) -> None:
    client, shelf = own
    before = content_of(shelf)
    answer = client.get(f"/export/shelf.{kind}")
    assert answer.headers["content-disposition"].endswith(f"shelf.{kind}")
    if kind == "xlsx":
        assert load_workbook(io.BytesIO(answer.content)).active.max_row == len(shelf.load_entries()) + 1
    page, address = drop(client, f"shelf.{kind}", answer.content)
    assert f"0 new, 0 changed, {len(shelf.load_entries())} the same" in page.one("main").text
    settled(client, client.post(address, data={"move": "take"}))
    assert content_of(shelf) == before


def test_a_paint_takes_its_card_and_optics_along(own: tuple[httpx.Client, Shelf]) -> None:
    client, _ = own
    for kind in ("card.csv", "card.cgats", "card.cxf", "optics.cgats", "optics.cxf"):
        assert len(client.get(f"/export/class-blue/{kind}").content) > 500
    assert client.get("/export/viridian/card.csv").status_code == 422
