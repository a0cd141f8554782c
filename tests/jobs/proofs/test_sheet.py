"""The sheet of proofs: true to scale, each box over the ground its proof asks for, and silent on what was promised."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np
import pytest
from tests.jobs.printed import colour_at, dark_run_mm, page_sizes_mm, render, words_of
from tests.jobs.shelves import read_shelf

from scumble.card.sheet.geometry import card_geometry
from scumble.card.sheet.layouts import GROUNDS
from scumble.card.sheet.serial import known_serial, read_code
from scumble.errors import InputError
from scumble.jobs.proofs.keep import keep_layering, keep_swatch
from scumble.jobs.proofs.read_back import read_typed
from scumble.jobs.proofs.sheet import can_be_printed, draw_sheet, lay_out, print_sheets
from scumble.store.proof import Proof
from scumble.store.shelf import Shelf, open_shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(read_shelf(tmp_path_factory.mktemp("sheet") / "shelf.sqlite")) as opened:
        yield opened


def proof_over(shelf: Shelf, paper: str, coats: float = 0.3) -> Proof:
    films = [{"parts": {"class-blue": 1}, "coats": coats}]
    return keep_layering(shelf, {"ground": {"paper": paper}, "films": films}, again=True)


@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_it_is_printed_true_to_scale(shelf: Shelf, page: str) -> None:
    proofs = [proof_over(shelf, paper) for paper in ("white", "black", "grey")]
    (sheet,) = print_sheets(shelf, [proof.key for proof in proofs], page=page)
    content = draw_sheet(shelf, sheet.serial)
    geometry = card_geometry("proof", page)
    assert [pytest.approx(geometry.page_mm, abs=0.01)] * 2 == page_sizes_mm(content)
    picture = render(content)
    ruler = geometry.ruler
    base = ruler.y_mm + ruler.height_mm - 2.0
    assert dark_run_mm(picture, base, ruler.x_mm - 2, ruler.x_mm + 101) == pytest.approx(100.0, abs=0.3)
    for area in geometry.areas:
        x, y = area.box.x_mm + area.box.width_mm / 2, area.box.y_mm + area.box.height_mm / 2
        expected = GROUNDS[area.ground] or (1.0, 1.0, 1.0)
        assert colour_at(picture, x, y) == pytest.approx(expected, abs=0.02), area.name
    found = read_code(np.ascontiguousarray(picture[..., 0]))
    assert found is not None and (found.layout, found.serial) == ("proof", sheet.serial)
    assert known_serial(sheet.serial) == sheet.serial


def test_the_last_page_says_what_to_mix_and_not_what_was_promised(shelf: Shelf) -> None:
    tint, glaze = (
        keep_swatch(shelf, "class-blue", "tint4"),
        keep_layering(
            shelf,
            {
                "ground": {"paper": "white"},
                "films": [
                    {"parts": {"class-white": 1}, "coats": 2},
                    {"parts": {"class-blue": 1}, "coats": 0.25},
                ],
            },
        ),
    )
    (sheet,) = print_sheets(shelf, [tint.key, glaze.key])
    content = draw_sheet(shelf, sheet.serial)
    words = " ".join(words_of(content, 1).split())
    assert "Mix 1 part Class blue, 4 parts Class white by volume; one even full coat." in words
    assert "First: Class white straight from the tube; 2 full coats, each dry before the next." in words
    assert "Then, when that is dry: mix 1 part Class blue, 3 parts clear medium by volume" in words
    assert "safety data sheet" in words and "local rules" in words
    for page in (0, 1):
        said = words_of(content, page)
        assert "L*" not in said and "dE" not in said
        for proof in (tint, glaze):
            assert not any(re.search(rf"(?<!\d){abs(value):.1f}(?!\d)", said) for value in proof.promise.lab)
    first = " ".join(words_of(content).split())
    assert "100 %" in first and "nobody mixes towards it" in first


def test_each_proof_finds_a_box_over_its_ground(shelf: Shelf) -> None:
    proofs = [proof_over(shelf, paper) for paper in ("black",) * 4 + ("grey",) * 3 + ("white",) * 13]
    sheets = lay_out(proofs)
    assert [len(sheet) for sheet in sheets] == [3 + 2 + 12, 1 + 1 + 1]
    by_key = {proof.key: proof for proof in proofs}
    for sheet in sheets:
        for area, key in sheet.items():
            assert area.partition("-")[2] == by_key[key].ground.removesuffix(" paper")
    assert sorted(key for sheet in sheets for key in sheet.values()) == sorted(by_key)


def test_several_sheets_come_in_one_file(shelf: Shelf) -> None:
    keys = [proof_over(shelf, "black").key for _ in range(4)]
    first, second = print_sheets(shelf, keys)
    assert len(page_sizes_mm(draw_sheet(shelf, first.serial, to=second.serial))) == 4
    assert len(page_sizes_mm(draw_sheet(shelf, first.serial))) == 2


def test_a_proof_that_is_gone_leaves_its_sheet_readable(shelf: Shelf) -> None:
    (sheet,) = print_sheets(shelf, [keep_swatch(shelf, "ultramarine-blue", "undertone").key])
    shelf.delete_paint("ultramarine-blue")
    assert "can no longer be painted" in words_of(draw_sheet(shelf, sheet.serial), 1)
    shelf.restore_paint("ultramarine-blue")


def test_what_cannot_be_printed_is_said(shelf: Shelf) -> None:
    other = keep_layering(
        shelf, {"ground": {"lab": [50, 10, 10]}, "films": [{"parts": {"class-blue": 1}, "coats": 1}]}
    )
    assert not can_be_printed(other)
    with pytest.raises(InputError, match="type in what was measured"):
        print_sheets(shelf, [other.key])
    with pytest.raises(InputError, match="at least one to paint"):
        print_sheets(shelf, [])
    with pytest.raises(InputError, match="A4 or Letter"):
        print_sheets(shelf, [proof_over(shelf, "white").key], page="A5")
    with pytest.raises(InputError, match="a proof of this shelf"):
        print_sheets(shelf, ["nobody"])
    with pytest.raises(InputError, match="as many as fit on 20 sheets"):
        lay_out([proof_over(shelf, "black")] * 61)
    with pytest.raises(InputError, match="that this shelf printed"):
        draw_sheet(shelf, "00000000")


def test_a_sheet_is_printed_again_as_it_was(shelf: Shelf) -> None:
    (sheet,) = print_sheets(shelf, [proof_over(shelf, "white").key])
    once, twice = (words_of(draw_sheet(shelf, sheet.serial), 1) for _ in range(2))
    assert once == twice and sheet.serial in once


def test_a_sheet_is_laid_out_anew_only_once_something_was_read_from_it(shelf: Shelf) -> None:
    keys = [proof_over(shelf, "white").key, proof_over(shelf, "grey").key]
    first = print_sheets(shelf, keys)
    assert print_sheets(shelf, keys) == print_sheets(shelf, keys[::-1])
    assert [each.serial for each in print_sheets(shelf, keys)] == [each.serial for each in first]
    read_typed(shelf, keys[0], "40 -30 -30")
    assert [each.serial for each in print_sheets(shelf, keys)] != [each.serial for each in first]
