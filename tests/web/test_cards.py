"""The page Cards over the wire: what is dropped, judged, kept, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Iterator

import httpx
import pytest
from fastapi import FastAPI
from tests.card.marked.test_read_marked import photograph
from tests.jobs.cards.test_desk import PHOTOGRAPH, SAMPLES
from tests.jobs.shelves import illustrative_shelf
from tests.web.page import Page
from tests.web.server import serving

from scumble.web.app import create_app

JSON = {"accept": "application/json"}


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    return create_app(illustrative_shelf(tmp_path_factory.mktemp("cards") / "shelf.sqlite"))


@pytest.fixture(scope="module")
def visitor(app: FastAPI) -> Iterator[httpx.Client]:
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def drop(visitor: httpx.Client, app: FastAPI, name: str, content: bytes) -> str:
    answer = visitor.post("/cards", files=[("files", (name, content))], headers=JSON)
    (key,) = answer.json()["keys"]
    app.state.card_desk.wait(key, timeout_s=60)
    return str(key)


@pytest.fixture(scope="module")
def card(visitor: httpx.Client, app: FastAPI) -> str:
    visitor.get("/cards")
    return drop(visitor, app, "../../magenta.jpg", PHOTOGRAPH)


def test_an_empty_tray_teaches(visitor: httpx.Client) -> None:
    page = Page(visitor.get("/cards").text)
    said = page.one("main", id="main").text
    assert "Print a card" in said and "mark it up by hand" in said
    links = {each.attributes["href"] for each in page.all("a")}
    assert {f"/cards/blank/{layout}.pdf?page=A4" for layout in ("full", "quick", "white")} <= links


@pytest.mark.parametrize("layout", ["full", "quick", "white"])
def test_blank_cards_are_printed_and_shown(visitor: httpx.Client, layout: str) -> None:
    printed = visitor.get(f"/cards/blank/{layout}.pdf?page=Letter")
    assert printed.content.startswith(b"%PDF") and "attachment" in printed.headers["content-disposition"]
    assert visitor.get(f"/cards/blank/{layout}.svg").text.startswith("<svg")
    assert visitor.get(f"/cards/blank/{layout}.pdf?page=A9").status_code == 422


def test_a_card_shows_every_area_outlined_and_in_the_list(visitor: httpx.Client, card: str) -> None:
    text = visitor.get(f"/cards/{card}").text
    page = Page(text)
    assert len(page.all("polygon")) == 22
    links = [
        each.attributes["href"] for each in page.all("a") if each.attributes["href"].startswith("#area-")
    ]
    assert len(links) == 22 and all(page.one("tr", id=link[1:]) for link in links)
    assert len(text.encode()) < 100_000
    assert visitor.get(f"/cards/{card}/picture.jpg").headers["content-type"] == "image/jpeg"


def test_a_person_overrules_names_and_keeps(visitor: httpx.Client, card: str) -> None:
    said = {
        "label": "",
        "pigments": "pv19",
        "binder": "acrylic",
        "area full-white": "leave out",
        "do": "keep",
    }
    refused = visitor.post(f"/cards/{card}", data=said)
    assert (
        refused.status_code == 422 and "a name for the tube" in Page(refused.text).one("p", id="wrong").text
    )
    kept = visitor.post(f"/cards/{card}", data={**said, "label": "My magenta"}, follow_redirects=True)
    page = Page(kept.text)
    assert "on the shelf, version 1" in page.one("main", id="main").text
    assert visitor.get("/paints/my-magenta").status_code == 200
    assert visitor.get("/paints/my-magenta/card").content == PHOTOGRAPH
    back = visitor.post(f"/cards/{card}/unkeep", follow_redirects=True)
    assert back.status_code == 200 and visitor.get("/paints/my-magenta").status_code == 404


def test_a_word_that_is_none_changes_nothing(visitor: httpx.Client, app: FastAPI, card: str) -> None:
    visitor.post(f"/cards/{card}", data={"area full-white": "burn it", "label": "x", "do": "apply"})
    assert app.state.card_desk.tray.find(card).choices == {}


def test_a_card_is_taken_off_and_put_back(visitor: httpx.Client, app: FastAPI) -> None:
    key = drop(visitor, app, "samples.csv", SAMPLES)
    assert visitor.post(f"/cards/{key}/off").headers["location"] == "/cards#tray"
    assert "1 taken off" in visitor.get("/cards").text
    assert visitor.post(f"/cards/{key}/back").headers["location"] == f"/cards/{key}"


def test_two_pictures_of_one_card_count_together_or_lie_over_each_other(
    visitor: httpx.Client, app: FastAPI
) -> None:
    first, second = (drop(visitor, app, f"{name}.jpg", PHOTOGRAPH) for name in ("one", "two"))
    others = [card.key for card in app.state.card_desk.tray.cards() if card.key not in (first, second)]
    for other in others:
        visitor.post(f"/cards/{other}/off")
    page = visitor.get(f"/cards/{first}").text
    assert "shows the card of the same serial" in page
    assert (
        visitor.post(f"/cards/{first}/join", data={"other": second}).headers["location"] == f"/cards/{first}"
    )
    assert "2 photographs count, each by what it is worth: one.jpg 50 %, two.jpg 50 %." in (
        visitor.get(f"/cards/{first}").text
    )
    assert visitor.post(f"/cards/{second}/part").headers["location"] == f"/cards/{first}"
    page = visitor.get(f"/cards/{first}").text
    assert "photographs count" not in page and "two.jpg is laid over it" in page
    assert visitor.post(f"/cards/{second}/off").headers["location"] == f"/cards/{first}"
    assert visitor.post(f"/cards/{first}/join", data={"other": "nobody"}).status_code == 422


def test_samples_are_placed_and_how_they_were_measured_is_kept(visitor: httpx.Client, app: FastAPI) -> None:
    key = drop(visitor, app, "samples.csv", SAMPLES)
    page = Page(visitor.get(f"/cards/{key}").text)
    assert len(page.one("ol", **{"class": "samples"}).text.split("something")) == 2
    data = {"layout": "quick", "condition": "M0", "backing": "white", "sample 4": "thin1-white"}
    asked = {**{f"sample {at}": area for at, area in enumerate(("white", "black", "full-white"))}, **data}
    answer = visitor.post(f"/cards/{key}/samples", data=asked, follow_redirects=True)
    assert "condition M0" in answer.text and "over white backing" in answer.text
    placed = app.state.card_desk.stands(key).read.readings
    assert {each.area for each in placed.painted()} == {
        "full-white",
        "full-black",
        "thin1-white",
        "tint4-white",
    }


def test_a_chart_is_marked_up(visitor: httpx.Client, app: FastAPI) -> None:
    key = drop(visitor, app, "old.png", photograph())
    page = Page(visitor.get(f"/cards/{key}/marks").text)
    assert page.one("div", id="marking").attributes["data-width"] == "500"
    refused = visitor.post(
        f"/cards/{key}/marks/boxes", json={"boxes": [{"box_px": [0, 0, 90, 90], "what": "bare"}]}
    )
    assert refused.status_code == 422 and "nothing painted" in refused.json()["words"]
    outside = {"box_px": [480, 0, 90, 90], "what": "masstone"}
    paper = {"box_px": [0, 0, 90, 90], "what": "bare"}
    refused = visitor.post(f"/cards/{key}/marks/boxes", json={"boxes": [paper, outside]})
    assert "partly outside" in refused.json()["words"]
    paint = {"box_px": [200, 0, 90, 90], "what": "masstone"}
    taken = visitor.post(f"/cards/{key}/marks/boxes", json={"boxes": [paper, paint]})
    assert taken.json() == {"page": f"/cards/{key}"}
    app.state.card_desk.wait(key, timeout_s=60)
    assert "Full on white" in visitor.get(f"/cards/{key}").text
    assert "Find its colours otherwise" in visitor.get(f"/cards/{key}").text
    kept = json.loads(
        Page(visitor.get(f"/cards/{key}/marks").text).one("div", id="marking").attributes["data-marks"]
    )
    assert [box["what"] for box in kept["boxes"]] == ["bare", "masstone"]


def test_the_tray_is_followed(visitor: httpx.Client, app: FastAPI) -> None:
    key = drop(visitor, app, "samples.csv", SAMPLES)
    with visitor.stream("GET", "/cards/events") as answer:
        line = next(line for line in answer.iter_lines() if line.startswith("data: "))
    states = {each["key"]: each for each in json.loads(line[6:])}
    assert states[key]["state"] == "done" and "painted areas were read" in states[key]["words"]


@pytest.mark.parametrize(
    "address",
    ["/cards/nobody", "/cards/..%2f..%2fshelf", "/cards/nobody/picture.jpg", "/cards/nobody/marks"],
)
def test_an_unknown_card_is_not_found(visitor: httpx.Client, address: str) -> None:
    assert visitor.get(address).status_code == 404


def test_nothing_is_written_but_under_names_made_by_chance(visitor: httpx.Client, app: FastAPI) -> None:
    drop(visitor, app, "../../../planted.jpg", b"\xff\xd8\xffnothing")
    folder = app.state.card_desk.tray.path("x").parent
    names = {path.name for path in folder.iterdir() if path.is_file()}
    assert all(len(name.partition(".")[0]) == 16 for name in names)
    assert not any("planted" in path.name for path in folder.parent.rglob("*"))


def test_more_files_than_are_taken_in_one_go_are_refused(visitor: httpx.Client) -> None:
    files = [("files", (f"{at}.jpg", b"x")) for at in range(101)]
    answer = visitor.post("/cards", files=files, headers=JSON)
    assert answer.status_code == 422 and "at most 100 in one go" in answer.json()["words"]


def test_an_empty_file_is_refused_in_words(visitor: httpx.Client) -> None:
    answer = visitor.post("/cards", files=[("files", ("nothing.jpg", b""))], headers=JSON)
    assert answer.status_code == 422 and "an empty file" in answer.json()["words"]
