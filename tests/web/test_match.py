"""The page Match, whole and while the search goes on."""

from __future__ import annotations

import json

import httpx
from tests.web.page import Page

FEW = "&tubes=2&films=1&exclude=cadmium"


def test_before_a_colour_is_named_nothing_is_looked_for(client: httpx.Client) -> None:
    page = Page(client.get("/match").text)
    assert page.one("title").text == "Match · Scumble"
    assert page.all("section", id="ways-beside") == [] and not page.all("ol", **{"class": "found"})
    assert page.one("input", name="ground", checked="").attributes["value"] == "white"


def test_the_whole_answer_needs_no_script(client: httpx.Client) -> None:
    page = Page(client.get(f"/match?whole=true&colour=60,20,30{FEW}").text)
    assert [each.text for each in page.all("h2")][:4] == [
        "Cover it",
        "Glaze it",
        "Underpaint and glaze it",
        "Scumble it",
    ]
    assert "L* 60.0, a* 20.0, b* 30.0" in page.one("main").text
    swatches = page.all("svg", **{"class": "seamed"})
    assert len(swatches) >= 6
    assert (
        "cadmium" not in " ".join(each.text for each in page.all("ol", **{"class": "films-said"})).casefold()
    )


def test_a_recipe_lies_on_the_bench_as_it_was_found(client: httpx.Client) -> None:
    page = Page(client.get(f"/match?whole=true&colour=undertone Viridian&route=glaze{FEW}").text)
    link = next(each for each in page.all("a") if each.attributes["href"].startswith("/layers?"))
    bench = client.get(link.attributes["href"])
    assert bench.status_code == 200 and "Viridian" in bench.text


def test_answers_come_one_after_the_other(client: httpx.Client) -> None:
    with client.stream("GET", f"/match/answers?colour=60,20,30{FEW}") as stream:
        assert stream.headers["content-type"].startswith("text/event-stream")
        text = "".join(stream.iter_text())
    events = [piece.split("\n") for piece in text.strip().split("\n\n")]
    names = [lines[0].removeprefix("event: ") for lines in events]
    assert names.count("answer") >= 2 and names[-1] == "done"
    shares = [json.loads(lines[1].removeprefix("data: "))["share"] for lines in events[:-1]]
    assert shares == sorted(shares) and shares[-1] == 1.0


def test_what_cannot_be_a_colour_is_said(client: httpx.Client) -> None:
    whole = client.get("/match?whole=true&colour=nonsense")
    assert whole.status_code == 422
    assert "nonsense" in Page(whole.text).one("p", id="said").text
    stream = client.get("/match/answers?colour=nonsense").text
    assert stream.startswith("event: wrong") and "nonsense" in stream and stream.rstrip().endswith("data: {}")
