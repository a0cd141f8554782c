"""Marks of a chart as a JSON file says them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from scumble.errors import InputError
from scumble.jobs.cards.mark_up import MarkUp, load_mark_up, marked_boxes, read_chart
from scumble.jobs.layering_request import parse_model

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
