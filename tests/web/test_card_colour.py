"""Targets and profiles over the wire: handed in once, chosen for the tray or one card, put away and fetched back."""

from __future__ import annotations

from collections.abc import Iterator

import httpx
import numpy as np
import pytest
from demo.camera import CAMERAS
from demo.target import reference_file
from fastapi import FastAPI
from tests.card.test_by_target import off, scene
from tests.jobs.cards.test_desk import PHOTOGRAPH
from tests.jobs.shelves import illustrative_shelf
from tests.web.page import Page
from tests.web.server import serving
from tests.web.test_cards import drop

from scumble.web.app import create_app


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    return create_app(illustrative_shelf(tmp_path_factory.mktemp("colour") / "shelf.sqlite"))


@pytest.fixture(scope="module")
def visitor(app: FastAPI) -> Iterator[httpx.Client]:
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def hand_in(visitor: httpx.Client, name: str, content: bytes, **more: str) -> httpx.Response:
    return visitor.post("/cards/colour/files", files={"file": (name, content)}, data=more)


@pytest.fixture(scope="module")
def target(visitor: httpx.Client) -> str:
    """Key of the target, which is chosen as it comes."""
    answer = hand_in(visitor, "../class target.txt", reference_file(measured_error=0.0).encode())
    assert (answer.status_code, answer.headers["location"]) == (303, "/cards#colour")
    page = Page(visitor.get("/cards").text)
    chosen = [each for each in page.all("option") if "96 patches" in each.text]
    assert [each.text for each in chosen] == ["class target.txt: target of 96 patches, 12 rows of 8"]
    assert "selected" in chosen[0].attributes
    return chosen[0].attributes["value"]


def test_a_photograph_is_read_by_the_target_in_it_and_says_so(
    visitor: httpx.Client, app: FastAPI, target: str
) -> None:
    card, picture, _ = scene()
    visitor.post("/cards/colour", data={"target": "", "profile": ""})
    key = drop(visitor, app, "with target.jpg", picture)
    plain = app.state.card_desk.stands(key).read
    assert "By guess: the picture does not say" in visitor.get(f"/cards/{key}").text
    answer = visitor.post("/cards/colour", data={"target": target, "profile": "", "again": "true"})
    assert answer.status_code == 303
    by_target = app.state.card_desk.wait(key, timeout_s=60).read
    text = visitor.get(f"/cards/{key}").text
    assert "By the target that lies in the picture, class target.txt." in text
    assert "a patch that was left out is off by dE00" in text and "19 times in 20" in text
    assert off(card, by_target).mean() < 0.5 * off(card, plain).mean()
    # What the target leaves in doubt is less, and enters the fit as such.
    assert by_target.readings.camera.paper < plain.readings.camera.paper
    one = visitor.post(f"/cards/{key}/colour", data={"target": "", "profile": "", "corners": ""})
    assert one.headers["location"] == f"/cards/{key}"
    assert app.state.card_desk.wait(key, timeout_s=60).read.route.kind == "none"


def test_where_no_target_lies_its_corners_are_asked_for(
    visitor: httpx.Client, app: FastAPI, target: str
) -> None:
    visitor.post("/cards/colour", data={"target": target})
    key = drop(visitor, app, "without.jpg", PHOTOGRAPH)
    page = Page(visitor.get(f"/cards/{key}").text)
    assert "Point at its four corners" in page.one("main", id="main").text
    assert page.one("input", id="corners") and page.one("select", id="target")
    refused = visitor.post(f"/cards/{key}/colour", data={"target": target, "corners": "1,2 3"})
    assert refused.status_code == 422 and "four points of the picture" in refused.text
    visitor.post(f"/cards/{key}/colour", data={"target": ""})
    assert app.state.card_desk.wait(key, timeout_s=60).read.route.kind == "file"
    visitor.post("/cards/colour", data={"target": ""})


def test_a_profile_is_given_to_one_card(visitor: httpx.Client, app: FastAPI) -> None:
    hand_in(visitor, "scanner.icc", CAMERAS["wide"].profile())
    (profile,) = app.state.card_desk.aids.all("profile")
    assert app.state.card_desk.aids.chosen().profile == profile.key
    key = drop(visitor, app, "scan.jpg", PHOTOGRAPH)
    assert "By the profile that was given for the device, scanner.icc." in visitor.get(f"/cards/{key}").text
    visitor.post("/cards/colour", data={})


def test_one_that_is_put_away_is_fetched_back(visitor: httpx.Client, target: str) -> None:
    assert visitor.post(f"/cards/colour/{target}/away").headers["location"] == "/cards#colour"
    assert "1 put away" in visitor.get("/cards").text
    visitor.post(f"/cards/colour/{target}/back")
    assert "1 put away" not in visitor.get("/cards").text


@pytest.mark.parametrize(("name", "content"), [("x.txt", b"hello"), ("x.icc", bytes(36) + b"acsp")])
def test_what_cannot_be_used_is_said_at_its_place(visitor: httpx.Client, name: str, content: bytes) -> None:
    answer = hand_in(visitor, name, content)
    assert answer.status_code == 422
    assert "allowed is" in Page(answer.text).one("p", id="colour-wrong").text


def test_too_many_columns_and_unknown_keys_are_refused(visitor: httpx.Client) -> None:
    assert hand_in(visitor, "x.txt", b"hello", columns="1000").status_code == 422
    assert visitor.post("/cards/colour", data={"target": "nobody"}).status_code == 422
    assert visitor.post("/cards/colour/nobody/away").status_code == 422


def test_colours_of_areas_lead_to_match(visitor: httpx.Client, app: FastAPI) -> None:
    key = drop(visitor, app, "card.jpg", PHOTOGRAPH)
    page = Page(visitor.get(f"/cards/{key}").text)
    links = [
        each.attributes["href"]
        for each in page.all("a")
        if each.attributes.get("href", "").startswith("/match?")
    ]
    painted = [each for each in app.state.card_desk.stands(key).read.readings.readings if not each.is_bare]
    assert len(links) == len(painted)
    numbers = np.array([float(part) for part in links[0].partition("colour=")[2].split("%20")])
    assert numbers.shape == (3,) and 0 < numbers[0] < 100
