"""Names and prices on charts: none is cut off, and what the shop knows is printed."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from scumble.chart.box import Box
from scumble.chart.sheet import Text
from scumble.chart.wall import CELL_MM, _draw_name
from scumble.jobs.charts.kinds import ChartRequest, print_kind
from scumble.jobs.charts.print_chart import Chart
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import TubeFacts, open_shelf

STARTERS = starter_shelf()


def words_of(chart: Chart) -> list[str]:
    return [shape.words for sheet in chart.sheets for shape in sheet.shapes if isinstance(shape, Text)]


@pytest.mark.parametrize("label", [f"{paint.label} 4276" for paint in STARTERS])
def test_a_long_name_is_set_smaller_and_not_cut_off(label: str) -> None:
    box = Box(0.0, 0.0, CELL_MM[0] - 2.0, 0.0)
    drawn = [shape for shape in _draw_name(label, box, 2.25) if isinstance(shape, Text)]
    assert " ".join(shape.words for shape in drawn) == label
    highest = 2 * 1.32 * 2.25
    assert max(shape.y_mm for shape in drawn) <= highest


def test_a_price_stands_on_the_label_and_hiding_on_the_handout(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        shelf.save_paints(STARTERS)
        shelf.tubes.save("yellow-ochre", TubeFacts(Decimal("7.4"), "EUR", 37.0, coat="80 um"))
        labels = print_kind(shelf, ChartRequest("labels", ("yellow-ochre", "viridian")))
        handout = print_kind(shelf, ChartRequest("handout", ("yellow-ochre",)))
        bare = print_kind(shelf, ChartRequest("handout", ("viridian",)))
    assert [said for said in words_of(labels) if "EUR" in said] == ["7.40 EUR · 37 ml"]
    assert any(said.startswith("One tube of 37 ml hides") for said in words_of(handout))
    assert not any("m² to the litre" in said for said in words_of(bare))
