"""HEAD on every route that can be looked at: the head of the page, and no page; and what cannot be done says so."""

from __future__ import annotations

import re
from pathlib import Path

import httpx
import pytest
from tests.web.server import serving

from scumble.web import tasks
from scumble.web.app import create_app

FILLED = {
    "key": "class-blue",
    "layout": "full",
    "kind": "json",
    "number": "1",
    "drawing": "lying",
    "asked": "strongest",
    "seen": "wanted",
}
"""What stands for each part of an address; where it names nothing, both methods are refused alike."""

KINDS = {"/export/{key}/card.{kind}": "csv", "/export/{key}/optics.{kind}": "cgats"}

DRAWN_ANEW = re.compile(r"/(cards/blank/.*\.pdf|export/shelf\.json|print/chart\.pdf|tasks|teach/)")
"""What is another each time: serials, moments and chance stand in it."""


@pytest.fixture(scope="module")
def looked_at(client: httpx.Client) -> list[str]:
    paths = client.get("/openapi.json").json()["paths"]
    return sorted(path for path, methods in paths.items() if "get" in methods)


def fill(path: str) -> str:
    named = FILLED | ({"kind": KINDS[path]} if path in KINDS else {})
    return re.sub(r"\{(\w+)\}", lambda found: named.get(found[1], "none"), path)


def head_of(client: httpx.Client, method: str, address: str) -> tuple[int, dict[str, str]]:
    with client.stream(method, address) as answer:
        if method == "HEAD":
            assert answer.read() == b"", address
    said = {name: value for name, value in answer.headers.items() if name not in ("date", "set-cookie")}
    # Some pages choose something at random and lead to where it stands.
    said |= {"location": said["location"].partition("?")[0]} if "location" in said else {}
    if DRAWN_ANEW.match(address):
        said |= {name: "" for name in ("content-length", "etag", "content-disposition") if name in said}
    return answer.status_code, said


def test_head_says_what_get_says_on_every_route(client: httpx.Client, looked_at: list[str]) -> None:
    assert len(looked_at) > 40
    statuses = []
    for path in looked_at:
        address = fill(path)
        got = head_of(client, "GET", address)
        assert head_of(client, "HEAD", address) == got, address
        statuses.append(got[0])
    # Most of the addresses mean something; only things that wait on a desk have none in this shelf.
    assert sum(status < 400 for status in statuses) >= 0.6 * len(statuses)


@pytest.mark.parametrize("address", ["/static/room.css", "/openapi.json", "/nowhere", "/paints/nobody"])
def test_head_of_files_and_of_what_is_not_there(client: httpx.Client, address: str) -> None:
    assert head_of(client, "HEAD", address) == head_of(client, "GET", address)
    assert "content-length" in client.head(address).headers


def test_a_stream_ends_with_its_head(client: httpx.Client, monkeypatch: pytest.MonkeyPatch) -> None:
    # Left to itself it would go on for longer than the client waits.
    monkeypatch.setattr(tasks, "STREAM_S", 3600.0)
    for address in ("/cards/events", "/match/answers?colour=50+20+10"):
        answer = client.head(address)
        assert answer.status_code == 200 and answer.content == b""
        assert answer.headers["content-type"].startswith("text/event-stream")


def test_head_passes_the_lock_as_get_does(place: Path) -> None:
    locked = create_app(place, counter_code="123456")
    with serving(locked) as address, httpx.Client(base_url=address) as visitor:
        assert visitor.head("/counter").status_code == 200
        assert visitor.head("/").headers["location"] == "/counter"


@pytest.mark.parametrize(
    ("method", "address", "allowed"),
    [
        ("HEAD", "/walk", {"POST"}),
        ("GET", "/layers/look", {"POST"}),
        ("DELETE", "/cards", {"GET", "HEAD", "POST"}),
        ("PUT", "/paints/class-blue", {"GET", "HEAD"}),
        ("PATCH", "/bin", {"GET", "HEAD", "POST"}),
    ],
)
def test_what_cannot_be_done_says_what_can(
    client: httpx.Client, method: str, address: str, allowed: set[str]
) -> None:
    answer = client.request(method, address)
    assert answer.status_code == 405
    assert set(answer.headers["allow"].split(", ")) == allowed
    if method != "HEAD":
        assert "That can't be done here" in answer.text or "That can&#39;t be done here" in answer.text
