"""Grains of minerals with published optical constants."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.errors import InputError
from scumble.optics.mie import per_volume
from scumble.paint.grains import Grains, refractive_indices
from scumble.tables import WAVELENGTH_NM, load_table


def test_one_size_of_an_isotropic_grain_is_a_single_sphere() -> None:
    absorbed, scattered = Grains("zinc_sulphide", 0.3, 1.0, 2.0, 0.5, 0.0, 0.0).depths
    ((_, index),) = refractive_indices("zinc_sulphide")
    alone, turned_back = per_volume(0.3, WAVELENGTH_NM / 1000.0, index)
    assert np.allclose(absorbed, 2.0 * alone)
    assert np.allclose(scattered, 2.0 * 0.5 * turned_back)


def test_the_rays_of_a_crystal_share_it_two_to_one() -> None:
    shares, indices = zip(*refractive_indices("rutile"), strict=True)
    assert shares == pytest.approx((2 / 3, 1 / 3))
    # Rutile's extraordinary ray is the slower one throughout (DeVore 1951).
    assert np.all(indices[1].real > indices[0].real)


@pytest.mark.parametrize("shift_ev", [-0.3, 0.15])
def test_a_moved_gap_moves_the_edge_by_as_much(shift_ev: float) -> None:
    table = load_table("index_cadmium_sulphide")
    k = -refractive_indices("cadmium_sulphide", shift_ev=shift_ev)[0][1].imag
    edge_ev = 1239.842 / np.interp(-0.1, -table["k"], table["wavelength_nm"])
    # k is 0.1 at this edge, once in the whole table; the bands are 10 nm apart and are read between.
    found_ev = 1239.842 / np.interp(-0.1, -k, WAVELENGTH_NM)
    assert found_ev - edge_ev == pytest.approx(shift_ev, abs=0.02)


def test_where_a_grain_is_clear_the_table_is_lowered_and_never_below_nothing() -> None:
    plain = [-index.imag for _, index in refractive_indices("hematite")]
    lowered = [-index.imag for _, index in refractive_indices("hematite", clear_nm=700.0)]
    table = load_table("index_hematite")
    at_700 = [
        table[f"k{ray}"][table["wavelength_nm"] == 700].item() for ray in ("_ordinary", "_extraordinary")
    ]
    for before, after, there in zip(plain, lowered, at_700, strict=True):
        assert after[7] == pytest.approx(before[7] - there)
        assert after[WAVELENGTH_NM == 700].item() == 0.0
        assert after.min() == 0.0


def test_an_unknown_mineral_is_answered_with_the_known_tables() -> None:
    with pytest.raises(InputError, match=r"table: saw 'index_granite'; allowed is one of .*index_hematite"):
        refractive_indices("granite")
