"""Edges, bands and haze."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.paint.colourant import Feature, Haze, Shape
from scumble.tables import WAVELENGTH_NM


def test_a_band_peaks_at_its_position_and_halves_at_its_width() -> None:
    absorption = Feature(Shape.BAND, 500.0, 2000.0, 6.0).absorption
    assert absorption[WAVELENGTH_NM == 500].item() == pytest.approx(6.0)
    half = 1e7 / (1e7 / 500.0 - 1000.0)  # half the full width towards the red
    assert np.interp(half, WAVELENGTH_NM, absorption) == pytest.approx(3.0, abs=0.05)


def test_the_tail_of_an_edge_falls_by_e_for_every_width() -> None:
    edge = Feature(Shape.EDGE, 450.0, 300.0, 5.0)
    deep = edge.absorption
    slope = np.diff(np.log(deep)) / np.diff(1e7 / WAVELENGTH_NM)
    far = WAVELENGTH_NM[:-1] > 520
    assert slope[far] == pytest.approx(1 / 300.0, rel=0.03)
    assert np.all(np.diff(deep) < 0)


def test_haze_follows_its_power_and_stands_higher_beside_the_edge() -> None:
    plain = Haze(2.0, 3.0, 0.0, 550.0).scattering
    assert plain[WAVELENGTH_NM == 550].item() == pytest.approx(2.0)
    assert plain[2] / plain[-1] == pytest.approx((730 / 400) ** 3)
    raised = Haze(2.0, 3.0, 0.4, 600.0).scattering
    assert raised[WAVELENGTH_NM == 600].item() == pytest.approx(1.4 * plain[WAVELENGTH_NM == 600].item())
    assert raised[0] == pytest.approx(plain[0], rel=1e-6)
