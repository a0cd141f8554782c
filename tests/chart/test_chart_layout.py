"""Pages, label sheets, wall plans and words that must fit: geometry without paint."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.chart.box import Box
from scumble.chart.frame import draw_lines, fit_words
from scumble.chart.grid import Square, draw_grid, plan_grid
from scumble.chart.label import KNOWN, label_sheet
from scumble.chart.legend import beyond_item, care_item, draw_legend, legend_height_mm, mark_items
from scumble.chart.lettering import text_width_mm
from scumble.chart.page import page_of
from scumble.chart.patch import Patch
from scumble.chart.sheet import Text
from scumble.chart.wall import CELL_MM, SMALLEST, plan_wall
from scumble.errors import InputError


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("A4", (210.0, 297.0)),
        ("a1-landscape", (841.0, 594.0)),
        ("A2-portrait", (420.0, 594.0)),
        (" letter ", (215.9, 279.4)),
        ("500x700", (500.0, 700.0)),
        ("500.5 × 700 mm", (500.5, 700.0)),
    ],
)
def test_pages_are_known_by_name_and_by_size(text: str, size: tuple[float, float]) -> None:
    page = page_of(text)
    assert (page.width_mm, page.height_mm) == size


@pytest.mark.parametrize(
    "text", ["", "A0", "A4-sideways", "80x200", "200x1300", "1.2.3x200", "x", "nanxnan", "9" * 40]
)
def test_other_pages_are_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"page: saw .*allowed is A5, A4"):
        page_of(text)


@pytest.mark.parametrize("size", KNOWN)
def test_known_label_sheets_fit_their_page_and_labels_do_not_overlap(size: str) -> None:
    sheet = label_sheet(size)
    boxes = [sheet.label(place) for place in range(sheet.count)]
    assert min(box.x_mm for box in boxes) >= 0.0 and max(box.right_mm for box in boxes) <= sheet.page.width_mm
    assert (
        min(box.y_mm for box in boxes) >= 0.0 and max(box.bottom_mm for box in boxes) <= sheet.page.height_mm
    )
    assert sheet.pitch_mm[0] >= sheet.label_mm[0] and sheet.pitch_mm[1] >= sheet.label_mm[1]
    first, last = boxes[0], boxes[-1]
    assert first.x_mm == pytest.approx(sheet.page.width_mm - last.right_mm)
    assert first.y_mm == pytest.approx(sheet.page.height_mm - last.bottom_mm)


def test_the_two_commonest_sheets() -> None:
    """24 of 70 x 37 mm and 21 of 63.5 x 38.1 mm on A4: common practice, no source."""
    assert label_sheet("70 x 37 mm").count == 24
    sheet = label_sheet("63.5x38.1")
    assert sheet.count == 21
    assert sheet.corner_mm == pytest.approx((7.25, 15.15))


def test_a_sheet_is_described_by_its_geometry() -> None:
    sheet = label_sheet("2x5:90x50+4x2", page="Letter")
    assert (sheet.columns, sheet.rows, sheet.pitch_mm) == (2, 5, (94.0, 52.0))
    box = sheet.label(3)
    assert (box.x_mm, box.y_mm) == pytest.approx(((215.9 - 184.0) / 2 + 94.0, (279.4 - 258.0) / 2 + 52.0))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("70by37", "labels: saw '70by37'; allowed is 70x37"),
        ("0x8:70x37", "labels that fit 210 x 297 mm"),
        ("3x9:70x37", "These take 210 x 333 mm"),
        ("9x20:20x14", "labels of at least 25 x 15 mm"),
    ],
)
def test_other_label_sheets_are_refused(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        label_sheet(text)


@given(st.integers(1, 400), st.floats(120.0, 900.0), st.floats(100.0, 900.0))
def test_wall_cells_fit_and_are_never_too_small_to_read(count: int, width: float, height: float) -> None:
    plan = plan_wall(count, Box(0.0, 0.0, width, height))
    across, down = plan.pitch_mm
    assert plan.columns * across <= width + 1e-6 and plan.rows * down <= height + 1e-6
    assert plan.scale >= SMALLEST
    assert across >= CELL_MM[0] * plan.scale - 1e-6 and down >= CELL_MM[1] * plan.scale - 1e-6


def test_fewer_paints_hang_larger_on_the_same_page() -> None:
    room = Box(0.0, 0.0, 800.0, 520.0)
    scales = [plan_wall(count, room).scale for count in (10, 60, 150, 300, 500)]
    assert scales == sorted(scales, reverse=True)
    assert scales[0] > 2.0 > scales[-1]
    assert plan_wall(300, room).columns * plan_wall(300, room).rows >= 300


@given(st.text(min_size=1, max_size=60), st.floats(4.0, 60.0))
def test_fitted_words_are_no_wider_than_their_room(words: str, width: float) -> None:
    fitted = fit_words(words, width_mm=width, size_mm=2.5)
    assert text_width_mm(fitted, size_mm=2.5) <= width or fitted == "…"


def test_long_sentences_are_cut_after_the_lines_they_may_take() -> None:
    shapes, bottom = draw_lines(
        "one two three four five six seven", Box(0.0, 0.0, 14.0, 0.0), size_mm=3.0, most=2
    )
    assert [shape.words for shape in shapes if isinstance(shape, Text)][-1].endswith("…")
    assert len(shapes) == 2 and bottom == pytest.approx(2 * 1.32 * 3.0)


def test_legend_flows_into_as_many_rows_as_it_takes() -> None:
    items = (*mark_items(), beyond_item(), care_item())
    low, high = (legend_height_mm(items, width_mm=width, size_mm=2.5) for width in (600.0, 100.0))
    assert low < high
    box = Box(10.0, 20.0, 100.0, high)
    texts = [shape for shape in draw_legend(items, box, size_mm=2.5) if isinstance(shape, Text)]
    assert len(texts) == 6
    for text in texts:
        assert text.x_mm + text_width_mm(text.words, size_mm=2.5) <= box.right_mm + 1e-6
        assert text.y_mm < box.y_mm + high


@given(st.integers(1, 14), st.integers(1, 14))
def test_grid_squares_stay_inside_their_room(rows: int, columns: int) -> None:
    inner = Box(12.0, 30.0, 186.0, 220.0)
    names = ["Phthalo blue, green shade", "Ochre"] * 7
    plan = plan_grid(inner, names[:rows], names[:columns], size_mm=2.6)
    last = plan.square(rows - 1, columns - 1)
    assert last.right_mm <= inner.right_mm + 1e-6 and last.bottom_mm <= inner.bottom_mm + 1e-6


def test_names_along_the_top_keep_to_their_squares() -> None:
    names = [f"Benzimidazolone orange {number}" for number in range(14)]
    plan = plan_grid(Box(12.0, 30.0, 186.0, 220.0), names, names, size_mm=2.6)
    square = Square((Patch((0.5, 0.5, 0.5)),))
    heads = [
        shape
        for shape in draw_grid(plan, [[square] * 14] * 14, names, names)
        if isinstance(shape, Text) and shape.anchor == "middle"
    ]
    assert heads
    for head in heads:
        assert text_width_mm(head.words, size_mm=head.size_mm) <= plan.square(0, 0).width_mm + 1e-6
        assert head.y_mm - 0.77 * head.size_mm >= 30.0 and head.y_mm < plan.heads.bottom_mm
