"""Teach over a real socket: a round without script, from the first form to the end."""

from __future__ import annotations

import httpx
import pytest
from tests.web.page import Page


def fields(page: Page) -> dict[str, str]:
    return {
        each.attributes["name"]: each.attributes["value"]
        for each in page.all("input", type="hidden")
        if each.attributes["name"] not in ("back",) and "disabled" not in each.attributes
    }


def follow(client: httpx.Client, answer: httpx.Response) -> httpx.Response:
    while answer.status_code == 303:
        answer = client.get(answer.headers["location"])
    return answer


def test_a_round_by_forms_alone(client: httpx.Client) -> None:
    start = Page(client.get("/teach").text)
    assert start.one("form", action="/teach/round", method="get")
    answer = follow(client, client.get("/teach/round", params={"theme": "cover", "of": 2, "seed": 9}))
    for place in (1, 2):
        asked = Page(answer.text)
        assert f"question {place} of 2" in answer.text
        buttons = asked.all("button", name="said")
        assert [each.attributes["value"] for each in buttons] == [str(at + 1) for at in range(len(buttons))]
        answer = follow(client, client.post("/teach/round", data={**fields(asked), "said": "1"}))
        told = Page(answer.text)
        assert "this one is true" in answer.text or "your answer, and true" in answer.text
        for picture in told.all("img"):
            assert client.get(picture.attributes["src"]).headers["content-type"] == "image/svg+xml"
        links = [each.attributes["href"] for each in told.all("a")]
        assert client.get(next(link for link in links if link.startswith("/layers?"))).status_code == 200
        answer = follow(client, client.get(told.one("a", id="onward").attributes["href"]))
    assert "of 2 foretold" in answer.text and "say little" in answer.text


def test_a_colour_pointed_out_by_the_palette(client: httpx.Client) -> None:
    answer = follow(client, client.get("/teach/round?theme=mixing&manner=point&of=1&seed=3"))
    page = Page(answer.text)
    spots = page.all("input", name="said", type="radio")
    assert len(spots) == 65
    told = follow(
        client, client.post("/teach/round", data={**fields(page), "said": spots[7].attributes["value"]})
    )
    assert "Yours is" in told.text and "dE00" in told.text and "as you pointed it out" in told.text


@pytest.mark.parametrize(
    "query",
    [
        "theme=dancing&round=ab",
        "round=ab&ask=cover.nobody.1.1",
        "round=ab&ask=x",
        "round=ab&ask=cover.viridian.1.1&said=7",
        "of=99",
        "round=zz",
    ],
)
def test_addresses_that_ask_nothing_are_refused_with_a_page(client: httpx.Client, query: str) -> None:
    answer = client.get(f"/teach/round?{query}")
    assert answer.status_code == 422 and "<h1" in answer.text


def test_an_answer_that_is_none_is_refused(client: httpx.Client) -> None:
    answer = client.post("/teach/round", data={"round": "ab", "ask": "cover.viridian.1.1", "said": "9"})
    assert answer.status_code == 422 and "a number from 1 to 2" in answer.text


def test_the_same_seed_asks_the_same(client: httpx.Client) -> None:
    asked = [
        client.get(client.get("/teach/round?seed=77&of=3").headers["location"])
        .headers["location"]
        .partition("ask=")[2]
        for _ in range(2)
    ]
    assert asked[0] and asked[0] == asked[1]


def test_a_trainees_answers_are_kept_and_erased(client: httpx.Client) -> None:
    begun = client.post("/teach/trainees", data={"name": "Q. Z."})
    assert begun.status_code == 303
    who = begun.headers["location"].partition("who=")[2]
    assert client.post("/teach/trainees", data={"name": "q. z."}).status_code == 422
    assert f'<option value="{who}" selected>Q. Z.' in client.get(begun.headers["location"]).text
    answer = follow(
        client, client.get("/teach/round", params={"who": who, "of": 1, "seed": 9, "theme": "grounds"})
    )
    given = {**fields(Page(answer.text)), "said": "1"}
    told = follow(client, client.post("/teach/round", data=given))
    follow(client, client.post("/teach/round", data={**given, "said": "2"}))
    done = follow(client, client.get(Page(told.text).one("a", id="onward").attributes["href"]))
    right = "1 of 1 foretold" in done.text
    record = client.get(f"/teach/record/{who}").text
    assert f"{int(right)} of 1 foretold" in record, "the first answer counts"
    assert "Nothing else is asked" in record and "What comes again" in record
    assert "Q. Z." in client.get("/teach/record").text
    assert client.post(f"/teach/record/{who}/erase").status_code == 422, "asks whether one is sure"
    erased = client.post(f"/teach/record/{who}/erase", data={"sure": "yes"})
    assert "Erased, with all answers" in client.get(erased.headers["location"]).text
    assert client.get(f"/teach/record/{who}").status_code == 404
    assert "Q. Z." not in client.get("/teach/record").text
    assert client.post("/teach/round", data=given).status_code == 422


def test_nothing_is_kept_of_nobody(client: httpx.Client) -> None:
    answer = follow(client, client.get("/teach/round?of=1&seed=4"))
    assert client.post("/teach/round", data={**fields(Page(answer.text)), "said": "1"}).status_code == 303
    assert "Nobody has answered a question yet" in client.get("/teach/record").text


def test_a_record_page_says_when_there_is_nothing(client: httpx.Client) -> None:
    assert client.get("/teach/record/4711").status_code == 404


def test_a_lesson_is_looked_through_and_printed(client: httpx.Client) -> None:
    answer = client.get("/teach/lesson?theme=white&count=3")
    assert answer.status_code == 303 and "seed=" in answer.headers["location"]
    page = Page(client.get("/teach/lesson?theme=white&count=3&seed=5").text)
    file = next(each.attributes["href"] for each in page.all("a") if each.text == "Take the sheets, PDF")
    sheet = client.get(file)
    assert sheet.headers["content-type"] == "application/pdf" and sheet.content.startswith(b"%PDF")
    assert "lesson-white-5.pdf" in sheet.headers["content-disposition"]
    assert sheet.content == client.get(file).content
    tries = [each.attributes["href"] for each in page.all("a") if each.text == "Try it"]
    assert len(tries) == 3 and client.get(tries[0]).status_code == 200
    assert client.get("/teach/lesson?theme=dance&seed=1").status_code == 422
    assert client.get("/teach/lesson.pdf?page=A6&seed=1").status_code == 422
