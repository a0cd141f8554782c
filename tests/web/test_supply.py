"""The page To buy: what is asked for, the work that answers it, and the sheet that comes of it."""

from __future__ import annotations

import time

import httpx
from tests.web.page import Page

FEW = {
    "colours": "60 20 30\n#285a3c\nundertone class-blue",
    "tubes": "3",
    "route": "cover",
    "exclude": "cadmium",
}


def work_out(client: httpx.Client, **asked: str) -> tuple[str, Page]:
    """Ask, look again until the work is over, and give back its key and page."""
    begun = client.post("/supply", data={**FEW, **asked}, follow_redirects=False)
    assert begun.status_code == 303, begun.text
    key = begun.headers["location"].partition("task=")[2]
    for _ in range(600):
        if client.get(f"/tasks/{key}").json()["state"] not in ("waiting", "running"):
            break
        time.sleep(0.1)
    return key, Page(client.get(f"/supply?task={key}").text)


def test_tubes_are_chosen_and_the_class_sheet_printed(client: httpx.Client) -> None:
    key, page = work_out(client)
    far = page.all("li", **{"class": "far"})
    assert page.one("h2", id="chosen").text == f"3 tubes reach {3 - len(far)} of 3 colours"
    assert len(page.all("svg", **{"class": "halves"})) == 3
    sheet = client.get(f"/supply/sheet.pdf?task={key}")
    assert sheet.headers["content-type"] == "application/pdf" and sheet.content.startswith(b"%PDF")


def test_gaps_name_what_is_out_of_reach(client: httpx.Client) -> None:
    key, page = work_out(client, ask="gaps", colours="lab 70 -90 80\n60 20 30")
    assert page.one("h2", id="chosen").text == "1 of 2 colours come near with this shelf"
    sheet = client.get(f"/supply/sheet.pdf?task={key}")
    assert sheet.status_code == 422 and "what was seen" not in sheet.text


def test_what_cannot_be_asked_is_said_and_nothing_typed_is_lost(client: httpx.Client) -> None:
    for field, value, said in (
        ("colours", "60 20 30\nnonsense", "line 2"),
        ("tubes", "90", "1 to 24"),
        ("budget", "0", "more than 0"),
        ("m2_each", "0", "square metres above 0"),
        ("coats", "2", "Say how many m2 each paints"),
    ):
        answer = client.post("/supply", data={**FEW, field: value})
        assert answer.status_code == 422
        page = Page(answer.text)
        assert said in page.one("p", id="said").text
        assert page.one("textarea", id="colours").text.startswith("60 20 30")


def test_work_that_is_not_known_is_said(client: httpx.Client) -> None:
    answer = client.get("/supply?task=never")
    assert answer.status_code == 422 and "ask for it anew" in answer.text
