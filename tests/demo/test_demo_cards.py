"""The committed photographs: small enough, complete, and in accord with the printed card and with the truth file."""

import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from demo.brush import strokes_of
from demo.camera import CAMERAS
from demo.inks import GROUNDS
from demo.light import film_response
from demo.paints import TUBES
from demo.photograph import transform
from demo.readings import FULL_CARD
from demo.sheet import fetch_sheet, serial_of
from PIL import Image

DEMO = Path(__file__).parents[2] / "demo"
TRUTH = json.loads((DEMO / "truth.json").read_text())
SHELF = json.loads((DEMO / "shelf.json").read_text())


@cache
def sheet(layout="full"):
    return fetch_sheet(layout, px_per_mm=4.0)


def test_the_map_is_the_card_we_know():
    areas = {
        (area["area"], area["film"], area["paint_parts"], area["white_parts"], area["ground"])
        for area in sheet().card_map["areas"]
        if area["film"] != "bare"
    }
    assert areas == {tuple(area) for area in FULL_CARD if area.film != "bare"}
    bare = {area["area"] for area in sheet().card_map["areas"] if area["film"] == "bare"}
    assert bare == set(GROUNDS)


def test_grounds_are_printed_where_the_map_says():
    for area in sheet().card_map["areas"]:
        x, y, width, height = (side * 4.0 for side in area["box_mm"])
        inside = (slice(int(y) + 3, int(y + height) - 3), slice(int(x) + 3, int(x + width) - 3))
        name = area["ground"]
        expected = 1.0 if name == "black" else 0.0
        assert np.all(sheet().coverage[inside] == pytest.approx(expected, abs=0.01)), area["area"]
        seen = set(np.unique(sheet().ground[inside]))
        assert seen == {0 if name == "black" else list(GROUNDS).index(name)}, area["area"]


def test_the_card_leaves_room_for_a_note():
    assert set(sheet().notes_mm) == {"Tube", "Pigments", "Binder"}


def test_strokes_cross_their_grounds_in_one_go():
    films = [stroke.film for stroke in strokes_of(sheet().card_map)]
    assert sorted(films) == sorted({area.film for area in FULL_CARD} - {"bare"})


def test_the_shelf_names_every_card():
    assert SHELF["white"] in {paint["key"] for paint in SHELF["paints"]}
    assert [paint["key"] for paint in SHELF["paints"]] == [tube.key for tube in TUBES]
    for paint in SHELF["paints"]:
        path = DEMO / paint["photo"]
        assert path.stat().st_size < 450_000
        with Image.open(path) as picture:
            assert list(picture.size) == TRUTH["cards"][paint["key"]]["photograph"]["size_px"]
            assert 2000 <= max(picture.size) <= 2400
            assert picture.info["icc_profile"]


def test_full_films_are_near_a_nominal_coat():
    for card in TRUTH["cards"].values():
        assert abs(card["full_film_nominal_coats"] - 1) <= 0.15


@pytest.mark.parametrize(
    "key", ["classroom-white", "classroom-deep-blue", "classroom-warm-earth", "classroom-red"]
)
def test_the_photograph_shows_the_truth(key):
    """Chromaticity and, within the unevenness of the light, lightness of every area, against the bare white."""
    card = TRUTH["cards"][key]
    camera = next(known for known in CAMERAS.values() if known.name == card["photograph"]["camera"])
    with Image.open(DEMO / "cards" / f"{key}.jpg") as picture:
        linear = decode(np.asarray(picture))
    (layout,) = (paint["layout"] for paint in SHELF["paints"] if paint["key"] == key)
    areas = {area["area"]: area for area in sheet(layout).card_map["areas"]}
    paper = mean_inside(linear, card, areas["white"]) / camera.linear(GROUNDS["white"])
    for name, area in areas.items():
        seen = mean_inside(linear, card, area) / paper
        expected = camera.linear(true_reflectance(card, area))
        assert seen.sum() == pytest.approx(expected.sum(), rel=0.3, abs=0.01), name
        np.testing.assert_allclose(seen / seen.sum(), expected / expected.sum(), atol=0.035, err_msg=name)


def decode(codes):
    """Linear channels (IEC 61966-2-1)."""
    share = codes / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def mean_inside(linear, card, area):
    x, y, width, height = area["box_mm"]
    steps = np.linspace(0.3, 0.7, 25)
    grid = np.stack(np.meshgrid(x + width * steps, y + height * steps), axis=-1)
    places = np.round(transform(np.array(card["photograph"]["mm_to_px"]), grid)).astype(int)
    return linear[places[..., 1], places[..., 0]].mean(axis=(0, 1))


def true_reflectance(card, area):
    ground = GROUNDS[area["ground"]]
    if area["film"] == "bare":
        return ground
    white, full = TRUTH["cards"][SHELF["white"]], card["full_film_nominal_coats"]
    parts = card["white_parts"].get(area["film"], 0.0)
    coats = card["areas_own_coats"][area["area"]] * full
    depths = [
        coats * (np.array(card[spectrum]) + parts * np.array(white[spectrum])) / (1 + parts)
        for spectrum in ("absorption_per_nominal_coat", "scattering_per_nominal_coat")
    ]
    return film_response(*depths).over(ground)


def test_every_card_has_a_serial_of_its_own():
    from scumble.card.sheet.serial import known_serial

    serials = [serial_of(number) for number in range(7000, 7000 + len(TUBES))]
    assert len(set(serials)) == len(TUBES)
    assert [known_serial(serial) for serial in serials] == serials


def test_the_photographs_show_their_serials():
    from scumble.card.read import read_photograph

    for number in (0, 5):
        seen = read_photograph(DEMO / "cards" / f"{TUBES[number].key}.jpg")
        assert seen.readings.serial == serial_of(7000 + number)
