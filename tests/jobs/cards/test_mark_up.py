"""Marks of a chart as a JSON file says them."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from demo.target import reference_file
from hypothesis import given
from hypothesis import strategies as some
from tests.card.marked.test_marked_by_target import Scene, scene

from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.jobs.cards.colour_aids import ColourWords
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.mark_up import MarkUp, load_chart, load_mark_up, marked_boxes, read_chart
from scumble.jobs.cards.tray import CardTray
from scumble.jobs.colour_request import ColourRequest
from scumble.jobs.layering_request import parse_model
from scumble.paint import CardReadings
from scumble.store.shelf import open_shelf

BARE = {"box_px": [0, 0, 50, 50], "what": "bare"}


def test_names_are_made_up_and_stay_unique() -> None:
    thin = {"box_px": [0, 0, 9, 9], "what": "thin", "stroke": "wash"}
    marks = MarkUp.model_validate({"boxes": [BARE, BARE, thin, {**thin, "over": "black"}, thin]})
    assert [box.name for box in marked_boxes(marks)] == [
        "white",
        "white 2",
        "wash over white",
        "wash over black",
        "wash over white 2",
    ]
    assert {box.film for box in marked_boxes(marks)[2:]} == {"wash"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("no json", "a JSON file"),
        ('{"boxes": []}', "at least 1 item"),
        ('{"boxes": [{"box_px": [0, 0, 5], "what": "bare"}]}', r"marks\.boxes\.0\.box_px\.3"),
        ('{"boxes": [{"box_px": [0, 0, 5, 5], "what": "varnish"}]}', "'masstone'"),
        ('{"boxes": [{"box_px": [0, 0, 5, 5], "what": "bare", "colour": 1}]}', "Check its spelling"),
        ('{"boxes": [{"box_px": [0, 0, 5, -5], "what": "bare"}]}', "greater than or equal to 0"),
    ],
)
def test_files_that_are_no_marks_are_refused(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "marks.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=said):
        load_mark_up(path)


def test_a_missing_file_and_a_paper_that_is_none_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="a file that can be read"):
        load_mark_up(tmp_path / "nowhere.json")
    marks = MarkUp.model_validate({"boxes": [BARE], "paper_lab": [10, 0, 0]})
    with pytest.raises(InputError, match=r"L\* from 40 to 100"):
        read_chart(b"", marks)


@given(some.recursive(some.none() | some.floats() | some.text(max_size=5), some.lists, max_leaves=8))
def test_any_json_is_marks_or_refused_in_words(data: object) -> None:
    for whole in (data, {"boxes": data}, {"boxes": [{"box_px": data, "what": "bare"}]}):
        try:
            marks = parse_model(MarkUp, whole, field="marks")
        except InputError:
            continue
        assert json.loads(marks.model_dump_json())["boxes"]


def boxes_of(painted: Scene) -> list[dict[str, object]]:
    """The boxes as the page sends them."""
    what = {"bare": "bare", "full": "masstone"}
    return [
        {
            "box_px": [*box.corner_px, *box.size_px],
            "what": what.get(box.film, "tint" if box.white_parts else "thin"),
            "over": box.ground,
            "name": box.name,
            **({"white_parts": box.white_parts} if box.white_parts else {}),
            **({"stroke": box.film} if "wash" in box.film else {}),
        }
        for box in painted.boxes
    ]


@pytest.fixture(scope="module")
def painted() -> Scene:
    return scene("warm-earth")


def test_a_chart_is_led_by_a_target_that_lies_beside_it(painted: Scene, tmp_path: Path) -> None:
    picture, reference = tmp_path / "chart.jpg", tmp_path / "target.txt"
    picture.write_bytes(painted.picture)
    reference.write_text(reference_file(measured_error=0.0), encoding="utf-8")
    marks = MarkUp.model_validate({"boxes": boxes_of(painted)})
    led, kept, remarks = load_chart(picture, marks, ColourRequest(reference=reference))
    plain, _, _ = load_chart(picture, marks)
    assert any("Colours are those of the reference target" in said for said in remarks)
    assert set(kept.outlines) == {box.name for box in painted.boxes}

    def off(readings: CardReadings) -> float:
        white = white_point("D65", 2)
        pairs = [(each.values, painted.true[each.area]) for each in readings.painted()]
        return float(np.mean([delta_e_2000(*(xyz_to_lab(xyz, white) for xyz in pair)) for pair in pairs]))

    assert off(led) < 1.0 and off(led) < 0.5 * off(plain)


def test_a_paper_is_measured_once(painted: Scene, tmp_path: Path) -> None:
    (tmp_path / "chart.jpg").write_bytes(painted.picture)
    marks = MarkUp.model_validate({"boxes": boxes_of(painted), "paper_lab": [94, 0, 0]})
    with pytest.raises(InputError, match="in the marks or beside them"):
        load_chart(tmp_path / "chart.jpg", marks, ColourRequest(paper="94 0 0", paper_is_lab=True))
    alone = MarkUp.model_validate({"boxes": boxes_of(painted)})
    read, _, _ = load_chart(tmp_path / "chart.jpg", alone, ColourRequest(paper="80 0 0", paper_is_lab=True))
    assert read.bare()["white"].values[1] == pytest.approx(56.7, rel=0.01)


def test_a_chart_on_the_tray_is_led_by_what_is_chosen(painted: Scene, tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        desk = CardDesk(shelf, CardTray(tmp_path / "tray"))
        try:
            target = desk.aids.add(reference_file(measured_error=0.0).encode(), "target.txt")
            card = desk.drop(painted.picture, "chart.jpg", "image/jpeg")
            assert "corner mark" in desk.wait(card.key, timeout_s=60).error
            marks = MarkUp.model_validate({"boxes": boxes_of(painted)})
            desk.check_marks(card.key, marks)
            desk.tray.change(card.key, marks=marks)
            desk.read(card.key)
            before = desk.wait(card.key, timeout_s=60).read
            assert desk.colour_all_by(ColourWords(target=target.key)) == 1
            after = desk.wait(card.key, timeout_s=60).read
        finally:
            desk.close()
    assert before is not None and after is not None and before.route is not None and after.route is not None
    assert before.route.kind == "none" and after.route.kind == "target"
    assert "By the target that lies in the picture, target.txt." in after.route.found
    assert np.median([area.bound_de00 for area in after.areas]) < np.median(
        [area.bound_de00 for area in before.areas]
    )
