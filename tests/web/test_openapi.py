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
        "/batch",
        "/beside",
        "/bin",
        "/cards",
        "/cards/again",
        "/cards/blank/strips.pdf",
        "/cards/blank/{layout}.pdf",
        "/cards/blank/{layout}.svg",
        "/cards/colour",
        "/cards/colour/files",
        "/cards/colour/{key}/{move}",
        "/cards/events",
        "/cards/{key}",
        "/cards/{key}/marks",
        "/cards/{key}/marks/boxes",
        "/cards/{key}/picture.jpg",
        "/cards/{key}/{move}",
        "/counter",
        "/counter/lock",
        "/counter/unlock",
        "/counter/{asked}",
        "/export",
        "/export/shelf.{kind}",
        "/export/{key}/card.{kind}",
        "/export/{key}/optics.{kind}",
        "/import",
        "/import/{key}",
        "/instead",
        "/layers",
        "/layers/fan",
        "/layers/look",
        "/layers/paints",
        "/layers/saved",
        "/match",
        "/match/answers",
        "/painting",
        "/painting/picture",
        "/painting/point",
        "/painting/table",
        "/paints/{key}",
        "/paints/{key}/back",
        "/paints/{key}/bin",
        "/paints/{key}/card",
        "/paints/{key}/card.jpg",
        "/paints/{key}/papers",
        "/paints/{key}/{drawing}.svg",
        "/plan",
        "/plan/easel-sheet-{number}.svg",
        "/plan/easel-sheet.pdf",
        "/plan/kept",
        "/plan/{which}.png",
        "/print",
        "/print/chart.pdf",
        "/print/draw",
        "/print/page-{number}.svg",
        "/print/profile",
        "/proofs",
        "/proofs/paints/{key}",
        "/proofs/read",
        "/proofs/sheets",
        "/proofs/sheets/{serial}.pdf",
        "/proofs/{key}",
        "/proofs/{key}/picture-{number}.jpg",
        "/proofs/{key}/read",
        "/proofs/{key}/{move}",
        "/room",
        "/room/patterns",
        "/subject",
        "/subject/{seen}.png",
        "/supply",
        "/supply/sheet.pdf",
        "/tasks",
        "/tasks/{key}",
        "/tasks/{key}/cancel",
        "/tasks/{key}/events",
        "/teach",
        "/teach/done",
        "/teach/lesson",
        "/teach/lesson.pdf",
        "/teach/record",
        "/teach/record/{who}",
        "/teach/record/{who}/erase",
        "/teach/round",
        "/teach/trainees",
        "/walk",
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
        ("/paints/{key}/card.jpg", "/paints/class-blue/card.jpg"),
        ("/paints/{key}/card.jpg", "/paints/yellow-ochre/card.jpg"),
        ("/layers", "/layers?paint=class-blue"),
        ("/layers", "/layers?ground=moon"),
        ("/layers/paints", "/layers/paints"),
    ],
)
def test_answers_have_the_status_and_kind_that_are_promised(
    client: httpx.Client, path: str, address: str
) -> None:
    answer = client.get(address)
    responses = described(client)[path]["get"]["responses"]  # type: ignore[index,call-overload]
    promised = responses[str(answer.status_code)]["content"]
    assert answer.headers["content-type"].split(";")[0] in promised


@pytest.mark.parametrize(
    ("ground", "status"), [("white", 200), ("moon", 422)], ids=["an answer", "a refusal"]
)
def test_a_look_has_the_shape_that_is_promised(client: httpx.Client, ground: str, status: int) -> None:
    answer = client.post("/layers/look", json={"layering": {"ground": ground}})
    assert answer.status_code == status
    whole = client.get("/openapi.json").json()
    promised = whole["paths"]["/layers/look"]["post"]["responses"][str(status)]["content"]["application/json"]
    schema = promised["schema"]
    if "$ref" in schema:
        schema = whole["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    assert set(schema["required"]) <= set(answer.json()) <= set(schema["properties"])
