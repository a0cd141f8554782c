"""What every answer carries, and what is refused."""

from __future__ import annotations

import httpx
import pytest

from scumble.web.guard import HEADERS


@pytest.mark.parametrize(
    "address", ["/", "/paints/class-blue", "/paints/class-blue/hanging.svg", "/static/room.css", "/nowhere"]
)
def test_every_answer_carries_the_headers(client: httpx.Client, address: str) -> None:
    answer = client.get(address)
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    policy = answer.headers["Content-Security-Policy"]
    assert "unsafe" not in policy and "default-src 'none'" in policy and "frame-ancestors 'none'" in policy


def test_a_strange_host_name_is_refused(client: httpx.Client) -> None:
    assert client.get("/", headers={"host": "rebound.example"}).status_code == 400
    assert client.get("/", headers={"host": "localhost:8017"}).status_code == 200


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"origin": "http://elsewhere.example"}, 403),
        ({"origin": "null"}, 403),
        ({"sec-fetch-site": "same-origin"}, 303),
        ({"origin": "here"}, 303),
        ({"referer": "http://elsewhere.example/page"}, 403),
        ({"referer": "here"}, 303),
        ({}, 303),
    ],
)
def test_another_site_can_change_nothing(client: httpx.Client, headers: dict[str, str], status: int) -> None:
    sent = {
        name: str(client.base_url).rstrip("/") if value == "here" else value
        for name, value in headers.items()
    }
    answer = client.post("/room", data={"room": "light"}, headers=sent, follow_redirects=False)
    assert answer.status_code == status


def test_a_silent_browser_needs_the_cookie_of_a_page(client: httpx.Client) -> None:
    silent = {"user-agent": "Mozilla/5.0 (old)"}
    with httpx.Client(base_url=client.base_url, headers=silent) as stranger:
        send = {"data": {"room": "light"}, "follow_redirects": False}
        assert stranger.post("/room", **send).status_code == 403
        stranger.cookies.set("at-home", "guessed")
        assert stranger.post("/room", **send).status_code == 403
        stranger.cookies.clear()
        kept = stranger.get("/").headers["set-cookie"]
        assert "SameSite=Strict" in kept and "HttpOnly" in kept
        assert stranger.post("/room", **send).status_code == 303


def test_pages_are_checked_anew_and_stamped_drawings_kept(client: httpx.Client) -> None:
    assert client.get("/").headers["cache-control"] == "no-cache"
    drawing = client.get("/paints/class-blue/hanging.svg")
    assert drawing.headers["cache-control"] == "no-cache"
    stamp = drawing.headers["etag"].removeprefix("W/").strip(chr(34))
    kept = client.get(f"/paints/class-blue/hanging.svg?v={stamp}")
    assert "immutable" in kept.headers["cache-control"]
    assert client.get("/paints/class-blue/hanging.svg?v=old").headers["cache-control"] == "no-cache"


@pytest.mark.parametrize(
    "address", ["/static/../app.py", "/static/%2e%2e/app.py", "/paints/..%2f..%2fapp/card"]
)
def test_no_address_leads_out_of_the_folder(client: httpx.Client, address: str) -> None:
    assert client.get(address).status_code == 404
