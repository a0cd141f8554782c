"""The counter over a real socket: what a customer's tablet may ask for, and that all else is shut on the server."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from tests.web.page import Page
from tests.web.server import serving

from scumble.errors import InputError
from scumble.web.app import create_app
from scumble.web.kiosk import MOST_TRIES
from scumble.web.serve import serve

CODE = "481516"


@pytest.fixture(scope="module")
def tablet(place: Path) -> Iterator[httpx.Client]:
    app = create_app(place, counter_code=CODE)
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


@pytest.fixture
def customer(tablet: httpx.Client) -> httpx.Client:
    tablet.cookies.clear()
    return tablet


def test_questions_and_answers(customer: httpx.Client) -> None:
    first = Page(customer.get("/counter").text)
    asks = [
        each.attributes["href"] for each in first.all("a") if each.attributes["href"].startswith("/counter/")
    ]
    assert "/counter/cover" in asks and "/counter/class" in asks
    for ask in asks:
        assert customer.get(ask).status_code == 200
    answer = customer.get("/counter/glaze?colour=blue")
    page = Page(answer.text)
    assert len(page.all("img", **{"class": "lying"})) == 3
    assert len(answer.text) < 100_000
    for picture in page.all("img"):
        assert customer.get(picture.attributes["src"]).headers["content-type"] == "image/svg+xml"


def test_no_link_of_the_counter_leads_out(customer: httpx.Client) -> None:
    for path in ("/counter", "/counter/cover", "/counter/unlock"):
        page = Page(customer.get(path).text)
        out = [each.attributes["href"] for each in page.all("a") if "href" in each.attributes]
        assert out and all(link.startswith(("/counter", "#main")) for link in out)
        posts = {form.attributes["action"] for form in page.all("form")}
        assert posts <= {"/room", "/counter/unlock"}


def test_only_staff_are_led_on_to_match(customer: httpx.Client, client: httpx.Client) -> None:
    assert "/match" not in customer.get("/counter/glaze?colour=blue").text
    page = Page(client.get("/counter/glaze?colour=blue").text)
    links = [each.attributes["href"] for each in page.all("a") if each.text == "Reach this with other tubes"]
    assert len(links) == 3
    assert client.get(links[0]).status_code == 200


def test_every_other_route_is_shut_on_the_server(tablet: httpx.Client, place: Path) -> None:
    """Each route of the application with each of its methods; nothing but the counter answers."""
    tablet.cookies.clear()
    app = create_app(place)
    paths = app.openapi()["paths"]
    assert len(paths) > 20
    shut = 0
    for path, methods in paths.items():
        filled = path.replace("{key}", "class-blue").replace("{drawing}", "lying").replace("{number}", "1")
        filled = filled.replace("{asked}", "cover").replace("{", "").replace("}", "")
        for method in methods:
            answer = tablet.request(method.upper(), filled)
            if filled.startswith("/counter") or filled == "/room" or filled.endswith("/lying.svg"):
                continue
            expected = 303 if method == "get" else 403
            assert answer.status_code == expected, (method, filled)
            if method == "get":
                assert answer.headers["location"] == "/counter"
            shut += 1
    assert shut > 15


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
@pytest.mark.parametrize("path", ["/", "/layers/saved", "/counter", "/counter/cover", "/paints/class-blue"])
def test_nothing_can_be_sent(customer: httpx.Client, method: str, path: str) -> None:
    answer = customer.request(method, path, data={"do": "bin", "name": "x"})
    assert answer.status_code == 403
    assert "Nothing can be changed at the counter." in answer.text


@pytest.mark.parametrize(
    "path",
    [
        "/counter/../layers",
        "/counter/..%2Flayers",
        "//layers",
        "/openapi.json",
        "/static/../counter/x/y",
        "/Counter",
    ],
)
def test_no_way_round(customer: httpx.Client, path: str) -> None:
    answer = customer.get(path)
    assert answer.status_code in (303, 404, 422)
    assert "Layers" not in answer.text


def test_staff_unlock_and_lock_again(customer: httpx.Client) -> None:
    wrong = customer.post("/counter/unlock", data={"code": "000000"})
    assert wrong.status_code == 403 and "That is not the code." in wrong.text
    right = customer.post("/counter/unlock", data={"code": f" {CODE} "})
    assert right.status_code == 303
    cookie = right.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and CODE not in cookie
    assert customer.get("/layers").status_code in (200, 303)
    assert "Lock this browser again" in customer.get("/counter/unlock").text
    ticket = customer.cookies["staff"]
    assert customer.post("/counter/lock").status_code == 303
    customer.cookies.set("staff", ticket)
    assert customer.get("/print").status_code == 303, "a pass that was taken back opens nothing"


def test_a_made_up_pass_opens_nothing(customer: httpx.Client) -> None:
    for forged in ("", "1", CODE, "a" * 32):
        customer.cookies.set("staff", forged)
        assert customer.get("/").status_code == 303
        customer.cookies.clear()


def test_guessing_is_slowed_down(place: Path) -> None:
    with serving(create_app(place, counter_code=CODE)) as address, httpx.Client(base_url=address) as guesser:
        for _ in range(MOST_TRIES):
            guesser.post("/counter/unlock", data={"code": "123"})
        answer = guesser.post("/counter/unlock", data={"code": CODE})
        assert answer.status_code == 403 and "Wait half a minute" in answer.text


def test_without_the_lock_the_workbench_is_a_door_away(client: httpx.Client) -> None:
    page = client.get("/counter")
    assert page.status_code == 200 and "Back to the workbench" in page.text
    assert client.get("/counter/fly").status_code == 422


def test_other_devices_see_the_counter_only(place: Path) -> None:
    with pytest.raises(InputError, match="Only the counter may be seen from another device: add --counter"):
        serve(place, at="192.0.2.1", browser=False)
    with pytest.raises(InputError, match=r"at: saw '192.0.2.1'; allowed is an address of this computer"):
        serve(place, at="192.0.2.1", browser=False, counter=True, port=0)
