"""Splashes, torn corners and thumbs are where they are said to be."""

import numpy as np
import pytest
from demo.conditions import Mishaps
from demo.mishap import SKIN, paper_left, splash_mask, thumb_mask

SIZE = (420, 594)
PX_PER_MM = 2.0
PAGE_MM = (210.0, 297.0)


def test_splashes_grow_in_number():
    few, many = (splash_mask(SIZE, PX_PER_MM, count, np.random.default_rng(1)).sum() for count in (2, 12))
    assert splash_mask(SIZE, PX_PER_MM, 0, np.random.default_rng(1)).sum() == 0
    # A drop of median radius 1 mm covers 3 mm2 and more, so 12 points at this scale.
    assert 5 < few < many < 4000


@pytest.mark.parametrize("number", range(4))
def test_a_torn_corner_is_missing_and_no_other(number):
    left = paper_left(SIZE, PX_PER_MM, Mishaps(0, "torn", number, 30.0), np.random.default_rng(2))
    corners = [left[4, 4], left[4, -5], left[-5, -5], left[-5, 4]]
    assert [corner == 0 for corner in corners] == [step == number for step in range(4)]
    # Half of 30 by 36 mm, give or take the ragged line.
    assert (1 - left).sum() / PX_PER_MM**2 == pytest.approx(540, rel=0.15)


def test_an_untouched_card_is_whole():
    mishaps = Mishaps(0, "", 0, 30.0)
    assert paper_left(SIZE, PX_PER_MM, mishaps, np.random.default_rng(2)).min() == 1
    assert thumb_mask(mishaps, PAGE_MM, np.array([0.0, 0.0])) == 0


@pytest.mark.parametrize("number", range(4))
def test_a_thumb_covers_its_corner_from_outside(number):
    mishaps = Mishaps(0, "covered", number, 30.0)
    corners = np.array([[0.0, 0.0], [210, 0], [210, 297], [0, 297]])
    covered = thumb_mask(mishaps, PAGE_MM, corners)
    assert covered[number] > 0.99 and np.delete(covered, number).max() < 0.01
    outward = corners[number] + 3 * (corners[number] - [105, 148.5])
    middle = (corners[number] + [105.0, 148.5]) / 2
    assert thumb_mask(mishaps, PAGE_MM, middle) < 0.01
    assert thumb_mask(mishaps, PAGE_MM, corners[number] + np.sign(outward - corners[number]) * 20) > 0.9


def test_skin_reflects_red_most():
    assert SKIN.min() > 0.1 and SKIN.max() < 0.75
    assert SKIN[-5:].mean() > 1.8 * SKIN[:15].mean()
