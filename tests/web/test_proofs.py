"""The page Proofs, as a browser without script meets it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from tests.jobs.shelves import read_shelf
from tests.web.page import Page
from tests.web.server import serving

from scumble.store.shelf import open_shelf
from scumble.web.app import create_app


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("proofs") / "shelf.sqlite")


@pytest.fixture(scope="module")
def client(place: Path) -> Iterator[httpx.Client]:
    with serving(create_app(place)) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def page_of(client: httpx.Client, address: str) -> Page:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return Page(answer.text)


def keep(client: httpx.Client, **form: str) -> str:
    answer = client.post("/proofs", data=form)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"].rpartition("#proof-")[2]


def test_a_proof_goes_from_promise_to_verdict(client: httpx.Client, place: Path) -> None:
    key = keep(client, paint="Class blue", swatch="undertone")
    page = page_of(client, "/proofs")
    assert (
        page.one("li", id=f"proof-{key}").text.strip().startswith("Class blue, 0.25 coat, over white paper")
    )
    assert "Mix 1 part Class blue, 3 parts clear medium by volume" in page.one("li", id=f"proof-{key}").text
    with open_shelf(place) as shelf:
        promised = shelf.proofs.load(key).proof.promise.lab
    lab = " ".join(f"{value:.2f}" for value in (promised[0] + 0.5, promised[1], promised[2]))
    answer = client.post(f"/proofs/{key}/read", data={"lab": lab, "doubt": "0.5"})
    assert answer.status_code == 303 and answer.headers["location"] == f"/proofs/{key}"
    proof = page_of(client, f"/proofs/{key}")
    assert "inside the" in proof.one("main").text and "the hand that painted it" in proof.one("main").text
    record = page_of(client, "/proofs").one("main").text
    assert "1 of 1 inside" in record and "with so few" in record


def test_a_layering_of_the_bench_and_a_recipe_are_kept(client: httpx.Client) -> None:
    bench = keep(client, query="ground=grey&paint=class-blue&coats=0.3&medium=1")
    recipe = keep(
        client,
        layering='{"ground": {"reflectance": '
        + str([0.5] * 36)
        + '}, "films": [{"parts": {"class-blue": 1}, "coats": 0.2}]}',
        ground="an old panel",
    )
    page = page_of(client, "/proofs")
    assert "over grey paper" in page.one("li", id=f"proof-{bench}").text
    assert "over an old panel" in page.one("li", id=f"proof-{recipe}").text
    assert "disabled" in page.one("input", id=f"pick-{recipe}").attributes
    assert "checked" in page.one("input", id=f"pick-{bench}").attributes


def test_a_sheet_is_printed_and_printed_again(client: httpx.Client) -> None:
    key = keep(client, paint="Class blue", swatch="masstone")
    answer = client.post("/proofs/sheets", data={"proof": [key], "page": "A4"})
    assert answer.status_code == 303
    address = answer.headers["location"]
    for _ in range(2):
        sheet = client.get(address)
        assert sheet.headers["content-type"] == "application/pdf" and sheet.content.startswith(b"%PDF")
    assert client.get("/proofs/sheets/AAAAAAAA.pdf").status_code == 404
    assert client.post("/proofs/sheets", data={"proof": ["nobody"]}).status_code == 422


def test_an_instruments_file_is_handed_in(client: httpx.Client) -> None:
    key = keep(client, paint="Class blue", swatch="dark")
    file = f"SAMPLE_ID,L,a,b\n{key},20,-5,-15\nbare black,22,0,0\n".encode()
    answer = client.post("/proofs/read", files={"file": ("read.csv", file, "text/csv")})
    assert answer.status_code == 303, answer.text
    assert "instrument" in page_of(client, f"/proofs/{key}").one("main").text


def test_what_was_put_away_comes_back(client: httpx.Client) -> None:
    key = keep(client, paint="Class blue", swatch="breath")
    client.post(f"/proofs/{key}/bin")
    page = page_of(client, "/proofs")
    assert page.all("li", id=f"proof-{key}") == []
    assert client.post(f"/proofs/{key}/restore").status_code == 303
    assert len(page_of(client, "/proofs").all("li", id=f"proof-{key}")) == 1
    client.post(f"/proofs/{key}/read", data={"lab": "50 -20 -30"})
    client.post(f"/proofs/{key}/aside", data={"number": "1"})
    assert "set aside" in page_of(client, f"/proofs/{key}").one("main").text
    client.post(f"/proofs/{key}/count", data={"number": "1"})
    assert "the one that counts" in page_of(client, f"/proofs/{key}").one("main").text


def test_proofs_sharpen_a_paint_and_that_is_taken_back(client: httpx.Client, place: Path) -> None:
    key = keep(client, paint="Class blue", swatch="tint4")
    client.post(f"/proofs/{key}/read", data={"lab": "62 -27 -28"})
    before = page_of(client, "/proofs/paints/class-blue")
    assert "What would change" in before.one("main").text
    with open_shelf(place) as shelf:
        version = shelf.load_entries(["class-blue"])[0].version
    for _ in range(2):  # sent twice it is done once
        said = {"do": "sharpen", "version": str(version)}
        assert client.post("/proofs/paints/class-blue", data=said).status_code == 303
    with open_shelf(place) as shelf:
        assert shelf.load_entries(["class-blue"])[0].version == version + 1
        assert any("Sharpened by painted proofs" in each for each in shelf.load_paint("class-blue").status)
        assert shelf.load_readings("class-blue") is not None
    assert "no longer evidence" in page_of(client, "/proofs").one("main").text
    for _ in range(2):
        said = {"do": "back", "version": str(version + 1)}
        assert client.post("/proofs/paints/class-blue", data=said).status_code == 303
    with open_shelf(place) as shelf:
        assert shelf.load_entries(["class-blue"])[0].version == version


def test_an_illustrative_paint_is_not_sharpened(client: httpx.Client) -> None:
    page = page_of(client, "/proofs/paints/ultramarine-blue").one("main").text
    assert "Paint its card first" in page
    assert (
        client.post("/proofs/paints/ultramarine-blue", data={"do": "sharpen", "version": "1"}).status_code
        == 422
    )


@pytest.mark.parametrize(
    ("address", "form", "words"),
    [
        ("/proofs", {"paint": "nobody"}, "a paint"),
        ("/proofs", {"paint": "Class blue", "swatch": "moon"}, "masstone, undertone"),
        ("/proofs", {"query": "paint="}, "at least one film"),
        ("/proofs", {"layering": "{"}, "a layering as JSON"),
        ("/proofs", {"layering": "[" * 5000}, "a layering as JSON"),
        (
            "/proofs",
            {"layering": '{"ground": {}, "films": [{"parts": {"class-blue": 1}, "coats": 1}]}'},
            "exactly one",
        ),
    ],
)
def test_what_cannot_be_kept_is_said(
    client: httpx.Client, address: str, form: dict[str, str], words: str
) -> None:
    answer = client.post(address, data=form)
    assert answer.status_code == 422 and words in answer.text


@pytest.mark.parametrize(
    "lab", ["", "1 2", "a b c", "NaN 1 2", "1e999 0 0", "50 0 0; DROP TABLE", "-5 0 0", "50 900 0"]
)
def test_numbers_that_are_no_colour_are_refused(client: httpx.Client, lab: str) -> None:
    key = keep(client, paint="Class blue", swatch="tint1")
    answer = client.post(f"/proofs/{key}/read", data={"lab": lab})
    assert answer.status_code == 422 and "three numbers" in answer.text
    client.post(f"/proofs/{key}/bin")


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("card.jpg", b"\xff\xd8\xff\xe0 no picture"),
        ("a.csv", b"SAMPLE_ID,L,a,b\nnobody,1,2,3\n"),
        ("a.csv", b""),
        ("a.cxf", b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY a 'b'>]><x>&a;</x>"),
        ("a.bin", bytes(range(256)) * 10),
        ("../../x.csv", b"\x00" * 200_000),
    ],
)
def test_files_that_hold_no_proof_are_refused(client: httpx.Client, name: str, content: bytes) -> None:
    answer = client.post("/proofs/read", files={"file": (name, content, "text/plain")})
    assert answer.status_code == 422
    assert "allowed is" in answer.text or "picture" in answer.text.lower()


@pytest.mark.parametrize(
    "address",
    [
        "/proofs/nobody",
        "/proofs/nobody/picture-1.jpg",
        "/proofs/paints/nobody",
        "/proofs/sheets/x.pdf",
        "/proofs/%2e%2e",
    ],
)
def test_what_is_not_there_is_said(client: httpx.Client, address: str) -> None:
    assert client.get(address).status_code == 404


@pytest.mark.parametrize("address", ["/proofs?paint=nobody", "/proofs?kind=moon"])
def test_a_record_of_nothing_is_refused(client: httpx.Client, address: str) -> None:
    assert client.get(address).status_code == 422


def test_words_of_a_person_are_never_markup(client: httpx.Client) -> None:
    layering = '{"ground": {"paper": "white"}, "films": [{"parts": {"class-blue": 1}, "coats": 1}]}'
    keep(client, layering=layering, label="<script>alert(1)</script>")
    text = client.get("/proofs").text
    assert "<script>alert" not in text and "&lt;script&gt;alert" in text


@pytest.mark.parametrize(
    "address",
    [
        "/layers?paint=class-blue&coats=0.3",
        "/paints/class-blue",
        "/match?colour=50+-20+-30&whole=true&ground=grey",
    ],
)
def test_predictions_are_kept_from_where_they_are_made(client: httpx.Client, address: str) -> None:
    page = page_of(client, address)
    assert page.all("form", action="/proofs", method="post")
    names = ("query", "layering", "paint", "ground")
    fields = [
        each
        for each in page.all("input", type="hidden")
        if each.attributes["name"] in names and each.attributes["value"]
    ]
    said = {each.attributes["name"]: each.attributes["value"] for each in fields}
    data = {"layering": said["layering"], "ground": said["ground"]} if "layering" in said else said
    key = keep(client, **data)
    assert page_of(client, "/proofs").one("li", id=f"proof-{key}").text.strip()
    client.post(f"/proofs/{key}/bin")


def test_what_is_sent_twice_is_done_once(client: httpx.Client, place: Path) -> None:
    one, two = (keep(client, query="paint=class-blue&coats=0.44") for _ in range(2))
    assert one == two
    sheets = [
        client.post("/proofs/sheets", data={"proof": [one], "page": "A4"}).headers["location"]
        for _ in range(2)
    ]
    assert sheets[0] == sheets[1]
    for _ in range(2):
        client.post(f"/proofs/{one}/read", data={"lab": "30 -30 -30"})
    with open_shelf(place) as shelf:
        assert len(shelf.proofs.load(one).readings) == 1
    # Once it was read the same prediction can be put to the test again.
    assert keep(client, query="paint=class-blue&coats=0.44") != one
