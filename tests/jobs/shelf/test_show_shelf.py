"""The wall: found by words, hung in order, worked out once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.jobs.shelves import illustrative_shelf, read_shelf

from scumble.errors import InputError
from scumble.jobs.shelf import hung_strip as wall
from scumble.jobs.shelf.paint_strip import BAR_BLACK, draw_hanging_strip, draw_lying_strip
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.jobs.white import white_for
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import Shelf, open_shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("shelf") / "shelf.sqlite")) as opened:
        yield opened


def labels(shelf: Shelf, **asked: str) -> list[str]:
    return [strip.key for strip in show_shelf(shelf, **asked).strips]


def test_every_tube_hangs_once_with_words_and_a_mark(shelf: Shelf) -> None:
    page = show_shelf(shelf)
    assert len({strip.key for strip in page.strips}) == page.total == len(starter_shelf())
    assert page.only_illustrative
    for strip in page.strips:
        assert strip.label in strip.words and strip.mark in strip.words and len(strip.stamp) == 12


def test_hues_run_from_yellow_over_red_to_green_and_greys_come_last(shelf: Shelf) -> None:
    keys = labels(shelf)
    order = [
        "arylide-yellow-light",
        "cadmium-orange",
        "pyrrole-red",
        "quinacridone-magenta",
        "ultramarine-blue",
    ]
    order += ["phthalo-green-blue-shade", "titanium-white", "lamp-black"]
    places = [keys.index(key) for key in order]
    assert places == sorted(places)


def test_the_other_orders(shelf: Shelf) -> None:
    by_opacity, by_strength = labels(shelf, order="opacity"), labels(shelf, order="strength")
    assert (
        by_opacity.index("quinacridone-rose")
        < by_opacity.index("cobalt-blue")
        < by_opacity.index("red-oxide")
    )
    assert by_strength.index("phthalo-blue-red-shade") < by_strength.index("green-earth")
    assert by_strength[-1].endswith("white")
    names = [strip.label.casefold() for strip in show_shelf(shelf, order="name").strips]
    assert names == sorted(names)


@pytest.mark.parametrize(
    ("find", "key"),
    [
        ("PB15:3", "phthalo-blue-green-shade"),
        ("pb15", "phthalo-blue-red-shade"),
        ("nickel azo", "nickel-azo-yellow"),
        ("transparent warm yellow", "nickel-azo-yellow"),
        ("OPAQUE illustrative green", "chromium-oxide-green"),
        ("weak", "green-earth"),
    ],
)
def test_words_find_what_answers_to_all_of_them(shelf: Shelf, find: str, key: str) -> None:
    found = labels(shelf, find=find)
    assert key in found and len(found) < show_shelf(shelf).total


def test_transparent_does_not_find_semi_transparent_but_semi_finds_both(shelf: Shelf) -> None:
    assert {strip.mark for strip in show_shelf(shelf, find="transparent").strips} == {"transparent"} | {
        strip.mark for strip in show_shelf(shelf).strips if strip.key.startswith("transparent")
    }
    assert {strip.mark for strip in show_shelf(shelf, find="semi").strips} == {
        "semi-transparent",
        "semi-opaque",
    }


def test_nothing_found_is_no_fault_but_an_unknown_order_is(shelf: Shelf) -> None:
    assert show_shelf(shelf, find="zebra").strips == ()
    with pytest.raises(InputError, match="order: saw 'size'; allowed is hue, opacity, strength, name, price"):
        show_shelf(shelf, order="size")


def test_a_strip_is_worked_out_once_and_anew_when_saved_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    whole = wall.predict_behaviour
    monkeypatch.setattr(
        wall, "predict_behaviour", lambda paint, **more: asked.append(paint.key) or whole(paint, **more)
    )
    with open_shelf(read_shelf(tmp_path / "shelf.sqlite")) as shelf:
        before = show_shelf(shelf)
        count = len(asked)
        assert count == before.total and not before.only_illustrative
        show_shelf(shelf, find="blue")
        assert len(asked) == count
        blue = shelf.load_paint("class-blue")
        shelf.save_paint(replace(blue, pigments=("PB29",)))
        after = show_shelf(shelf)
        assert asked[count:] == ["class-blue"]
        stamps = [next(s.stamp for s in page.strips if s.key == "class-blue") for page in (before, after)]
        assert stamps[0] != stamps[1]


def test_a_measured_white_is_mixed_with_before_an_illustrative_one(tmp_path: Path) -> None:
    with open_shelf(read_shelf(tmp_path / "shelf.sqlite")) as shelf:
        entries = shelf.load_entries()
        ochre = next(entry for entry in entries if entry.key == "yellow-ochre")
        chosen = white_for(ochre, entries)
        assert chosen is not None and chosen.key == "class-white"
        assert white_for(replace(ochre, binder="oil"), entries) is None  # type: ignore[arg-type]


def test_strips_are_small_and_begin_with_the_masstone() -> None:
    shelf = {paint.key: paint for paint in starter_shelf()}
    for paint in shelf.values():
        hanging = draw_hanging_strip(paint, shelf["titanium-white"])
        assert len(hanging.encode()) < 15_000
        assert 'fill="#e7e7e7"' in hanging and 'fill="#191919"' in hanging
        assert len(draw_lying_strip(paint, None).encode()) < 15_000
    assert BAR_BLACK == 0.01
