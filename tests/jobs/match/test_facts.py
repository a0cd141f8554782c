"""Prices, a floor under lightfastness, and colours from a photograph, as wishes of a match."""

from __future__ import annotations

import io
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from scumble.colour import srgb_to_xyz, white_point, xyz_to_lab
from scumble.errors import CardError, InputError
from scumble.jobs.match.facts import bar_fading, currency_of, prices_per_ml
from scumble.jobs.match.match_colour import MatchRequest, match_with, parse_wishes, say_match
from scumble.jobs.match.picture import colours_of_picture, target_of_picture
from scumble.jobs.match.target import parse_target
from scumble.paint.pigment import starter_shelf
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts

TUBES = starter_shelf()[::6]


def rated(scale: LightScale, rating: str) -> TubeFacts:
    return TubeFacts(lightfastness=(Lightfastness(scale, rating, "the label"),))


def priced(price: str, currency: str = "EUR", size_ml: float | None = 40.0) -> TubeFacts:
    return TubeFacts(price=Decimal(price), currency=currency, size_ml=size_ml)


def ask(**changes: object) -> list[dict[str, object]]:
    facts = changes.pop("facts", {})
    request = MatchRequest("lab 60 10 25", **changes)  # type: ignore[arg-type]
    return list(match_with(request, TUBES, facts))  # type: ignore[arg-type]


def test_a_floor_bars_what_fades_and_what_nobody_rated() -> None:
    first, second, third, *_ = TUBES
    facts = {first.key: rated(LightScale.ASTM, "I"), second.key: rated(LightScale.ASTM, "III")}
    barred = bar_fading(TUBES[:3], facts, "ASTM II")
    assert barred == {second.key: "rated below ASTM II", third.key: "nobody has rated it by ASTM D4303"}
    assert set(bar_fading(TUBES[:3], facts, "astm II", unrated="in")) == {second.key}
    wool = {first.key: rated(LightScale.BLUE_WOOL, "8"), second.key: rated(LightScale.BLUE_WOOL, "5")}
    assert set(bar_fading(TUBES[:2], wool, "Blue Wool 6")) == {second.key}
    assert bar_fading(TUBES, facts, "") == {}


@pytest.mark.parametrize("floor", ["II", "ASTM VI", "Blue Wool 9", "bright"])
def test_a_bad_floor_is_named(floor: str) -> None:
    with pytest.raises(InputError, match=r"lightfastness: saw .*allowed is ASTM I to V, or Blue Wool 1 to 8"):
        bar_fading(TUBES, {}, floor)


def test_a_floor_that_leaves_nothing_says_why() -> None:
    with pytest.raises(InputError, match=r"nobody has rated it by ASTM D4303.*allow one again"):
        ask(lightfastness="ASTM II")


def test_only_rated_tubes_are_used() -> None:
    facts = {paint.key: rated(LightScale.ASTM, "I") for paint in TUBES[:5]}
    answer = ask(lightfastness="ASTM II", facts=facts)[-1]
    allowed = {paint.key for paint in TUBES[:5]}
    used = {
        key
        for found in answer["routes"].values()  # type: ignore[attr-defined]
        for recipe in found["recipes"]
        for film in recipe["films"]
        for key in film["parts"]
    }
    assert used and used <= allowed


def test_prices_are_by_volume_and_in_one_currency() -> None:
    facts = {"a": priced("8.00"), "b": priced("3.00", size_ml=None), "c": TubeFacts()}
    assert prices_per_ml(facts) == {"a": 0.2}
    assert currency_of(facts) == "EUR"
    with pytest.raises(InputError, match="price: saw 'EUR, USD'; allowed is prices in one currency"):
        prices_per_ml({"a": priced("1"), "b": priced("1", "USD")})


def test_cost_is_weighed_only_where_prices_are_known() -> None:
    wishes = parse_wishes(["cover"], per_cost=5.0)
    with pytest.raises(InputError, match=r"cost: saw 'no prices'.*Put them on the shelf first"):
        ask(wishes=wishes)
    facts = {paint.key: priced("4.00") for paint in TUBES}
    answer = ask(wishes=wishes, facts=facts)[-1]
    recipe = answer["routes"]["cover"]["recipes"][0]  # type: ignore[index]
    assert recipe["cost"] == pytest.approx(0.1 * recipe["passes"])


