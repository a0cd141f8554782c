"""One tube's page: everything on it comes from its optics and its card."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from tests.jobs.shelves import read_shelf

from scumble.errors import InputError
from scumble.jobs.shelf.shelf_pictures import draw_of_paint, fetch_card_picture
from scumble.jobs.tube.describe import describe_paint
from scumble.jobs.tube.show_paint import lying_ticks, show_paint
from scumble.store.shelf import Shelf, open_shelf


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("shelf") / "shelf.sqlite")


@pytest.fixture(scope="module")
def shelf(place: Path) -> Iterator[Shelf]:
    with open_shelf(place) as opened:
        yield opened


def test_what_was_read_stands_beside_what_is_predicted(shelf: Shelf) -> None:
    page = show_paint(shelf, "class-blue")
    assert len(page.pairs) == 16
    assert sum(pair.difference for pair in page.pairs) / 16 < 1.0
    for pair in page.pairs:
        assert pair.read.startswith("#") and pair.verdict and pair.coats > 0
    assert page.pairs[0].coats == pytest.approx(1.0, abs=0.15)


def test_the_picture_has_every_area_outlined(shelf: Shelf) -> None:
    page = show_paint(shelf, "class-blue")
    assert page.picture is not None
    areas = {area.area for area in page.picture.areas}
    assert {pair.area for pair in page.pairs} <= areas and "white" in areas
    assert (page.picture.width, page.picture.height) == (60 * len(areas), 300)
    assert page.picture.areas[0].points == "5,100 55,100 55,180 5,180"
    assert fetch_card_picture(shelf, "class-blue").media_type == "image/jpeg"  # type: ignore[union-attr]
    assert show_paint(shelf, "yellow-ochre").picture is None


def test_a_doubtful_paint_carries_its_doubt_everywhere(shelf: Shelf) -> None:
    page = show_paint(shelf, "class-blue")
    assert all("give or take" in swatch.lab for swatch in page.swatches)
    assert any(" to " in sentence.number for sentence, _ in page.sentences)
    assert 'class="haze"' in page.figures[1].svg


def test_every_sentence_has_swatches_to_look_at(shelf: Shelf) -> None:
    for key in ("class-blue", "yellow-ochre", "class-white"):
        for sentence, evidence in show_paint(shelf, key).sentences:
            assert evidence is not None, sentence.topic
            assert evidence.left.startswith("#") and evidence.right.startswith("#")


def test_figures_are_drawings_with_words(shelf: Shelf) -> None:
    for figure in show_paint(shelf, "yellow-ochre").figures:
        root = ElementTree.fromstring(figure.svg)
        assert "Yellow ochre" in (root.get("aria-label") or "")
        assert "nan" not in figure.svg


def test_a_white_has_no_ladder_and_says_why(shelf: Shelf) -> None:
    page = show_paint(shelf, "class-white")
    assert page.is_white and page.ladder == () and page.white_label == ""
    assert show_paint(shelf, "class-blue").white_label == "Class white"


def test_ticks_halve_the_film() -> None:
    ticks = lying_ticks()
    assert [tick.label for tick in ticks][:3] == ["1 coat", "1/2 coat", "1/4 coat"]
    steps = {round(b.percent - a.percent, 1) for a, b in pairwise(ticks)}
    assert len(steps) == 1


def test_cautions_by_pigment(shelf: Shelf) -> None:
    assert "cadmium" in show_paint(shelf, "cadmium-red").cautions[0]
    assert show_paint(shelf, "yellow-ochre").cautions == ()
    assert show_paint(shelf, "yellow-ochre").always


def test_an_unknown_tube_lists_near_names(shelf: Shelf) -> None:
    with pytest.raises(InputError, match=r"paint: saw 'yellow-oker'; .* Did you mean .*yellow-ochre"):
        show_paint(shelf, "yellow-oker")


def test_drawings_follow_the_stamp(shelf: Shelf) -> None:
    svg, stamp = draw_of_paint(shelf, "class-blue", "hanging")
    assert svg.startswith("<svg") and stamp == show_paint(shelf, "class-blue").stamp
    assert draw_of_paint(shelf, "class-blue", "hanging")[0] is svg


def test_the_terminal_says_the_same_as_the_page(shelf: Shelf, place: Path) -> None:
    said = describe_paint("class-blue", place)["sentences"]
    assert said == [str(sentence) for sentence, _ in show_paint(shelf, "class-blue").sentences]
