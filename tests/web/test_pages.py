"""Pages as a person meets them: titles, words, order, faults."""

from __future__ import annotations

import re
from pathlib import Path

import httpx
import pytest
from tests.web.page import Page
from tests.web.server import serving

from scumble.paint.pigment import starter_shelf
from scumble.web.app import create_app

TUBES = len(starter_shelf()) + 2
PAGES = ["/", "/?order=opacity&find=blue", "/?find=zebra", "/paints/class-blue", "/paints/class-white"]
PAGES += [
    "/?mark=opaque&hue=red",
    "/paints/class-blue/papers",
    "/bin",
    "/beside",
    "/beside?paint=class-blue&paint=viridian",
]
PAGES += ["/paints/cadmium-red", "/layers?paint=class-blue", "/nowhere"]
PAGES += ["/layers?ground=grey&paint=class-blue&second=viridian&second_parts=1&kept=paint%3Dviridian"]


def get(client: httpx.Client, address: str, status: int = 200) -> Page:
    answer = client.get(address)
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    return Page(answer.text)


def test_the_shelf_hangs_every_tube(client: httpx.Client) -> None:
    page = get(client, "/")
    assert page.one("title").text == "Shelf · Scumble"
    strips = [each for each in page.all("img") if "hanging.svg" in each.attributes["src"]]
    assert len(strips) == TUBES
    assert page.one("p", id="count").text.strip() == f"All {TUBES}"
    assert "scumble read" in page.one("aside").text


def test_strips_have_words_and_links(client: httpx.Client) -> None:
    page = get(client, "/?find=class")
    images = page.all("img")
    assert "masstone a very dark" in images[0].attributes["alt"]
    links = [
        each.attributes["href"] for each in page.all("a") if each.attributes["href"].startswith("/paints/")
    ]
    assert links == ["/paints/class-blue", "/paints/class-white"]
    for image in images:
        assert client.get(image.attributes["src"]).headers["content-type"] == "image/svg+xml"


def test_finding_and_ordering_need_no_script(client: httpx.Client) -> None:
    page = get(client, "/?order=name&find=phthalo")
    names = [each.text for each in page.all("a") if each.attributes["href"].startswith("/paints/")]
    assert names == sorted(names) and len(names) == 5
    assert page.one("input", id="find").attributes["value"] == "phthalo"
    assert page.one("a", **{"aria-current": "true"}).text == "name"
    assert "5 of" in page.one("p", id="count").text
    orders = [each.attributes["href"] for each in page.all("a") if "order=" in each.attributes["href"]]
    assert "/?order=hue&find=phthalo" in orders


def test_nothing_found_teaches(client: httpx.Client) -> None:
    page = get(client, "/?find=zebra")
    assert "No tube answers" in client.get("/?find=zebra").text
    assert not page.all("img")


def test_what_is_looked_for_is_shown_as_words_not_as_markup(client: httpx.Client) -> None:
    answer = client.get("/", params={"find": '"><script>alert(1)</script>'})
    assert "<script>alert" not in answer.text
    assert Page(answer.text).one("input", id="find").attributes["value"] == '"><script>alert(1)</script>'


def test_an_empty_shelf_teaches_how_to_hang_the_first_tube(tmp_path: Path) -> None:
    with serving(create_app(tmp_path / "new.sqlite")) as address, httpx.Client(base_url=address) as empty:
        page = get(empty, "/")
        assert "No tube hangs here yet" in page.one("main").text
        assert page.one("h2", id="teach").text == "Hang the first tube"
        assert "scumble card" in page.one("aside").text


def test_a_paint_page_says_how_it_behaves(client: httpx.Client) -> None:
    page = get(client, "/paints/class-blue")
    assert page.one("h1").text == "Class blue"
    assert page.all("title")[0].text == "Class blue · Scumble"
    assert len(page.all("details")) >= 7
    assert "contrast ratio" in page.all("summary")[0].text
    assert "ASTM D2805" in page.all("details")[0].text
    assert len(page.all("polygon")) == len(page.all("image")) * 22
    rows = [each for each in page.all("tr") if each.attributes.get("id", "").startswith("area-")]
    assert len(rows) == 16
    assert "Fairly well determined" in page.one("main").text or "Well determined" in page.one("main").text
    assert "safety data sheet" in page.one("main").text


def test_every_outlined_area_leads_to_its_row(client: httpx.Client) -> None:
    page = get(client, "/paints/class-blue")
    targets = {each.attributes["id"] for each in page.elements if "id" in each.attributes}
    leads = [each.attributes["href"] for each in page.all("a") if each.attributes["href"].startswith("#area")]
    painted = [lead for lead in leads if lead[1:] in targets]
    assert len(painted) == 16


