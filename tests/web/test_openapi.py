"""The description of the interface says what the server does."""

from __future__ import annotations

import httpx
import pytest


def described(client: httpx.Client) -> dict[str, dict[str, object]]:
    answer = client.get("/openapi.json")
    assert answer.status_code == 200
    paths: dict[str, dict[str, object]] = answer.json()["paths"]
    return paths


def test_it_names_every_route_and_nothing_else(client: httpx.Client) -> None:
    assert set(described(client)) == {
        "/",
        "/paints/{key}",
        "/paints/{key}/{drawing}.svg",
        "/paints/{key}/card",
        "/room",
    }


@pytest.mark.parametrize(
    ("path", "address"),
    [
        ("/", "/"),
        ("/", "/?order=size"),
        ("/paints/{key}", "/paints/class-blue"),
        ("/paints/{key}", "/paints/nobody"),
        ("/paints/{key}/{drawing}.svg", "/paints/class-blue/lying.svg"),
        ("/paints/{key}/{drawing}.svg", "/paints/class-blue/bent.svg"),
        ("/paints/{key}/{drawing}.svg", "/paints/nobody/lying.svg"),
        ("/paints/{key}/card", "/paints/class-blue/card"),
        ("/paints/{key}/card", "/paints/yellow-ochre/card"),
    ],
)
def test_answers_have_the_status_and_kind_that_are_promised(
    client: httpx.Client, path: str, address: str
) -> None:
    answer = client.get(address)
    responses = described(client)[path]["get"]["responses"]  # type: ignore[index,call-overload]
    promised = responses[str(answer.status_code)]["content"]
    assert answer.headers["content-type"].split(";")[0] in promised
