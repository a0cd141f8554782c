"""The page Layers and its answers, as a browser without script and a script without a browser meet them."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest
from tests.jobs.shelves import read_shelf
from tests.web.page import Page
from tests.web.server import serving

from scumble.web.app import create_app

TWO = "/layers?ground=cream&paint=ultramarine-blue&paint=cadmium-yellow&coats=0.2&coats=1&medium=2&medium=0"


def get(client: httpx.Client, address: str) -> Page:
    answer = client.get(address, follow_redirects=True)
    assert answer.status_code == 200, answer.text
    return Page(answer.text)


def ask(client: httpx.Client, layering: dict[str, Any], **more: Any) -> httpx.Response:
    return client.post("/layers/look", json={"layering": layering, **more})


def values(page: Page, name: str) -> list[str]:
    return [each.attributes["value"] for each in page.all("input", name=name)]


def test_the_bench_shows_films_from_the_top_down(client: httpx.Client) -> None:
    page = get(client, TWO)
    assert page.one("title").text == "Layers · Scumble"
    assert values(page, "paint") == ["Ultramarine blue", "Cadmium yellow"]
    assert values(page, "coats") == ["0.2", "1"] and values(page, "medium") == ["2", ""]
    drawing = page.one("svg", id="section")
    assert drawing.attributes["aria-label"].startswith(
        "Section: 1 Ultramarine blue : 2 medium, 0.2 coat; over "
    )
    assert drawing.attributes["aria-label"].endswith("over cream paper")
    assert page.one("input", name="ground", checked="").attributes["value"] == "cream"
    assert "give or take" in page.one("main").text and "contrast ratio 0." in page.one("main").text


def test_without_a_layering_an_example_lies_there(client: httpx.Client) -> None:
    answer = client.get("/layers", follow_redirects=False)
    assert answer.status_code == 303
    assert len(parse_qs(urlsplit(answer.headers["location"]).query)["paint"]) == 2


def test_the_form_sends_back_what_it_was_given(client: httpx.Client) -> None:
    """What a browser without script would send is the same layering."""
    page = get(client, TWO)
    fields = [
        (each.attributes["name"], each.attributes.get("value", "on"))
        for each in page.all("input")
        if each.inside.count("form") and each.attributes.get("name") in {*FIELDS}
        if each.attributes.get("type") not in ("radio", "checkbox") or "checked" in each.attributes
    ]
    sent = client.get("/layers", params=fields)
    assert Page(sent.text).one("div", id="bench").attributes["data-query"] == TWO.partition("?")[2]


FIELDS = ("kept", "paint", "coats", "parts", "white", "medium", "water", "second", "second_parts")
FIELDS += ("light", "state", "ground", "own", "painted", "add")


@pytest.mark.parametrize(
    ("do", "names"),
    [
        ("up-1", ["Cadmium yellow", "Ultramarine blue"]),
        ("remove-2", ["Cadmium yellow"]),
        ("add", ["Class white", "Ultramarine blue", "Cadmium yellow"]),
    ],
)
def test_buttons_lead_to_the_changed_layering(client: httpx.Client, do: str, names: list[str]) -> None:
    answer = client.get(f"{TWO}&do={do}&add=Class+white", follow_redirects=False)
    assert answer.status_code == 303 and "do=" not in answer.headers["location"]
    assert values(get(client, answer.headers["location"]), "paint") == names


def test_two_layerings_stand_side_by_side(client: httpx.Client) -> None:
    page = get(client, f"{TWO}&do=keep")
    assert page.one("h2", id="beside").text == "The kept layering"
    assert "No eye tells them apart" in page.one("main").text
    kept = values(page, "kept")[0]
    other = get(client, str(httpx.URL("/layers", params={"paint": "viridian", "kept": kept})))
    assert "than the kept one (dE00" in other.one("main").text
    address = str(httpx.URL("/layers", params={"paint": "viridian", "kept": kept, "do": "swap"}))
    swapped = get(client, address)
    assert values(swapped, "paint") == ["Ultramarine blue", "Cadmium yellow"]
    assert not get(client, address.replace("swap", "drop")).all("h2", id="beside")


def test_a_paint_leads_to_the_bench(client: httpx.Client) -> None:
    link = get(client, "/paints/class-blue").one("a", href="/layers?paint=class-blue")
    assert link.text == "Lay it over something"
    assert values(get(client, link.attributes["href"]), "paint") == ["Class blue"]
    door = get(client, TWO).one("a", **{"aria-current": "page"})
    assert door.text == "Layers"


def test_the_answer_says_what_the_page_says(client: httpx.Client) -> None:
    films = [
        {"paint": "cadmium-yellow", "coats": 1},
        {"paint": "ultramarine-blue", "coats": 0.2, "medium": 2},
    ]
    answer = ask(client, {"ground": "cream", "films": films}).json()
    page = get(client, TWO)
    for element in page.elements:
        if (path := element.attributes.get("data-text", "")) and not path.startswith("kept"):
            assert element.text == reach(answer, path)
        if path := element.attributes.get("data-fill"):
            assert element.attributes["fill"] == reach(answer, path)
    assert f"/layers?{answer['query']}" == TWO


def reach(data: Any, path: str) -> Any:
    for step in path.split("."):
        data = data[int(step)] if isinstance(data, list) else data[step]
    return data


@pytest.mark.parametrize(
    ("layering", "said"),
    [
        ({"films": [{"paint": "ultramarin"}]}, "Did you mean ultramarine-blue"),
        ({"films": [{"paint": "viridian", "coats": 0}]}, "layering films 1 coats"),
        ({"films": [], "colour": "red"}, "layering colour: extra inputs"),
        ({"light": "moon"}, "layering light"),
    ],
)
def test_refusals_come_as_data_where_data_was_sent(
    client: httpx.Client, layering: dict[str, Any], said: str
) -> None:
    answer = ask(client, layering)
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/json"
    assert said in answer.json()["words"]


def test_faults_of_the_page_are_pages(client: httpx.Client) -> None:
    for address, said in (("paint=viridian&coats=x", "coats"), ("ground=own&own=blue", "own ground")):
        answer = client.get(f"/layers?{address}")
        assert answer.status_code == 422
        assert said in Page(answer.text).one("main").text


def test_paints_to_choose_hold_every_tube(client: httpx.Client) -> None:
    paints = client.get("/layers/paints").json()
    assert len(paints) == len(Page(client.get("/").text).all("li")) - 4
    assert {"key", "label", "masstone", "thin", "words", "mark", "pigments"} == set(paints[0])


def test_what_is_typed_is_shown_as_words_not_as_markup(client: httpx.Client) -> None:
    wicked = '"><script>alert(1)</script>'
    answer = client.get("/layers", params={"ground": "own", "own": wicked})
    assert answer.status_code == 422 and "<script>alert" not in answer.text
    answer = client.get("/layers", params={"paint": "viridian", "add": wicked, "own": wicked})
    assert answer.status_code == 200 and "<script>alert" not in answer.text


def test_layerings_are_saved_binned_and_fetched_back(tmp_path: Path) -> None:
    app = create_app(read_shelf(tmp_path / "shelf.sqlite"))
    with serving(app) as address, httpx.Client(base_url=address, follow_redirects=True) as client:
        query = TWO.partition("?")[2]
        saved = client.post("/layers/saved", data={"do": "save", "name": "Leaf <b>", "query": query})
        assert str(saved.url).endswith(f"{query}#saved")
        link = Page(saved.text).one("a", **{"aria-current": "true"})
        assert (link.text, link.attributes["href"]) == ("Leaf <b>", TWO)
        binned = client.post("/layers/saved", data={"do": "bin", "name": "leaf-b", "query": query})
        assert "In the bin" in binned.text and "Nothing is saved yet" in binned.text
        back = client.post("/layers/saved", data={"do": "restore", "name": "leaf-b", "query": query})
        assert "In the bin" not in back.text
        missing = client.post("/layers/saved", data={"do": "bin", "name": "nothing", "query": query})
        assert missing.status_code == 422 and "a recipe on the shelf" in missing.text
        away = client.post(
            "/layers/saved",
            data={"do": "save", "name": "x", "query": query},
            headers={"sec-fetch-site": "cross-site"},
        )
        assert away.status_code == 403
        answer = client.post(
            "/layers/saved",
            data={"do": "save", "name": "x", "query": "ground=black\r\nSet-Cookie: a=b"},
            follow_redirects=False,
        )
        assert answer.status_code == 422 and "set-cookie" not in answer.headers


def test_an_empty_shelf_says_so_on_the_bench(tmp_path: Path) -> None:
    with serving(create_app(tmp_path / "new.sqlite")) as address, httpx.Client(base_url=address) as empty:
        page = get(empty, "/layers")
        assert "no tube on the shelf yet" in page.one("main").text
        assert not page.all("input", id="lay")
