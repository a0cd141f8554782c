"""The guide behind the cards and the blank strips: on the page, in words, and mixes that come out as the card says."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from tests.jobs.printed import bounds, dark_run_mm, fonts_embedded, page_sizes_mm, render, words_of

from scumble.card.sheet.geometry import LAYOUTS, card_geometry, pages_of
from scumble.card.sheet.guide import GUIDES, HURT, TITLE, minutes_of
from scumble.card.sheet.layouts import PAGES_MM
from scumble.errors import InputError
from scumble.jobs.cards.guide import guide_sheet
from scumble.jobs.cards.print_card import print_card
from scumble.jobs.charts.print_strips import LADDER, print_strips, strips_sheet

EVERY = [(layout, page) for layout in LAYOUTS for page in pages_of(layout)]


@pytest.mark.parametrize(("layout", "page"), EVERY)
def test_nothing_leaves_the_page(layout, page):
    width, height = PAGES_MM[page]
    low_x, high_x, low_y, high_y = bounds(guide_sheet(layout, PAGES_MM[page]))
    assert min(low_x, low_y) >= 8.0
    assert high_x <= width - 8.0
    assert high_y <= height - 8.0


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_guide_follows_the_cards_and_says_everything(layout):
    content = print_card(layout=layout, guide=True)
    assert len(page_sizes_mm(content)) == 2
    assert all(fonts_embedded(content))
    words = " ".join(words_of(content, 1).split())
    for step in GUIDES[layout]:
        for sentence in (step.name, *step.sentences):
            assert sentence in words
    assert TITLE in words and HURT in words


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_card_is_painted_in_under_ten_minutes_by_the_plan(layout):
    assert 0.0 < minutes_of(layout) < 10.0


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_stroke_of_the_card_has_its_step(layout):
    films = {area.film for area in card_geometry(layout).areas} - {"bare"}
    assert {film for step in GUIDES[layout] for film in step.films} == films


def shares(sentences):
    """Share of paint in each mix of a chain: the first from spoons, each other from the one before."""
    numbers = [[int(number) for number in re.findall(r"(\d+) (?:spoons?|of)\b", said)] for said in sentences]
    found = [Fraction(numbers[0][0], sum(numbers[0]))]
    for taken, more in numbers[1:]:
        found.append(found[-1] * Fraction(taken, taken + more))
    return found


def test_mixes_made_of_each_other_come_out_as_the_card_says():
    steps = {step.name: step for step in GUIDES["full"]}
    chain = shares([each.split(":", 1)[1] for each in steps["With white"].sentences[:3]])
    assert chain == [Fraction(1, 2), Fraction(1, 5), Fraction(1, 20)]
    thin = shares([steps["Thin"].sentences[0], steps["Very thin"].sentences[0].split(":")[0]])
    assert thin == [Fraction(1, 3), Fraction(1, 10)]


@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_strips_are_true_to_scale_and_on_the_page(page):
    content = print_strips(page=page)
    (size,) = page_sizes_mm(content)
    assert size == pytest.approx(PAGES_MM[page], abs=0.02)
    low_x, high_x, low_y, high_y = bounds(strips_sheet(page))
    assert min(low_x, low_y) >= 8.0 and high_x <= size[0] - 8.0 and high_y <= size[1] - 8.0
    assert dark_run_mm(render(content), size[1] - 14.0, low_x - 1.0, low_x + 102.0) == pytest.approx(
        100.0, abs=0.4
    )
    words = words_of(content)
    assert all(f"{paint} : {white} white" in words for paint, white in LADDER)
    assert words.count("Tube") >= 7


def test_strips_on_another_page_are_refused():
    with pytest.raises(InputError, match="page: saw 'A5'; allowed is A4 or Letter"):
        print_strips(page="A5")
