"""The sheet for the easel: true to scale, fonts in it, whole, and legible without colour."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from tests.jobs.plan.test_plan_picture import REQUEST, sketch
from tests.jobs.shelves import illustrative_shelf

from scumble.chart.sheet import Text
from scumble.errors import InputError
from scumble.jobs.charts.print_chart import chart_pdf, chart_svg
from scumble.jobs.plan.easel_sheet import print_easel_sheet
from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.key_map import draw_key_map
from scumble.jobs.plan.plan_picture import plan_picture
from scumble.jobs.plan.reference import open_reference
from scumble.store.shelf import open_shelf


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> PlanFound:
    content = io.BytesIO()
    sketch().save(content, "PNG")
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("easel") / "shelf.sqlite")) as shelf:
        return plan_picture(REQUEST, open_reference(content.getvalue(), "roof.png"), shelf)


@pytest.mark.parametrize("page", ["A4", "Letter", "A3-landscape"])
def test_it_is_printed_to_scale_with_its_fonts(found: PlanFound, page: str) -> None:
    for plan in found.plans.values():
        chart = print_easel_sheet(found, plan, page=page)
        content = chart_pdf(chart)
        pages = pypdf.PdfReader(io.BytesIO(content)).pages
        assert 1 <= len(pages) <= 2
        assert float(pages[0].mediabox.width) == pytest.approx(chart.page.width_mm * 72 / 25.4, abs=0.01)
        fonts = [each.get_object() for each in pages[0]["/Resources"]["/Font"].values()]
        used = [font for font in fonts if "/FontDescriptor" in font]
        assert used and all("/FontFile2" in font["/FontDescriptor"] for font in used)
        assert chart_pdf(print_easel_sheet(found, plan, page=page)) == content, "the same bytes every time"


def test_it_says_everything_that_a_hand_needs(found: PlanFound) -> None:
    plan = found.plan()
    chart = print_easel_sheet(found, plan)
    document = pypdfium2.PdfDocument(chart_pdf(chart))
    try:
        told = " ".join(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()
    told = re.sub(r"\s+", " ", told)
    for number in range(1, len(plan.passes) + 1):
        assert f"{number}. " in told
    for letter, _ in plan.mixtures:
        assert re.search(rf"\b{letter}\b", told)
    assert "common practice, no source" in told and "safety data sheet" in told and "Wait" in told
    assert "Titanium white" in told and "L*" in told, "lightness is said, for who prints in grey"
    assert all("Preview" not in svg and "<path" in svg for svg in (chart_svg(chart, number=1),))


def test_words_stay_on_the_paper(found: PlanFound) -> None:
    for plan in found.plans.values():
        chart = print_easel_sheet(found, plan)
        for sheet in chart.sheets:
            for shape in sheet.shapes:
                if isinstance(shape, Text):
                    assert 0.0 < shape.x_mm < sheet.width_mm and 0.0 < shape.y_mm < sheet.height_mm - 5.0


def test_every_area_has_its_number_in_it(found: PlanFound) -> None:
    places = found.division.places
    key = draw_key_map(places, longest=1000)
    assert {mark.number for mark in key.marks} == set(range(1, len(found.division.labs) + 1))
    for mark in key.marks:
        assert places[int(mark.y), int(mark.x)] == mark.number - 1


def test_a_page_too_small_is_refused(found: PlanFound) -> None:
    with pytest.raises(InputError, match="page: saw '110x200'; allowed is a page with 120 mm of width"):
        print_easel_sheet(found, found.plan(), page="110x200")


def test_the_command_writes_it(found: PlanFound, tmp_path: Path) -> None:
    from scumble.jobs.plan.files import write_plan

    files = write_plan(found, found.plan(), tmp_path / "new")
    assert files[-1].name == "easel-sheet.pdf" and files[-1].read_bytes().startswith(b"%PDF")
    with pytest.raises(InputError, match="out: saw"):
        write_plan(found, found.plan(), files[-1] / "below")
