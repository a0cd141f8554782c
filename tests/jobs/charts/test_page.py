"""The page Print: what it suggests, what it keeps at hand, and what an address asks for."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest
from tests.chart.profiles import muted_profile
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.charts.desk import MOST_CHARTS, MOST_PROFILES, PrintDesk
from scumble.jobs.charts.kinds import KINDS
from scumble.jobs.charts.page import page_pdf, page_svg, settle, show_print
from scumble.jobs.charts.query import OFFERS, PrintQuery, address_of, request_of
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.store.shelf import Shelf, open_shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("shelf") / "shelf.sqlite")) as opened:
        yield opened


def test_every_kind_is_offered_and_shown_without_a_word_of_one_s_own(shelf: Shelf) -> None:
    assert set(OFFERS) == set(KINDS)
    for kind in OFFERS:
        page = show_print(shelf, PrintDesk(), PrintQuery(kind=kind))
        assert page.wrong == "" and page.pages >= 1, page.wrong
        assert OFFERS[kind].least <= len(page.chosen) <= max(OFFERS[kind].most, 0)


def test_suggested_paints_lie_apart_and_share_a_binder(shelf: Shelf) -> None:
    strips = show_shelf(shelf).strips
    keys = settle(shelf, PrintQuery(kind="mix"), strips).paint
    hues = [strip.hue for strip in strips if strip.key in keys]
    assert len(set(keys)) == 4 and all(grey == 0.0 for grey, _ in hues)
    around = sorted(hue for _, hue in hues)
    assert min(b - a for a, b in pairwise(around)) > 15.0
    assert len({shelf.load_paint(key).binder for key in keys}) == 1


def test_paints_are_added_by_label_and_taken_off(shelf: Shelf) -> None:
    strips = show_shelf(shelf).strips
    query = PrintQuery(kind="mix", paint=["cobalt-blue"], add="Raw umber")
    settled = settle(shelf, query, strips)
    assert settled.paint == ["cobalt-blue", "raw-umber"] and settled.add == ""
    dropped = settle(shelf, settled.model_copy(update={"drop": "cobalt-blue"}), strips)
    assert dropped.paint == ["raw-umber"] and dropped.drop == ""
    one = settle(shelf, PrintQuery(kind="handout", paint=["cobalt-blue"], add="raw-umber"), strips)
    assert one.paint == ["raw-umber"], "a handout shows one paint: the one added last"


def test_what_cannot_be_drawn_is_said_at_its_field(shelf: Shelf) -> None:
    for query, field, said in (
        (PrintQuery(kind="mix", paint=["cobalt-blue"]), "paints", "allowed is 2 to 14 paints"),
        (PrintQuery(kind="wall", page="A9"), "page", "allowed is A5"),
        (PrintQuery(kind="mix", coats="thick"), "coats", "a number"),
        (PrintQuery(kind="triangle", steps="six"), "steps", "a whole number"),
        (PrintQuery(kind="handout", add="no such tube"), "", "no such tube"),
        (PrintQuery(kind="wall", profile="0123"), "profile", "handed in since the pages were opened"),
    ):
        page = show_print(shelf, PrintDesk(), query)
        assert said in page.wrong and page.pages == 0
        assert not field or page.wrong_field == field


def test_options_of_another_kind_are_left_out_of_the_request() -> None:
    query = PrintQuery(kind="handout", paint=["a"], order="name", parts="3:1", outlines=True, coats="0.5")
    request = request_of(query, b"")
    assert (request.order, request.parts, request.outlines, request.coats) == ("", "", False, None)


@pytest.mark.parametrize(
    ("page", "turned", "expected"),
    [
        ("", "", "A3-landscape"),
        ("A2", "", "A2"),
        ("a2", "across", "a2-landscape"),
        ("A2-landscape", "upright", "A2"),
        ("500x700", "across", "500x700"),
    ],
)
def test_a_sheet_is_turned(page: str, turned: str, expected: str) -> None:
    assert request_of(PrintQuery(kind="wall", page=page, turned=turned), b"").page == expected  # type: ignore[arg-type]


def test_an_address_says_the_same_again() -> None:
    query = PrintQuery(kind="glaze", paint=["a", "b"], over="white,red", blank=True, coats="0.2")
    assert address_of(query) == "kind=glaze&paint=a&paint=b&over=white%2Cred&coats=0.2&blank=true"


def test_a_chart_is_drawn_once_for_the_look_and_the_file(shelf: Shelf) -> None:
    desk, query = PrintDesk(), PrintQuery(kind="triangle", paint=["cobalt-blue", "raw-umber", "cadmium-red"])
    assert not desk.has(shelf, query)
    first = desk.chart(shelf, query)
    assert desk.has(shelf, query) and desk.chart(shelf, query) is first
    content, name = page_pdf(shelf, desk, query)
    assert content.startswith(b"%PDF") and name == "triangle.pdf"
    for steps in range(2, 2 + MOST_CHARTS):
        desk.chart(shelf, query.model_copy(update={"steps": str(steps)}))
    assert not desk.has(shelf, query), "only the last few are kept"


def test_the_look_is_drawn_in_what_the_printer_can_give(shelf: Shelf) -> None:
    desk = PrintDesk()
    kept = desk.keep_profile(muted_profile())
    query = PrintQuery(kind="handout", paint=["cadmium-red"])
    plain = page_svg(shelf, desk, query, 1)
    muted = page_svg(shelf, desk, query.model_copy(update={"profile": kept.key}), 1)
    masstone = desk.chart(shelf, query).told["swatches"][1]["srgb"]
    hex_of = "#" + "".join(f"{round(255 * part):02x}" for part in masstone)
    assert hex_of in plain and hex_of not in muted
    assert "Invented muted printer" in muted
    with pytest.raises(InputError, match="number: saw '2'; allowed is a page from 1 to 1"):
        page_svg(shelf, desk, query, 2)


def test_only_the_last_profiles_stay_at_hand() -> None:
    desk = PrintDesk()
    for number in range(MOST_PROFILES + 2):
        changed = bytearray(muted_profile())
        changed[24:26] = bytes([7, 200 + number])
        desk.keep_profile(bytes(changed))
    assert len(desk.profiles()) == MOST_PROFILES
    with pytest.raises(InputError, match="profile: saw '3 bytes'"):
        desk.keep_profile(b"abc")
