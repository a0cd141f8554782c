"""A camera's raw file from the painted card to the shelf: at the terminal, on the page, and with its colours right."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import httpx
import numpy as np
import pytest
from demo.conditions import Mishaps, draw_conditions, draw_session
from demo.painting import lay_card
from demo.paints import TUBES
from demo.sheet import fetch_sheet
from demo.snapshot import page_of, photograph_raw, true_colours
from fastapi import FastAPI
from tests.cli.test_terminal import scumble
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.web.app import create_app

WHITE = white_point("D65", 2)

PHONE_LIMIT = 3.0
"""Mean dE00 that is asked of a phone without a target; a raw file must not be worse."""


@pytest.fixture(scope="module")
def shot() -> tuple[bytes, dict[str, np.ndarray]]:
    """A quick card of the red, as a measured sensor counts it under daylight, and its true colours."""
    sheet = fetch_sheet("quick", px_per_mm=6.0)
    red = next(tube for tube in TUBES if tube.key == "classroom-red")
    card = lay_card(sheet, red, np.random.default_rng(31))
    rng = np.random.default_rng(32)
    session = replace(
        draw_session("phone", rng), size_px=(1200, 1600), sensor="mosaic", blend=(("D65", 1.0),)
    )
    drawn = draw_conditions(session, page_of(card), rng)
    calm = replace(drawn.falling, glare=None, shadow=None, flare=0.004)
    conditions = replace(drawn, mishaps=Mishaps(0, "", 0, 20.0), falling=calm)
    return photograph_raw(card, conditions, 33).file, true_colours(card)


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    return create_app(read_shelf(tmp_path_factory.mktemp("raw") / "shelf.sqlite"))


@pytest.fixture(scope="module")
def visitor(app: FastAPI) -> Iterator[httpx.Client]:
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def off(read: dict[str, np.ndarray], true: dict[str, np.ndarray]) -> float:
    """Mean difference of painted areas [dE00]."""
    painted = [area for area in read if area not in ("white", "black", "yellow")]
    assert len(painted) >= 5
    return float(
        np.mean(
            [delta_e_2000(xyz_to_lab(read[area], WHITE), xyz_to_lab(true[area], WHITE)) for area in painted]
        )
    )


def test_at_the_terminal(tmp_path: Path, shot: tuple[bytes, dict[str, np.ndarray]]) -> None:
    file, true = shot
    (tmp_path / "red.dng").write_bytes(file)
    answer = scumble(tmp_path, "read", "red.dng", "-l", "Raw red", "--pigment", "PR254", "--json")
    assert answer.returncode == 0, answer.stderr
    read = {area["area"]: np.array(area["read"]) for area in json.loads(answer.stdout)["areas"]}
    assert off(read, true) < PHONE_LIMIT


def test_on_the_page(visitor: httpx.Client, app: FastAPI, shot: tuple[bytes, dict[str, np.ndarray]]) -> None:
    file, true = shot
    visitor.get("/cards")
    answer = visitor.post(
        "/cards", files=[("files", ("red.dng", file))], headers={"accept": "application/json"}
    )
    (key,) = answer.json()["keys"]
    stands = app.state.card_desk.wait(key, timeout_s=60)
    assert stands.read is not None, stands.error
    read = {each.area: each.values for each in stands.read.readings.readings}
    assert off(read, true) < PHONE_LIMIT
    text = visitor.get(f"/cards/{key}").text
    assert "By the camera&#39;s raw values and its own matrix." in text
    assert visitor.get(f"/cards/{key}/picture.jpg").content.startswith(b"\xff\xd8\xff")
    kept = visitor.post(
        f"/cards/{key}", data={"label": "Raw red", "pigments": "PR254", "binder": "acrylic", "do": "keep"}
    )
    assert kept.status_code == 303
    page = visitor.get("/paints/raw-red").text
    assert "camera raw, " in page and "/paints/raw-red/card.jpg" in page
    shown = visitor.get("/paints/raw-red/card.jpg")
    assert shown.headers["content-type"] == "image/jpeg" and shown.content.startswith(b"\xff\xd8\xff")
    assert visitor.get("/paints/raw-red/card").content == file