def test_routes_are_compared_in_numbers() -> None:
    answer = ask()[-1]
    rows = {row["route"]: row for row in answer["compared"]}  # type: ignore[attr-defined]
    assert {"cover", "glaze", "underpaint"} <= set(rows)
    for name, row in rows.items():
        best = answer["routes"][name]["recipes"][0]  # type: ignore[index]
        assert row["brightness"] == pytest.approx(best["look"]["lab"][0], abs=0.06)
        assert (row["passes"], row["mixings"], row["slips"]) == (
            best["passes"],
            best["mixings"],
            best["slips"],
        )
    said = "\n".join(say_match(answer))
    assert "The best of each, side by side" in said
    assert "corrections to reckon with" in said


@pytest.mark.parametrize(
    ("text", "lab"),
    [("5R 4/14", [41.2, 62.0, 33.0]), ("munsell 10G 6/6", [61.7, -31.0, 9.0]), ("N 5", [51.6, 0.0, 0.0])],
)
def test_munsell_notation_is_a_colour(text: str, lab: list[float]) -> None:
    """Lightness from value by ASTM D1535; the rest roughly, *from memory*."""
    wanted = parse_target(text, lambda _name: TUBES[0]).lab
    assert wanted[0] == pytest.approx(lab[0], abs=1.0)
    assert wanted[1:] == pytest.approx(lab[1:], abs=9.0)


@pytest.mark.parametrize("text", ["12R 4/14", "5R 11/2", "5R 4/80"])
def test_a_bad_notation_is_named(text: str) -> None:
    with pytest.raises(InputError, match="colour: saw"):
        parse_target(text, lambda _name: TUBES[0])


def picture(tmp_path: Path) -> Path:
    shown = np.full((500, 600, 3), 128, np.uint8)
    shown[:250, :300] = (200, 60, 40)
    shown[250:, 300:] = (30, 80, 160)
    path = tmp_path / "sketch.png"
    Image.fromarray(shown).save(path)
    return path


def test_a_point_of_a_photograph_is_a_colour(tmp_path: Path) -> None:
    path = picture(tmp_path)
    target = target_of_picture(path, 100, 100, side_px=21)
    expected = xyz_to_lab(srgb_to_xyz(np.array([200, 60, 40]) / 255.0), white_point("D65", 2))
    assert target.lab == pytest.approx(expected, abs=0.05)
    assert target.label == "sketch.png at 100, 100"
    # Averaged in light, not in code values: half black and half white is lighter than the middle grey.
    half = np.zeros((400, 400, 3), np.uint8)
    half[:, ::2] = 255
    file = io.BytesIO()
    Image.fromarray(half).save(file, "PNG")
    assert target_of_picture(file.getvalue(), 200, 200, side_px=40).lab[0] == pytest.approx(76.1, abs=0.2)


def test_a_point_outside_the_photograph_is_named(tmp_path: Path) -> None:
    path = picture(tmp_path)
    with pytest.raises(InputError, match="at: saw '600,10'; allowed is a point from 0,0 to 599,499"):
        target_of_picture(path, 600, 10)
    with pytest.raises(InputError, match="area: saw '0'"):
        target_of_picture(path, 10, 10, side_px=0)
    (tmp_path / "x.png").write_bytes(b"nothing")
    with pytest.raises(CardError):
        target_of_picture(tmp_path / "x.png", 1, 1)


def test_the_colours_of_a_picture_come_commonest_first(tmp_path: Path) -> None:
    labs = colours_of_picture(picture(tmp_path), count=6)
    assert len(labs) >= 3
    grey = xyz_to_lab(srgb_to_xyz(np.full(3, 128 / 255.0)), white_point("D65", 2))
    assert labs[0] == pytest.approx(grey, abs=0.5)
