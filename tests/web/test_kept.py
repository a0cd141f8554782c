"""What browsers keep: pictures and files are told apart by their tags, and not sent again while they hold."""

from __future__ import annotations

import httpx
import pytest


@pytest.mark.parametrize(
    "address",
    [
        "/paints/class-blue/hanging.svg",
        "/paints/class-blue/card",
        "/paints/class-blue/card.jpg",
        "/paints/class-blue/card.jpg?v=1",
        "/cards/blank/full.svg",
        "/static/room.css",
    ],
)
def test_what_is_kept_is_not_sent_again(client: httpx.Client, address: str) -> None:
    first = client.get(address)
    tag = first.headers["etag"]
    assert first.status_code == 200 and first.headers["cache-control"]
    again = client.get(address, headers={"if-none-match": f'"other", {tag}'})
    assert again.status_code == 304 and again.content == b""
    assert again.headers["etag"] == tag
    assert again.headers["cache-control"] == first.headers["cache-control"]
    assert client.get(address, headers={"if-none-match": '"other"'}).status_code == 200
    assert client.head(address, headers={"if-none-match": tag}).status_code == 304


def test_other_pictures_have_other_tags(client: httpx.Client) -> None:
    tags = {
        client.get(f"/paints/{key}/{drawing}.svg").headers["etag"]
        for key in ("class-blue", "yellow-ochre")
        for drawing in ("hanging", "lying", "narrow", "steps")
    }
    assert len(tags) >= 2
    assert all(tag.startswith('W/"') for tag in tags)


@pytest.mark.parametrize("address", ["/", "/cards", "/layers/paints", "/tasks?kind=wall"])
def test_pages_and_data_are_asked_for_anew(client: httpx.Client, address: str) -> None:
    assert client.get(address).headers["cache-control"] == "no-cache"


@pytest.mark.parametrize(
    ("address", "accept", "kind"),
    [
        ("/nowhere", "application/json", "application/json"),
        ("/nowhere", "text/html,application/xhtml+xml,*/*;q=0.8", "text/html"),
        ("/nowhere", "*/*", "text/html"),
        ("/paints/nobody", "application/json, text/plain", "application/json"),
        ("/paints/nobody", "text/html, application/json", "text/html"),
        ("/?order=size", "application/json", "application/json"),
        ("/paints/nobody/card", "application/json", "application/json"),
        ("/layers/look", "application/json", "application/json"),
    ],
)
def test_faults_are_pages_for_people_and_one_shape_for_programs(
    client: httpx.Client, address: str, accept: str, kind: str
) -> None:
    answer = client.get(address, headers={"accept": accept})
    assert answer.status_code in (404, 405, 422)
    assert answer.headers["content-type"].startswith(kind)
    if kind == "application/json":
        assert set(answer.json()) == {"title", "words"} and all(answer.json().values())
    else:
        assert "<h1" in answer.text and 'href="/"' in answer.text


def test_what_another_site_sends_is_refused_in_the_same_shapes(client: httpx.Client) -> None:
    strange = {"sec-fetch-site": "cross-site"}
    page = client.post("/room", data={"room": "dim"}, headers=strange)
    assert page.status_code == 403 and "This came from another site and was not done." in page.text
    data = client.post("/layers/look", json={}, headers=strange)
    assert data.status_code == 403 and set(data.json()) == {"title", "words"}
