"""A sheet of proofs from end to end: printed, painted and photographed by the simulator, read and judged by Scumble."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from demo.camera import CAMERAS
from demo.colorimetry import lab
from demo.photograph import draw_shot, take
from demo.proofs import Mix, paint_sheet
from demo.sheet import fetch_proof_sheet
from tests.jobs.proofs.test_coverage import TRUE, believed
from typer.testing import CliRunner

from scumble.cli.main import app
from scumble.colour import delta_e_2000
from scumble.errors import CardError, InputError
from scumble.jobs.cards.card_file import load_card
from scumble.jobs.layering_request import parse_layering
from scumble.jobs.proofs.keep import keep_layering
from scumble.jobs.proofs.promise import layering_of
from scumble.paint import Film, Layering, paper_ground, predict_look
from scumble.store.shelf import open_shelf

pytestmark = pytest.mark.slow

FILMS = [
    ("white", {"classroom-deep-blue": 1}, 1.0),
    ("white", {"classroom-deep-blue": 1}, 0.25),
    ("white", {"classroom-magenta": 1}, 0.2),
    ("white", {"classroom-magenta": 1, "classroom-white": 4}, 1.0),
    ("white", {"classroom-warm-earth": 1}, 1.0),
    ("white", {"classroom-deep-blue": 1, "classroom-clear-yellow": 3}, 1.0),
    ("white", {"classroom-red": 1, "classroom-warm-earth": 1}, 1.0),
    ("black", {"classroom-warm-earth": 1}, 0.4),
    ("black", {"classroom-white": 1}, 0.3),
    ("grey", {"classroom-clear-yellow": 1}, 0.5),
]


@dataclass
class Painted:
    shelf: Path
    photograph: Path
    told: dict[str, Any]
    mixes: dict[str, Mix]
    shown: dict[str, np.ndarray]


def say(*words: str) -> Any:
    answer = CliRunner().invoke(app, [*words, "--json"], catch_exceptions=False)
    assert answer.exit_code == 0, answer.output
    return json.loads(answer.output)


@pytest.fixture(scope="module")
def painted(tmp_path_factory: pytest.TempPathFactory) -> Painted:
    folder = tmp_path_factory.mktemp("proofs")
    place, rng = folder / "shelf.sqlite", np.random.default_rng(31)
    with open_shelf(place) as shelf:
        shelf.save_paints(believed(rng, 0.05))
        for ground, parts, coats in FILMS:
            keep_layering(shelf, {"ground": {"paper": ground}, "films": [{"parts": parts, "coats": coats}]})
    sheet, told = fetch_proof_sheet(place, px_per_mm=6.0)
    card, mixes = paint_sheet(sheet, told["boxes"], rng)
    camera = CAMERAS["wide"]
    file, _ = take(card.seen_by(camera.weights()), sheet.px_per_mm, draw_shot(1900, rng), camera, rng)
    photograph = folder / "sheet.jpg"
    photograph.write_bytes(file)
    return Painted(place, photograph, told, mixes, _true_colours(card))


def _true_colours(card: Any) -> dict[str, np.ndarray]:
    """True mean colour of the painted boxes over white and black."""
    areas = [each for each in card.sheet.card_map["areas"] if each["ground"] in ("white", "black")]
    card.sheet.card_map["areas"], every = areas, card.sheet.card_map["areas"]
    seen = card.area_reflectance(inset_mm=4.0)
    card.sheet.card_map["areas"] = every
    return {name: np.asarray(lab(value)) for name, value in seen.items()}


def test_a_photographed_sheet_is_read_box_by_box(painted: Painted) -> None:
    told = say("proof", "read", str(painted.photograph), "--shelf", str(painted.shelf))
    assert len(told["proofs"]) == len(FILMS) and told["left_over"] == []
    by_area = {each["read"]["area"]: each["read"] for each in told["proofs"]}
    assert set(by_area) == set(painted.mixes)
    assert all(each["sheet"] == painted.told["serial"] for each in by_area.values())
    # The limit for a photograph without a target is 3 dE00 on average (issue of the reader, tests/demo).
    off = [
        float(delta_e_2000(np.array(by_area[name]["painted"]), painted.shown[name]))
        for name in by_area
        if name in painted.shown
    ]
    assert len(off) == 9 and np.mean(off) < 3.0
    # Ten proofs: that 8 or more lie inside is to be expected 99 times in 100 (binomial, 19 in 20).
    assert sum(each["within"] for each in by_area.values()) >= 8
    assert say("proof", "record", "--shelf", str(painted.shelf))["all"]["count"] == len(FILMS)
    with open_shelf(painted.shelf) as shelf:
        key = told["proofs"][0]["proof"]
        picture = shelf.proofs.load_picture(key, 1)
        assert picture is not None and picture.content == painted.photograph.read_bytes()
        assert "p1-white" in picture.outlines


def test_proofs_of_a_photograph_teach_a_paint(painted: Painted) -> None:
    """One photograph of one sheet: what it says of a tube is little, and never makes it worse by much."""
    say("proof", "read", str(painted.photograph), "--shelf", str(painted.shelf))
    done = say("proof", "sharpen", "classroom-magenta", "--shelf", str(painted.shelf))
    assert done["interval_now"] < done["interval_before"]
    with open_shelf(painted.shelf) as shelf:
        films = [
            [
                predict_look(Layering(paper_ground("white"), (Film(((each, 1.0),), coats),))).lab
                for each in (
                    shelf.load_paint("classroom-magenta", version=done["version_before"]),
                    shelf.load_paint("classroom-magenta"),
                    TRUE["classroom-magenta"],
                )
            ]
            for coats in (0.1, 0.5, 1.0)
        ]
    before, after = (np.mean([float(delta_e_2000(each[at], each[2])) for each in films]) for at in (0, 1))
    assert after < before + 0.5


def test_proofs_on_a_ground_of_their_own_are_read_from_marked_boxes(painted: Painted, tmp_path: Path) -> None:
    """The same photograph, its boxes drawn by hand: bare paper, bare black and two proofs by their short names."""
    told = say("proof", "read", str(painted.photograph), "--shelf", str(painted.shelf))
    with open_shelf(painted.shelf) as shelf:
        key = told["proofs"][0]["proof"]
        picture = shelf.proofs.load_picture(key, shelf.proofs.load(key).readings[-1].number)
        assert picture is not None
    of_area = {area: each["proof"] for area, each in painted.told["boxes"].items()}

    def box(area: str, what: str, over: str, name: str = "") -> dict[str, Any]:
        corners = np.array(picture.outlines[area])
        inner = corners.mean(axis=0) + 0.6 * (corners - corners.mean(axis=0))
        low, high = inner.min(axis=0), inner.max(axis=0)
        place = [*low.tolist(), *(high - low).tolist()]
        return {"box_px": place, "what": what, "over": over, "name": name}

    boxes = [box("white", "bare", "white"), box("black", "bare", "black")]
    boxes += [box("p5-white", "masstone", "white", of_area["p5-white"])]
    boxes += [box("p10-black", "thin", "black", of_area["p10-black"])]
    marks = tmp_path / "marks.json"
    marks.write_text(json.dumps({"boxes": boxes}))
    again = say(
        "proof", "read", str(painted.photograph), "--marks", str(marks), "--shelf", str(painted.shelf)
    )
    assert {each["proof"] for each in again["proofs"]} == {of_area["p5-white"], of_area["p10-black"]}
    for each in again["proofs"]:
        by_sheet = next(other for other in told["proofs"] if other["proof"] == each["proof"])
        off = delta_e_2000(np.array(each["read"]["painted"]), np.array(by_sheet["read"]["painted"]))
        # The light is seen at one paper only and not at fifty; a photograph may be 3 dE00 off either way.
        assert float(off) < 6.0
    marks.write_text(json.dumps({"boxes": [*boxes[:2], box("p5-white", "masstone", "white", "somebody")]}))
    with pytest.raises(InputError, match="at least one box that is a proof's"):
        say("proof", "read", str(painted.photograph), "--marks", str(marks), "--shelf", str(painted.shelf))


def test_a_sheet_of_proofs_is_no_card_and_a_card_no_sheet(painted: Painted) -> None:
    with pytest.raises(CardError, match="not a sample card"):
        load_card(painted.photograph)
    card = Path(__file__).parents[2] / "demo" / "cards" / "classroom-red.jpg"
    with pytest.raises(CardError, match="not a sheet of proofs"):
        say("proof", "read", str(card), "--shelf", str(painted.shelf))


def test_a_sheet_of_another_shelf_is_refused(painted: Painted, tmp_path: Path) -> None:
    with open_shelf(tmp_path / "other.sqlite") as shelf:
        shelf.save_paints(believed(np.random.default_rng(1)))
    with pytest.raises(InputError, match="a sheet that this shelf printed"):
        say("proof", "read", str(painted.photograph), "--shelf", str(tmp_path / "other.sqlite"))


def test_the_sheet_says_what_the_layering_asks_for(painted: Painted) -> None:
    with open_shelf(painted.shelf) as shelf:
        for area, each in painted.told["boxes"].items():
            layering = layering_of(shelf, parse_layering(each["layering"]))
            assert set(painted.mixes[area].parts) == {paint.key for paint, _ in layering.films[0].parts}
