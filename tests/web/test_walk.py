"""The walk over a real socket: offered once, remembered, and each stop a page that answers."""

from __future__ import annotations

from pathlib import Path

import httpx
import pytest
from tests.web.page import Page
from tests.web.server import serving

from scumble.jobs.walk import walk_stops
from scumble.store.shelf import open_shelf
from scumble.web.app import create_app


@pytest.fixture
def visitor(client: httpx.Client) -> httpx.Client:
    client.cookies.clear()
    return client


def walk_said(answer: httpx.Response) -> str:
    found = Page(answer.text).all("div", **{"class": "walk"})
    return found[0].text if found else ""


def test_it_is_offered_on_the_shelf_and_nowhere_else(visitor: httpx.Client) -> None:
    assert "New here?" in walk_said(visitor.get("/"))
    assert walk_said(visitor.get("/layers?paint=class-blue")) == ""


def test_who_declines_is_not_asked_again(visitor: httpx.Client) -> None:
    answer = visitor.post("/walk", data={"to": "end", "here": "/?find=blue"})
    assert answer.status_code == 303 and answer.headers["location"] == "/?find=blue"
    assert "httponly" in answer.headers["set-cookie"].lower()
    assert walk_said(visitor.get("/")) == ""


def test_every_stop_is_a_page_that_says_what_to_try(visitor: httpx.Client) -> None:
    answer = visitor.post("/walk", data={"to": "begin"})
    seen = []
    for _ in range(12):
        place = answer.headers["location"]
        page = visitor.get(place, follow_redirects=True)
        said = walk_said(page)
        if not said:
            break
        assert page.status_code == 200 and "Back to this stop" not in said
        seen.append(place)
        answer = visitor.post("/walk", data={"to": "next", "here": place})
    assert seen[0] == "/" and "/paints/class-blue" in seen and "/print" in seen
    assert len(seen) == len(set(seen)) >= 5
    assert visitor.cookies["walk"] == "done"


def test_it_waits_while_one_strays(visitor: httpx.Client) -> None:
    visitor.cookies.set("walk", "2")
    strayed = visitor.get("/match")
    assert "Back to this stop" in walk_said(strayed)
    back = visitor.post("/walk", data={"to": "back"})
    assert back.headers["location"] == "/"


@pytest.mark.parametrize("cookie", ["0", "99", "x", "-1", "٣", "1e3"])
def test_a_made_up_place_on_the_walk_shows_nothing(visitor: httpx.Client, cookie: str) -> None:
    answer = visitor.get("/", headers={"cookie": f"walk={cookie}".encode()})
    assert answer.status_code == 200 and walk_said(answer) == ""


def test_it_never_leads_elsewhere(visitor: httpx.Client) -> None:
    answer = visitor.post("/walk", data={"to": "end", "here": "//elsewhere.example"})
    assert answer.headers["location"] == "/"
    assert visitor.post("/walk", data={"to": "fly"}).status_code == 422
    foreign = visitor.post("/walk", data={"to": "begin"}, headers={"sec-fetch-site": "cross-site"})
    assert foreign.status_code == 403


def test_an_empty_shelf_has_no_stop_at_a_tube(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite") as empty:
        assert not any(stop.path.startswith("/paints/") for stop in walk_stops(empty))
    with (
        serving(create_app(tmp_path / "shelf.sqlite")) as address,
        httpx.Client(base_url=address, timeout=120) as client,
    ):
        assert "New here?" in walk_said(client.get("/"))
        for path, teaches in (("/print", "Print a"), ("/counter", "ask at the counter")):
            page = client.get(path)
            assert page.status_code == 200 and teaches in page.text
