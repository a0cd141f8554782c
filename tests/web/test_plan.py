"""The page Plan: asked, planned, looked at in every manner, printed, and refused with a sentence."""

from __future__ import annotations

import io

import httpx
import numpy as np
import pytest
from PIL import Image
from tests.web.page import Page
from tests.web.test_instead import follow

TUBES = (
    "titanium-white, nickel-azo-yellow, quinacridone-rose, phthalo-blue-red-shade, burnt-sienna, bone-black"
)


def sketch() -> bytes:
    shown = np.zeros((60, 90, 3), np.uint8)
    shown[:, :60], shown[:, 60:] = (190, 150, 60), (60, 80, 120)
    written = io.BytesIO()
    Image.fromarray(shown).save(written, format="PNG")
    return written.getvalue()


def ask(client: httpx.Client, **given: str) -> httpx.Response:
    data = {"areas": "2", "only": TUBES, "stop": "2", "width": "30", **given}
    return client.post(
        "/plan", data=data, files={"picture": ("two.png", sketch(), "image/png")}, follow_redirects=False
    )


@pytest.fixture(scope="module")
def planned(client: httpx.Client) -> tuple[str, Page]:
    begun = ask(client)
    page = follow(client, begun)
    return begun.headers["location"], page


def test_a_picture_is_planned_and_its_passes_are_shown(
    client: httpx.Client, planned: tuple[str, Page]
) -> None:
    _, page = planned
    told = page.one("h2", id="chosen").text
    assert told == "two.png, glazed over a coloured underpainting, on white paper"
    addresses = [each.attributes["src"] for each in page.all("img")]
    assert {each.partition("?")[0] for each in addresses} >= {"/plan/pass-1.png", "/plan/areas.png", "/plan/misses.png",
                                                             "/plan/wanted.png", "/plan/easel-sheet-1.svg"}  # fmt: skip
    for address in addresses:
        answer = client.get(address)
        assert answer.status_code == 200, address
        assert answer.headers["content-type"] in ("image/png", "image/svg+xml"), address


def test_every_manner_is_one_link_away(client: httpx.Client, planned: tuple[str, Page]) -> None:
    address, _ = planned
    for manner, words in (("opaque", "all opaque"), ("transparent", "all transparent")):
        page = Page(client.get(f"{address}&manner={manner}").text)
        assert words in page.one("h2", id="chosen").text
    answer = client.get(f"{address}&manner=thick")
    assert answer.status_code == 422 and "one that these tubes can do" in answer.text


def test_the_sheet_is_a_pdf_and_its_preview_the_same_page(
    client: httpx.Client, planned: tuple[str, Page]
) -> None:
    query = planned[0].partition("?")[2]
    answer = client.get(f"/plan/easel-sheet.pdf?{query}&manner=opaque&page=A3-landscape")
    assert answer.content.startswith(b"%PDF") and answer.headers["content-type"] == "application/pdf"
    svg = client.get(f"/plan/easel-sheet-1.svg?{query}&manner=opaque&page=A3-landscape").text
    assert 'width="420mm"' in svg and "To paint: two" in svg
    assert client.get(f"/plan/easel-sheet-9.svg?{query}").status_code == 422
    assert client.get(f"/plan/pass-9.png?{query}").status_code == 422
    assert client.get("/plan/pass-1.png?task=nothing").status_code == 422


def test_a_plan_is_kept_reopened_and_binned(client: httpx.Client, planned: tuple[str, Page]) -> None:
    task = planned[0].partition("task=")[2]
    kept = client.post(
        "/plan/kept", data={"do": "keep", "name": "Two halves", "task": task}, follow_redirects=False
    )
    assert kept.status_code == 303 and kept.headers["location"] == "/plan?kept=two-halves"
    page = Page(client.get("/plan?kept=two-halves&manner=opaque").text)
    assert page.one("h2", id="chosen").text == "two.png, all opaque, on white paper"
    assert page.one("input", id="only").attributes["value"] == TUBES
    for address in {each.attributes["src"] for each in page.all("img")}:
        assert client.get(address).status_code == 200, address
    assert client.get("/plan/easel-sheet.pdf?kept=two-halves").content.startswith(b"%PDF")
    for do, where in (("bin", "Fetch Two halves back"), ("restore", "Put Two halves into the bin")):
        answer = client.post("/plan/kept", data={"do": do, "name": "two-halves"}, follow_redirects=True)
        assert where in answer.text
    assert client.get("/plan?kept=nothing").status_code == 422
    assert client.post("/plan/kept", data={"do": "keep", "name": "?", "task": task}).status_code == 422


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"areas": "1"}, "2 to 40"),
        ({"width": "wide"}, "a number of centimetres"),
        ({"only": "no such tube"}, "a paint on the shelf"),
        ({"own": "#12"}, "#rrggbb"),
        ({"per_pass": "-1"}, "a number from 0 to 100"),
    ],
)
def test_what_cannot_be_asked_is_said_and_nothing_typed_is_lost(
    client: httpx.Client, given: dict[str, str], said: str
) -> None:
    answer = ask(client, **given)
    assert answer.status_code == 422
    page = Page(answer.text)
    assert said in page.one("p", id="said").text
    assert page.one("input", id="only").attributes["value"] == given.get("only", TUBES)


def test_a_picture_is_needed_and_must_be_one(client: httpx.Client) -> None:
    answer = client.post("/plan", data={"areas": "2"}, follow_redirects=False)
    assert answer.status_code == 422 and "Choose the one to paint from" in answer.text
    hostile = client.post(
        "/plan", files={"picture": ("a.png", b"no picture", "image/png")}, follow_redirects=False
    )
    assert hostile.status_code == 422


def test_the_same_picture_is_planned_again_without_being_sent(
    client: httpx.Client, planned: tuple[str, Page]
) -> None:
    where = planned[0].partition("?")[2]
    assert planned[1].one("input", name="again").attributes["value"] == where
    data = {"areas": "2", "only": TUBES, "stop": "4", "again": where}
    page = follow(client, client.post("/plan", data=data, follow_redirects=False))
    assert page.one("h2", id="chosen").text == "two.png, all opaque, on white paper"
    assert client.post("/plan", data={**data, "again": "task=gone"}).status_code == 422


def test_work_that_goes_on_can_be_left_and_stopped(client: httpx.Client) -> None:
    begun = ask(client, areas="2", seed="7", only="")
    key = begun.headers["location"].partition("task=")[2]
    assert client.get(begun.headers["location"]).status_code == 200
    assert client.post(f"/tasks/{key}/cancel").json()["id"] == key
