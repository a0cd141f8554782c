"""Proofs are kept, read, set aside, binned and carried from shelf to shelf, and nothing of them is lost."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.store.proofs import (
    invented_proof,
    invented_sheet,
    photographed_reading,
    spectral_reading,
    typed_reading,
)
from tests.store.shelves import PICTURE, content_of, fill

from scumble.errors import InputError
from scumble.paint import Optics
from scumble.store.proof import ProofReading, ProofUse, mark_of_optics
from scumble.store.shelf import open_shelf
from scumble.store.travel.shelf_export import format_shelf_json
from scumble.store.travel.shelf_import import import_shelf


def test_a_proof_comes_back_to_the_last_digit(place_of_shelf: Path | str) -> None:
    with open_shelf(place_of_shelf) as shelf:
        shelf.proofs.keep(invented_proof())
        shelf.proofs.save_readings({"abcd1234": photographed_reading()}, PICTURE)
        shelf.proofs.save_readings({"abcd1234": spectral_reading()})
    with open_shelf(place_of_shelf) as shelf:
        kept = shelf.proofs.load("abcd1234")
        assert kept.proof == invented_proof()
        assert [each.reading for each in kept.readings] == [photographed_reading(), spectral_reading()]
        assert [each.has_picture for each in kept.readings] == [True, False]
        assert shelf.proofs.load_picture("abcd1234", 1) == PICTURE
        assert shelf.proofs.load_picture("abcd1234", 2) is None


def test_the_newest_reading_that_is_not_set_aside_counts(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf") as shelf:
        shelf.proofs.keep(invented_proof())
        assert shelf.proofs.load("abcd1234").reading is None
        shelf.proofs.save_readings({"abcd1234": typed_reading()})
        shelf.proofs.save_readings({"abcd1234": spectral_reading()})
        shelf.proofs.set_reading_aside("abcd1234", 2, aside=True)
        found = shelf.proofs.load("abcd1234").reading
        assert found is not None and found.number == 1
        shelf.proofs.set_reading_aside("abcd1234", 2, aside=False)
        found = shelf.proofs.load("abcd1234").reading
        assert found is not None and found.number == 2


def test_the_bin_gives_back_whole(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf") as shelf:
        shelf.proofs.keep(invented_proof())
        shelf.proofs.save_readings({"abcd1234": typed_reading()})
        before = shelf.proofs.load("abcd1234")
        shelf.proofs.move("abcd1234", binned=True)
        assert shelf.proofs.load_all() == ()
        assert [each.proof.key for each in shelf.proofs.load_all(binned=True)] == ["abcd1234"]
        shelf.proofs.move("abcd1234", binned=False)
        assert shelf.proofs.load_all() == (before,)


def test_a_use_is_written_down_once(tmp_path: Path) -> None:
    use = ProofUse("deep-blue", "0" * 64)
    with open_shelf(tmp_path / "shelf") as shelf:
        shelf.proofs.keep(invented_proof())
        shelf.proofs.save_readings({"abcd1234": typed_reading()})
        shelf.proofs.add_uses([("abcd1234", 1)], use)
        shelf.proofs.add_uses([("abcd1234", 1)], use)
        assert shelf.proofs.load("abcd1234").readings[0].uses == (use,)


def test_all_of_several_readings_are_kept_or_none(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf") as shelf:
        shelf.proofs.keep(invented_proof())
        with pytest.raises(InputError, match="a proof of this shelf"):
            shelf.proofs.save_readings({"abcd1234": typed_reading(), "nobody": typed_reading()}, PICTURE)
        assert shelf.proofs.load("abcd1234").readings == ()


def test_they_travel_and_arrive_once(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "one") as one, open_shelf(tmp_path / "two") as two:
        fill(one)
        file = format_shelf_json(one).encode()
        assert import_shelf(two, file, "json").saved
        assert content_of(two) == content_of(one)
        again = import_shelf(two, file, "json")
        assert again.count("same") == len(again.outcomes)
        one.proofs.save_readings({"abcd1234": replace(typed_reading(), noise=0.02)})
        third = import_shelf(two, format_shelf_json(one).encode(), "json")
        assert [each.name for each in third.outcomes if each.what == "changed"] == ["abcd1234"]
        assert content_of(two) == content_of(one)


def test_a_sheet_is_known_by_its_serial(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf") as shelf:
        shelf.proofs.save_sheets([invented_sheet()])
        shelf.proofs.save_sheets([replace(invented_sheet(), boxes={})])
        found = shelf.proofs.load_sheet("03NQK8NG")
        assert found is not None and dict(found.boxes) == {"p1-white": "abcd1234"}
        assert shelf.proofs.load_sheet("00000000") is None


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"key": "No/Such"}, "small letters and digits"),
        ({"label": "two\nlines"}, "on one line"),
        ({"layering": {"a": float("nan")}}, "plain data"),
        ({"paints": ()}, "at least one paint"),
    ],
)
def test_what_cannot_be_kept_is_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(invented_proof(), **change)  # type: ignore[arg-type]


@pytest.mark.parametrize("values", [[1.0, 2.0], [1.0, 2.0, float("nan")]])
def test_a_reading_has_the_numbers_of_its_quantity(values: list[float]) -> None:
    with pytest.raises(InputError, match="3 finite numbers"):
        replace(typed_reading(), values=np.array(values))
    assert isinstance(typed_reading(), ProofReading)


def test_a_picture_that_is_not_there_refuses_the_proof(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "one") as one, open_shelf(tmp_path / "two") as two:
        fill(one)
        text = format_shelf_json(one).replace('"picture":0', '"picture":7')
        report = import_shelf(two, text.encode(), "json")
        assert not report.saved and report.count("refused") > 0
        assert "counted from 0" in " ".join(each.said for each in report.outcomes)


def test_optics_are_told_by_their_numbers() -> None:
    optics = Optics(np.ones(36), np.ones(36))
    less = Optics(np.ones(36), np.ones(36) * np.nextafter(1.0, 2.0))
    assert mark_of_optics(optics) == mark_of_optics(Optics(np.ones(36), np.ones(36)))
    assert mark_of_optics(optics) != mark_of_optics(less)
