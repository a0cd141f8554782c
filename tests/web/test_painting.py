"""The page On a painting and its answers, as a browser without script and a script without a browser meet them."""

from __future__ import annotations

import io
from typing import Any
from urllib.parse import parse_qs, urlsplit

import httpx
import numpy as np
import pytest
from PIL import Image
from tests.web.page import Page

from scumble.jobs.bench.painting import NODES

TWO = "/painting?paint=viridian&paint=cadmium-yellow&coats=0.2&coats=1&medium=2&medium=0"
GLAZE = {"films": [{"paint": "viridian", "coats": 0.3}]}


def get(client: httpx.Client, address: str) -> Page:
    answer = client.get(address, follow_redirects=True)
    assert answer.status_code == 200, answer.text
    return Page(answer.text)


def ask(client: httpx.Client, what: str, **asked: Any) -> httpx.Response:
    return client.post(f"/painting/{what}", json=asked)


def values(page: Page, name: str) -> list[str]:
    return [each.attributes["value"] for each in page.all("input", name=name)]


def test_the_page_lists_the_films_and_leads_to_the_bench(client: httpx.Client) -> None:
    page = get(client, TWO)
    assert page.one("title").text == "On a painting · Scumble"
    assert values(page, "paint") == ["Viridian", "Cadmium yellow"]
    assert values(page, "coats") == ["0.2", "1"]
    query = TWO.partition("?")[2]
    assert page.one("form", id="films").attributes["data-query"] == query
    assert page.one("a", id="bench").attributes["href"] == f"/layers?{query}"
    assert "A photograph is not a measurement" in page.one("main").text


def test_without_films_an_example_lies_there(client: httpx.Client) -> None:
    answer = client.get("/painting", follow_redirects=False)
    assert answer.status_code == 303
    assert parse_qs(urlsplit(answer.headers["location"]).query)["medium"] == ["2"]


@pytest.mark.parametrize(
    ("do", "paints"),
    [
        ("add", ["Titanium white", "Viridian", "Cadmium yellow"]),
        ("down-2", ["Cadmium yellow", "Viridian"]),
        ("remove-1", ["Viridian"]),
    ],
)
def test_buttons_lead_to_the_changed_films(client: httpx.Client, do: str, paints: list[str]) -> None:
    answer = client.get(f"{TWO}&do={do}&add=Titanium+white&manner=block", follow_redirects=False)
    assert answer.status_code == 303 and "do=" not in answer.headers["location"]
    page = get(client, answer.headers["location"])
    assert values(page, "paint") == paints
    assert page.one("input", name="manner", checked="").attributes["value"] == "block"


def test_the_table_is_as_large_as_it_says(client: httpx.Client) -> None:
    answer = ask(client, "table", layering=GLAZE)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/octet-stream"
    table = np.frombuffer(answer.content, "<f2").reshape(NODES, NODES, NODES, 3)
    assert get(client, TWO).one("div", **{"data-nodes": str(NODES)})
    assert np.all((table >= 0) & (table <= 1))
    # A green film over white: more green than red, whatever the order of the axes.
    white = table[-1, -1, -1]
    assert white[1] > white[0] + 0.2
    # Red runs fastest: over a red ground only little green comes back.
    assert table[0, 0, -1, 1] < table[0, -1, 0, 1]


def test_one_colour_is_told(client: httpx.Client) -> None:
    answer = ask(client, "point", layering=GLAZE, colour=[0.8, 0.75, 0.7]).json()
    assert answer["before"]["colour"] == "#ccbfb3" and "green" in answer["after"]["name"]
    assert values(get(client, f"/layers?{answer['ground']}"), "paint") == ["Viridian"]


@pytest.mark.parametrize(
    ("what", "asked", "words"),
    [
        ("table", {"layering": {"films": [{"paint": "moonshine"}]}}, "moonshine"),
        ("table", {"layering": GLAZE, "sheen": {"surface": "wet sand"}}, "sheen surface"),
        ("point", {"layering": GLAZE, "colour": [2, 0, 0]}, "colour 1"),
        ("point", {"layering": GLAZE, "colour": [0.1, 0.2]}, "colour 3"),
        ("table", {}, "layering"),
    ],
)
def test_what_cannot_be_used_is_refused_in_words(
    client: httpx.Client, what: str, asked: dict[str, Any], words: str
) -> None:
    answer = ask(client, what, **asked)
    assert answer.status_code == 422
    assert words in answer.json()["words"]


def test_a_tiff_is_opened_for_the_browser(client: httpx.Client) -> None:
    file = io.BytesIO()
    Image.new("RGB", (640, 480), (200, 120, 40)).save(file, "TIFF")
    answer = client.post("/painting/picture", files={"file": ("scan.tif", file.getvalue(), "image/tiff")})
    assert answer.headers["content-type"] == "image/jpeg"
    opened = Image.open(io.BytesIO(answer.content))
    assert opened.size == (640, 480)
    np.testing.assert_allclose(opened.getpixel((300, 200)), (200, 120, 40), atol=3)
    refused = client.post("/painting/picture", files={"file": ("scan.tif", b"II*\0 nothing", "image/tiff")})
    assert refused.status_code == 422


def test_an_unknown_manner_is_refused(client: httpx.Client) -> None:
    answer = client.get(f"{TWO}&manner=drip")
    assert answer.status_code == 422 and "glaze, scumble, block" in answer.text
