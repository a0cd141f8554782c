"""In place of a tube, and a batch to adjust: asked, worked out, and refused with a sentence."""

from __future__ import annotations

import time

import httpx
from tests.web.page import Page


def follow(client: httpx.Client, begun: httpx.Response) -> Page:
    assert begun.status_code == 303, begun.text
    address = begun.headers["location"]
    key = address.partition("task=")[2]
    for _ in range(600):
        if client.get(f"/tasks/{key}").json()["state"] not in ("waiting", "running"):
            break
        time.sleep(0.1)
    return Page(client.get(address).text)


def test_a_tube_is_replaced_by_its_films(client: httpx.Client) -> None:
    begun = client.get("/instead?paint=cadmium-red", follow_redirects=False)
    page = follow(client, begun)
    assert page.one("h2", id="chosen").text == "In place of Cadmium red"
    words = [each.text for each in page.all("h3")]
    assert 1 <= len(words) <= 5 and not any(each.startswith("Cadmium red:") for each in words)
    assert all("dE00" in each for each in words)


def test_a_batch_is_adjusted_by_adding(client: httpx.Client) -> None:
    asked = {
        "colour": "60 20 30",
        "tube": ["Burnt sienna", "Titanium white"],
        "parts": ["1", "1"],
        "ml": "20",
    }
    page = follow(client, client.post("/batch", data=asked, follow_redirects=False))
    assert page.one("h2", id="chosen").text == "What to add"
    answers = page.all("p", **{"class": "films-said"})
    assert answers and all(
        "To 10 parts of the batch add" in each.text and "ml)" in each.text for each in answers
    )
    assert page.one("input", id="tube-1").attributes["value"] == "Burnt sienna"


def test_what_is_missing_is_said_and_what_was_typed_stays(client: httpx.Client) -> None:
    unknown = client.post("/batch", data={"colour": "60 20 30", "tube": ["nobody"], "parts": ["1"]})
    assert unknown.status_code == 422 and "nobody" in Page(unknown.text).one("p", id="said").text
    empty = client.post("/batch", data={"colour": "60 20 30"})
    assert empty.status_code == 422 and "tubes in it" in Page(empty.text).one("p", id="said").text
    assert Page(empty.text).one("input", id="colour").attributes["value"] == "60 20 30"
    assert client.post("/instead", data={"paint": "nobody"}).status_code == 422
