"""The card's layout: what the full and the quick card must hold, and that nothing lies in the way of anything."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from scumble.card.sheet.box import Box
from scumble.card.sheet.card_map import geometry_to_json
from scumble.card.sheet.geometry import LAYOUTS, card_geometry, cards_on, layout_of_fiducial, pages_of
from scumble.card.sheet.layouts import CODE_MM, COLUMN_MM, GROUNDS, PAGES_MM, PLANS
from scumble.card.sheet.words import FILMS, HEADINGS, INSTRUCTIONS, SUBTITLES, caption
from scumble.errors import InputError

EVERY = [(layout, page) for layout in PLANS for page in pages_of(layout)]

# The areas the estimator was designed for: full strength over white and black; about 0.3 coat over white, black and
# four coloured stripes; about 0.1 coat over white, black, yellow and cyan; tints 1:1 and 1:4 over white, 1:19 over
# white and black.
FULL = {
    "full-white": (1, 0),
    "full-black": (1, 0),
    **{f"thin1-{ground}": (1, 0) for ground in ("white", "black", "yellow", "red", "cyan", "magenta")},
    **{f"thin2-{ground}": (1, 0) for ground in ("white", "black", "yellow", "cyan")},
    "tint1-white": (1, 1),
    "tint4-white": (1, 4),
    "tint19-white": (1, 19),
    "tint19-black": (1, 19),
}
QUICK = {
    name: FULL[name] for name in ("full-white", "full-black", "thin1-white", "thin1-black", "thin1-yellow")
}
QUICK["tint4-white"] = (1, 4)
WHITE = {
    f"{film}-{ground}": (1, 0)
    for film in ("full", "thin1", "thin2")
    for ground in GROUNDS
    if ground != "grey"  # on sheets of proofs alone
}


def overlaps(first: Box, second: Box) -> bool:
    return (
        first.x_mm < second.x_mm + second.width_mm
        and second.x_mm < first.x_mm + first.width_mm
        and first.y_mm < second.y_mm + second.height_mm
        and second.y_mm < first.y_mm + first.height_mm
    )


@pytest.mark.parametrize(
    ("layout", "painted"),
    [("full", FULL), ("quick", QUICK), ("white", WHITE), ("full-1", FULL), ("quick-1", QUICK)],
)
def test_the_card_holds_the_areas_it_was_designed_for(layout, painted):
    areas = card_geometry(layout).areas
    assert {a.name: (a.paint_parts, a.white_parts) for a in areas if not a.is_bare} == painted
    assert {a.name for a in areas if a.is_bare} == {a.ground for a in areas}
    assert len({a.name for a in areas}) == len(areas)


@pytest.mark.parametrize(("layout", "page"), EVERY)
def test_nothing_overlaps_and_all_lies_on_the_page(layout, page):
    geometry = card_geometry(layout, page)
    boxes = [area.box for area in geometry.areas]
    boxes += [fiducial.box.shrunk(-1.5) for fiducial in geometry.fiducials]
    boxes += [*geometry.bare_paper, geometry.ruler, geometry.instructions, geometry.fields]
    boxes += [strip.heading for strip in geometry.strips]
    boxes += [step.box.shrunk(1e-6) for step in geometry.steps]
    pictograms = [box for strip in geometry.strips for _, box in strip.pictograms]
    assert not [pair for pair in combinations(boxes + pictograms, 2) if overlaps(*pair)]
    if geometry.code:
        # A code wants four modules of bare paper all round (ISO/IEC 18004).
        quiet = geometry.code.shrunk(-4 * CODE_MM / 21)
        marks = [fiducial.box for fiducial in geometry.fiducials]
        assert not [box for box in (*marks, *boxes[: len(geometry.areas)]) if overlaps(quiet, box)]
        assert not [box for box in boxes + pictograms if overlaps(geometry.code, box)]
    page_width, page_height = PAGES_MM[page]
    for x, y in (corner for box in boxes for corner in box.corners_mm):
        # Most printers leave 4.3 mm of the sides and ends of a page white (*common practice, no source*).
        assert 4.3 <= x <= page_width - 4.3
        assert 4.3 <= y <= page_height - 4.3


@pytest.mark.parametrize("layout", PLANS)
def test_both_pages_carry_the_same_card(layout):
    first, second = (card_geometry(layout, page) for page in ("A4", "Letter"))
    shift = (second.block.x_mm - first.block.x_mm, second.block.y_mm - first.block.y_mm)
    for one, other in zip((*first.areas, *first.fiducials), (*second.areas, *second.fiducials), strict=True):
        moved = np.array(one.box.corners_mm) + shift
        np.testing.assert_allclose(moved, other.box.corners_mm, atol=0.002)


@pytest.mark.parametrize("layout", PLANS)
def test_a_stroke_runs_over_touching_areas_in_one_row(layout):
    areas = [
        area for area in card_geometry(layout).areas if area.film in ("full", "thin1", "thin2", "tint19")
    ]
    for left, right in pairwise(areas):
        if left.film == right.film:
            assert right.box == left.box.shifted(COLUMN_MM, 0.0)


def test_boxes_can_be_painted_with_a_brush():
    assert COLUMN_MM >= 18.0


@pytest.mark.parametrize("layout", PLANS)
def test_fiducials_stand_in_all_corners_and_name_their_layout(layout):
    geometry = card_geometry(layout)
    numbers = [fiducial.number for fiducial in geometry.fiducials]
    assert {layout_of_fiducial(number) for number in numbers} == {layout}
    others = {f.number for other in PLANS if other != layout for f in card_geometry(other).fiducials}
    assert not others & set(numbers)
    block = geometry.block
    corners = {corner for fiducial in geometry.fiducials for corner in fiducial.box.corners_mm}
    assert set(block.corners_mm) <= corners
    assert len(numbers) >= 6


def test_bare_paper_lies_all_over_the_card():
    geometry = card_geometry("full")
    block = geometry.block
    places = np.array([box.corners_mm[0] for box in geometry.bare_paper]) - (block.x_mm, block.y_mm)
    counts, _, _ = np.histogram2d(*places.T, bins=3, range=[[0, block.width_mm], [0, block.height_mm]])
    assert counts.min() >= 1


@pytest.mark.parametrize(("layout", "page"), EVERY)
def test_the_map_says_what_the_geometry_says(layout, page):
    geometry = card_geometry(layout, page)
    found = geometry_to_json(geometry)
    assert (found["layout"], found["page"], tuple(found["page_mm"])) == (layout, page, PAGES_MM[page])
    for area, data in zip(geometry.areas, found["areas"], strict=True):
        x, y, width, height = data["box_mm"]
        assert Box(x, y, width, height) == area.box
        assert (data["area"], data["film"], data["ground"]) == (area.name, area.film, area.ground)
    for fiducial, data in zip(geometry.fiducials, found["fiducials"], strict=True):
        np.testing.assert_allclose(data["corners_mm"], fiducial.box.corners_mm, atol=1e-3)
        assert data["id"] == fiducial.number
    assert set(found["grounds"]) == {area.ground for area in geometry.areas}
    assert found["grounds"]["white"] == {"paper": True}
    assert found["grounds"]["black"] == {"srgb": [0.0, 0.0, 0.0]}


def test_printed_grounds_are_colours_that_a_screen_has():
    for colour in GROUNDS.values():
        assert colour is None or all(0.0 <= part <= 1.0 for part in colour)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_area_and_row_has_words(layout):
    geometry = card_geometry(layout)
    captions = [caption(area.film, area.ground) for area in geometry.areas]
    assert len(set(captions)) == len(captions)
    assert {area.film for area in geometry.areas} - {"bare"} <= FILMS.keys()
    assert {strip.name for strip in geometry.strips} <= HEADINGS.keys()
    assert layout in INSTRUCTIONS and layout in SUBTITLES


def test_unknown_layouts_and_pages_are_named():
    with pytest.raises(InputError, match="layout: saw 'huge'; allowed is full, quick or white"):
        card_geometry("huge")
    with pytest.raises(InputError, match="page: saw 'A3'; allowed is A4 or Letter"):
        card_geometry("full", "A3")


def test_a_quick_card_is_half_a_page():
    assert [cards_on("quick", page) for page in ("A4", "Letter", "A5")] == [2, 2, 1]
    for page in ("A4", "Letter"):
        upper, lower = (card_geometry("quick", page, half) for half in (0, 1))
        down = PAGES_MM[page][1] / 2
        assert upper.block.y_mm + upper.block.height_mm < down < lower.block.y_mm
        for one, other in zip(upper.areas, lower.areas, strict=True):
            np.testing.assert_allclose(np.add(one.box.corners_mm, (0, down)), other.box.corners_mm, atol=2e-3)
    with pytest.raises(InputError, match="page: saw 'A5'; allowed is A4 or Letter"):
        card_geometry("full", "A5")


def test_tone_steps_hold_whole_periods_of_their_squares():
    for layout in LAYOUTS:
        steps = card_geometry(layout).steps
        assert [step.black_share for step in steps] == [1.0, 0.75, 0.75, 0.5, 0.5, 0.25, 0.25, 0.0]
        for step in steps:
            periods = step.box.width_mm / (2 * step.square_mm)
            assert periods == pytest.approx(round(periods), abs=1e-9)
            assert len(step.black_cells) / 4 == step.black_share


def test_cards_of_the_first_edition_lie_as_they_did():
    """Photographs of them exist; the numbers are those printed then."""
    full, quick = card_geometry("full-1"), card_geometry("quick-1")
    assert full.area("tint19-black").box == Box(161.0, 201.0, 23.0, 23.0)
    assert quick.area("tint4-white").box == Box(138.0, 88.25, 23.0, 23.0)
    assert [fiducial.number for fiducial in full.fiducials] == list(range(8))
    assert [fiducial.number for fiducial in quick.fiducials] == list(range(20, 26))
    assert not full.steps and full.code is None
