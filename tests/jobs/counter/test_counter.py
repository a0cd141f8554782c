"""At the counter: answers that a person behind it would give, from behaviour alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.counter.asks import ASKS, COLOURS
from scumble.jobs.counter.page import CounterPage, show_counter
from scumble.jobs.counter.rank_tubes import rank_tubes
from scumble.paint import Binder
from scumble.paint.caution import pigment_families
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import Shelf, open_shelf
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("shelf") / "shelf.sqlite")) as opened:
        yield opened


@pytest.mark.parametrize("asked", [name for name in ASKS if name != "light"])
def test_three_tubes_each_with_strip_and_reason(shelf: Shelf, asked: str) -> None:
    page = show_counter(shelf, asked)
    assert len({tube.key for tube in page.picked}) == 3
    for tube in page.picked:
        assert tube.reasons and tube.evidence is not None and tube.strip_words
        assert any(sentence.number for sentence in tube.reasons)
    assert len({tube.pigments for tube in page.picked}) == 3
    assert "safety data sheet" in " ".join(page.notes)


def test_what_covers_hides_and_what_glazes_does_not(shelf: Shelf) -> None:
    """*Common practice, no source:* cadmiums and earths of iron cover; phthalocyanines and quinacridones glaze."""
    cover = [tube.strip.key for _, tube in rank_tubes(shelf, "cover")]
    glaze = [tube.strip.key for _, tube in rank_tubes(shelf, "glaze")]
    assert {"cadmium-red", "cadmium-yellow", "red-oxide", "chromium-oxide-green"} <= set(cover)
    assert {"phthalo-blue-green-shade", "quinacridone-rose", "nickel-azo-yellow"} <= set(glaze)
    assert not {"quinacridone-rose", "nickel-azo-yellow"} & set(cover)
    assert not set(glaze) & {"cadmium-red", "titanium-white", "chromium-oxide-green", "yellow-ochre"}


def test_over_black_only_what_is_seen_there(shelf: Shelf) -> None:
    found = [tube.strip.key for _, tube in rank_tubes(shelf, "black")]
    assert "cadmium-yellow" in found and "titanium-white" in found
    assert not {"phthalo-green-blue-shade", "dioxazine-violet", "lamp-black"} & set(found)


def test_a_class_gets_nothing_that_asks_for_care(shelf: Shelf) -> None:
    found = [tube for _, tube in rank_tubes(shelf, "class")]
    assert len(found) > 10
    for tube in found:
        assert set(pigment_families(tube.strip.pigments)) <= {"titanium dioxide"}
        assert tube.strip.pigments and tube.binder is not Binder.OIL
    assert "says its label" in show_counter(shelf, "class").notes[0]


@pytest.mark.parametrize("colour", COLOURS)
def test_an_answer_is_narrowed_to_a_colour(shelf: Shelf, colour: str) -> None:
    page = show_counter(shelf, "cover", colour=colour)
    assert page.colour == colour and page.choice >= 1
    for tube in page.picked:
        assert colour in tube.strip_words or colour in tube.label.casefold()


def test_without_a_colour_the_three_lie_apart(shelf: Shelf) -> None:
    hues = [tube.strip.hue for tube in _picked_tubes(shelf, show_counter(shelf, "tints"))]
    chromatic = sorted(hue for grey, hue in hues if not grey)
    assert all(b - a >= 25.0 for a, b in pairwise(chromatic))


def _picked_tubes(shelf: Shelf, page: CounterPage) -> list:
    ranked = {tube.strip.key: tube for _, tube in rank_tubes(shelf, page.asked)}
    return [ranked[tube.key] for tube in page.picked]


def test_only_rated_tubes_hang_in_a_bright_room(tmp_path: Path) -> None:
    few = [p for p in starter_shelf() if p.key in ("cobalt-blue", "alizarin-crimson", "raw-umber")]
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        own.save_paints(few)
        assert "light" not in show_counter(own).asks, "nobody has rated anything"
        assert show_counter(own, "light").picked == ()
        for key, rating in (("cobalt-blue", "I"), ("alizarin-crimson", "IV")):
            said = Lightfastness(LightScale.ASTM, rating, "the label")
            own.tubes.save(key, TubeFacts(lightfastness=(said,), stock=3))
        assert "light" in show_counter(own).asks
        (tube,) = show_counter(own, "light").picked
        assert tube.key == "cobalt-blue" and "lightfastness ASTM I" in tube.facts
        assert "3 on the shelf" in tube.facts


def test_what_is_sold_out_or_discontinued_is_not_offered(tmp_path: Path) -> None:
    few = [p for p in starter_shelf() if p.key in ("cadmium-red", "cadmium-yellow", "red-oxide")]
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        own.save_paints(few)
        own.tubes.save("cadmium-red", TubeFacts(stock=0))
        own.tubes.save("cadmium-yellow", TubeFacts(discontinued=True))
        assert [tube.key for tube in show_counter(own, "cover").picked] == ["red-oxide"]


def test_kinds_of_paint_are_told_apart(tmp_path: Path) -> None:
    few = [p for p in starter_shelf() if p.key in ("cadmium-red", "titanium-white")]
    oils = [replace(p, key=f"{p.key}-oil", binder=Binder.OIL) for p in few]
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        own.save_paints([*few, *oils])
        assert show_counter(own).binders == ("acrylic", "oil")
        assert {tube.binder for tube in show_counter(own, "cover", binder="oil").picked} == {"oil"}
        assert show_counter(own, "class", binder="oil").picked == ()


@pytest.mark.parametrize(
    ("asked", "options", "said"),
    [
        ("fly", {}, "question: saw 'fly'; allowed is cover, glaze, tints"),
        ("cover", {"colour": "mauve"}, "colour: saw 'mauve'; allowed is yellow"),
        ("cover", {"binder": "egg"}, "binder: saw 'egg'; allowed is acrylic"),
    ],
)
def test_what_cannot_be_asked_is_said(shelf: Shelf, asked: str, options: dict[str, str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        show_counter(shelf, asked, **options)


def test_an_empty_shelf_has_questions_but_no_answers(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        assert show_counter(own).total == 0
        assert show_counter(own, "cover").picked == ()
