"""A shelf fitted again: new versions with the same cards and pictures, told by how much, or left as they were."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from benchmarks.accuracy.card import FULL_CARD, WHITE_CARD, paint_card
from benchmarks.accuracy.population import FAMILIES, white_paint
from tests.store.cards import same_card, same_paint

from scumble.errors import InputError
from scumble.jobs.cards.read_card import Tube, fit_tube
from scumble.jobs.cards.refit import SHARPENED, refit_shelf
from scumble.paint import Paint, Provenance
from scumble.paint.camera_doubt import CameraDoubt
from scumble.solve.fit.verdict import is_verdict
from scumble.store.picture import Picture
from scumble.store.shelf import Shelf, open_shelf

PICTURE = Picture(b"\xff\xd8\xff a picture", "image/jpeg", {})
REMARK = "Bought in 2019."


@pytest.fixture(scope="module")
def cards():
    """The card of a white and of three paints mixed with it."""
    rng = np.random.default_rng(3)
    white = white_paint(rng)
    made = {"white": paint_card(white, white, rng, layout=WHITE_CARD)}
    for name in ("blue", "red", "green"):
        made[name] = paint_card(FAMILIES["edges and bands"](rng), white, rng, layout=FULL_CARD)
    return made


@pytest.fixture
def shelf(tmp_path: Path, cards):
    """The cards on a shelf, each fitted with a white that is a little off."""
    with open_shelf(tmp_path / "shelf.sqlite") as opened:
        tube = Tube("white", ("PW6",), is_white=True)
        fit, said = fit_tube(cards["white"], tube, None)
        off = replace(fit.optics, scattering=1.1 * fit.optics.scattering)
        paint = Paint("white", "White", off, Provenance.INSTRUMENT, ("PW6",), status=(*said, REMARK))
        opened.save_paint(paint, readings=cards["white"], picture=PICTURE)
        for name in ("blue", "red", "green"):
            fit, said = fit_tube(cards[name], Tube(name), off)
            paint = Paint(
                name, name.capitalize(), fit.optics, Provenance.INSTRUMENT, ("PB1",), status=(*said, REMARK)
            )
            opened.save_paint(paint, readings=cards[name], picture=PICTURE)
        opened.save_paint(replace(paint, key="cardless", label="Cardless"))
        yield opened


def test_what_changes_is_a_new_version_with_its_card_and_picture(shelf: Shelf, cards):
    before = {paint.key: paint for paint in shelf.load_paints()}
    told = {each.key: each for each in refit_shelf(shelf)}
    assert set(told) == {"white", "blue", "red", "green"}
    for key, each in told.items():
        assert (each.what, each.version) == ("changed", 2)
        kept, picture = shelf.load_readings(key), shelf.load_picture(key)
        assert kept is not None and same_card(kept, cards[key])
        assert picture is not None and picture.content == PICTURE.content
        assert same_paint(shelf.load_paint(key, version=1), before[key])
    assert same_paint(shelf.load_paint("cardless"), before["cardless"])


def test_the_version_before_can_be_chosen_again(shelf: Shelf):
    before = shelf.load_paint("blue")
    refit_shelf(shelf)
    shelf.choose_version("blue", 1)
    assert same_paint(shelf.load_paint("blue"), before)
    assert shelf.load_readings("blue") is not None


def test_a_second_time_changes_nothing(shelf: Shelf):
    refit_shelf(shelf)
    told = refit_shelf(shelf)
    assert {each.what for each in told} == {"same"}
    assert {each.version for each in told} == {2}


def test_a_preview_changes_nothing(shelf: Shelf):
    told = refit_shelf(shelf, preview=True)
    assert {each.what for each in told} == {"changed"}
    assert {entry.version for entry in shelf.load_entries()} == {1}


def test_changes_are_told_by_how_much(shelf: Shelf):
    told = {each.key: each for each in refit_shelf(shelf)}
    assert set(told["blue"].differences) == {"masstone", "thin", "tint"}
    assert max(told["blue"].differences.values()) > 0.01
    assert 0.0 < told["blue"].interval_now < 30.0


def test_the_white_says_that_others_sharpened_it_and_others_remarks_stay(shelf: Shelf):
    refit_shelf(shelf)
    refit_shelf(shelf)
    status = shelf.load_paint("white").status
    assert status.count(SHARPENED.format(count=3)) == 1
    for key in ("white", "blue"):
        assert REMARK in shelf.load_paint(key).status
        assert is_verdict(shelf.load_paint(key).status[0])


def test_alone_leaves_the_white_to_its_own_card(shelf: Shelf, cards):
    refit_shelf(shelf, together=False)
    fit, _ = fit_tube(cards["white"], Tube("white", ("PW6",), is_white=True), None)
    np.testing.assert_array_equal(shelf.load_paint("white").optics.scattering, fit.optics.scattering)
    own, _ = fit_tube(cards["blue"], Tube("blue"), fit.optics)
    np.testing.assert_array_equal(shelf.load_paint("blue").optics.absorption, own.optics.absorption)


def test_photographs_are_not_solved_together(shelf: Shelf, cards):
    photographed = replace(cards["red"], camera=CameraDoubt(paper=0.02))
    shelf.save_paint(replace(shelf.load_paint("red"), status=("x",)), readings=photographed, picture=PICTURE)
    refit_shelf(shelf)
    assert SHARPENED.format(count=3) not in shelf.load_paint("white").status


def test_one_card_that_cannot_be_used_does_not_hold_up_the_others(shelf: Shelf, cards):
    useless = replace(
        cards["red"],
        readings=tuple(
            reading if reading.is_bare else replace(reading, weight=0.0) for reading in cards["red"].readings
        ),
    )
    before = shelf.load_paint("red")
    shelf.save_paint(replace(before, status=("x",)), readings=useless, picture=PICTURE)
    told = {each.key: each for each in refit_shelf(shelf)}
    assert told["red"].what == "refused"
    assert "no painted area that can be used" in told["red"].said
    assert told["blue"].what == told["green"].what == "changed"
    np.testing.assert_array_equal(shelf.load_paint("red").optics.absorption, before.optics.absorption)


def test_named_paints_only(shelf: Shelf):
    assert [each.key for each in refit_shelf(shelf, keys=["blue"], white_key="white")] == ["blue"]
    assert shelf.load_entries()[0].version in (1, 2)
    with pytest.raises(
        InputError, match="paint: saw 'cardless'; allowed is a paint whose card is on the shelf"
    ):
        refit_shelf(shelf, keys=["cardless"])
    with pytest.raises(InputError, match="nobody"):
        refit_shelf(shelf, keys=["nobody"])
    with pytest.raises(InputError, match="nobody"):
        refit_shelf(shelf, white_key="nobody")


class _StoppedError(Exception):
    pass


@pytest.mark.parametrize("share", [0.2, 0.6, 0.94])
def test_stopped_midway_every_paint_is_whole(shelf: Shelf, share: float):
    before = {paint.key: paint for paint in shelf.load_paints()}

    def stop(_words: str, done: float) -> None:
        if done >= share:
            raise _StoppedError

    with pytest.raises(_StoppedError):
        refit_shelf(shelf, progress=stop)
    versions = {entry.key: entry.version for entry in shelf.load_entries()}
    assert set(versions.values()) <= ({1} if share < 0.9 else {1, 2})
    for key, version in versions.items():
        assert version == 2 or same_paint(shelf.load_paint(key), before[key])


def test_progress_rises_and_names_the_paints(shelf: Shelf):
    heard: list[tuple[str, float]] = []
    refit_shelf(shelf, progress=lambda words, share: heard.append((words, share)))
    shares = [share for _, share in heard]
    assert shares == sorted(shares) and shares[0] == 0.0 and shares[-1] == 1.0
    assert any("Blue" in words for words, _ in heard)