def test_an_illustrative_tube_says_so_and_how_to_measure_it(client: httpx.Client) -> None:
    text = get(client, "/paints/cadmium-red").one("main").text
    assert "Illustrative: nobody measured this tube." in text
    assert "Holds cadmium" in text
    assert "This tube has no card" in text


def test_a_white_is_not_tinted_with_itself(client: httpx.Client) -> None:
    text = get(client, "/paints/class-white").one("main").text
    assert "A white has no steps into white" in text


def test_a_label_leads_to_the_key(client: httpx.Client) -> None:
    answer = client.get("/paints/Class%20blue", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (308, "/paints/class-blue")


@pytest.mark.parametrize(
    ("address", "status", "said"),
    [
        ("/nowhere", 404, "There is no page at /nowhere."),
        ("/paints/yellow-oker", 404, "Did you mean"),
        ("/paints/yellow-oker/hanging.svg", 404, "Did you mean"),
        ("/paints/yellow-ochre/card", 404, "no picture of this card"),
        ("/paints/yellow-ochre/bent.svg", 422, "drawing"),
        ("/?order=size", 422, "allowed is hue, opacity, strength, name"),
    ],
)
def test_faults_say_what_was_seen_and_what_to_do(
    client: httpx.Client, address: str, status: int, said: str
) -> None:
    page = get(client, address, status)
    assert said in page.one("main").text
    assert page.all("a", href="/")


def test_an_unforeseen_fault_has_a_page_and_the_headers(
    client: httpx.Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(*_: object, **__: object) -> None:
        raise RuntimeError("a secret of the inside")

    monkeypatch.setattr("scumble.web.pages.show_shelf", break_down)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "A fault in Scumble" in answer.text and "secret" not in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize("address", PAGES)
def test_pages_are_sound_for_who_cannot_see_them(client: httpx.Client, address: str) -> None:
    page = Page(client.get(address).text)
    assert page.one("html").attributes["lang"] == "en"
    assert len(page.all("h1")) == len(page.all("main")) == 1
    for image in page.all("img"):
        assert len(image.attributes["alt"]) > 20
        assert image.attributes["width"] and image.attributes["height"]
    for drawing in page.all("svg"):
        known = {"aria-hidden", "aria-label"} & set(drawing.attributes)
        assert known, drawing
    ids = [each.attributes["id"] for each in page.elements if "id" in each.attributes]
    assert len(ids) == len(set(ids))
    for labelled in (each.attributes.get("aria-labelledby") for each in page.elements):
        assert labelled is None or labelled in ids
    fields = [
        each
        for name in ("input", "select", "textarea")
        for each in page.all(name)
        if each.attributes.get("type") != "hidden" and "label" not in each.inside
    ]
    assert {each.attributes["id"] for each in fields} == {
        each.attributes["for"] for each in page.all("label") if "for" in each.attributes
    }


@pytest.mark.parametrize("address", PAGES)
def test_pages_are_small_and_fetch_only_from_here(client: httpx.Client, address: str) -> None:
    text = client.get(address).text
    assert len(text.encode()) < 100_000
    assert not re.search(r"https?://|//[a-z]", re.sub(r'xmlns="[^"]*"', "", text))
    assert " style=" not in text and "<style" not in text and not re.search(r"\son[a-z]+=", text)
    for script in Page(text).all("script"):
        assert script.attributes["src"].startswith("/static/") and script.text == ""


def test_the_room_is_remembered_and_leads_back(place: Path) -> None:
    with serving(create_app(place)) as address, httpx.Client(base_url=address) as client:
        assert Page(client.get("/").text).one("html").attributes["data-room"] == "as the screen"
        answer = client.post(
            "/room", data={"room": "dim", "back": "/paints/class-blue"}, follow_redirects=False
        )
        assert (answer.status_code, answer.headers["location"]) == (303, "/paints/class-blue")
        assert (
            "SameSite=strict" in answer.headers["set-cookie"] and "HttpOnly" in answer.headers["set-cookie"]
        )
        page = Page(client.get("/?find=blue").text)
        assert page.one("html").attributes["data-room"] == "dim"
        assert page.one("input", name="back").attributes["value"] == "/?find=blue"
        away = client.post("/room", data={"room": "light", "back": "//else.example"}, follow_redirects=False)
        assert away.headers["location"] == "/"
        assert client.post("/room", data={"room": "purple"}).status_code == 422
