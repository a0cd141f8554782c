"""Whole grids at once are the same prediction as one layering at a time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from scumble.errors import InputError
from scumble.paint import Binder, Film, Layering, paper_ground, predict_look
from scumble.paint.pigment import starter_shelf
from scumble.paint.swatches import predict_glazed_swatches, predict_swatches, shared_binder, stir_optics

PAINTS = starter_shelf()[::12]
COATS = np.array([0.03, 0.3, 1.0])


def test_single_films_are_those_of_a_layering() -> None:
    below = paper_ground("cream").under_film(1.5)
    absorption, scattering = (
        np.array([getattr(paint.optics, name) for paint in PAINTS])[:, None] * COATS[:, None]
        for name in ("absorption", "scattering")
    )
    seen = predict_swatches(absorption, scattering, below, index=1.5)
    for row, paint in enumerate(PAINTS):
        for column, coats in enumerate(COATS):
            look = predict_look(Layering(paper_ground("cream"), (Film(((paint, 1.0),), coats),)))
            np.testing.assert_allclose(seen.reflectance[row, column], look.reflectance, atol=1e-12)
            np.testing.assert_allclose(seen.lab[row, column], look.lab, atol=1e-9)
            np.testing.assert_allclose(seen.srgb[row, column], look.srgb, atol=1e-9)
            assert bool(seen.in_gamut[row, column]) is look.in_gamut


def test_films_on_films_are_those_of_a_layering() -> None:
    dry, glaze = PAINTS[1], PAINTS[2]
    depths = [
        np.array([0.1 * getattr(glaze.optics, name), getattr(dry.optics, name)])
        for name in ("absorption", "scattering")
    ]
    seen = predict_glazed_swatches(*depths, paper_ground("white").under_film(1.5), index=1.5)
    films = (Film(((dry, 1.0),), 1.0), Film(((glaze, 1.0),), 0.1))
    look = predict_look(Layering(paper_ground("white"), films))
    np.testing.assert_allclose(seen.reflectance, look.reflectance, atol=1e-12)


def test_a_clear_film_under_a_glaze_changes_nothing() -> None:
    glaze, nothing = PAINTS[2], np.zeros(36)
    depths = [np.array([0.1 * getattr(glaze.optics, name), nothing]) for name in ("absorption", "scattering")]
    below = paper_ground("white").under_film(1.5)
    seen = predict_glazed_swatches(*depths, below, index=1.5)
    alone = predict_swatches(0.1 * glaze.optics.absorption, 0.1 * glaze.optics.scattering, below, index=1.5)
    # The single film is read from a table, good to a few 1e-5.
    np.testing.assert_allclose(seen.reflectance, alone.reflectance, atol=1e-4)


def test_mixtures_are_shares_by_volume() -> None:
    parts = np.array([[3.0, 1.0, 0.0], [0.0, 0.0, 2.0]])
    absorption, scattering, index = stir_optics(PAINTS[:3], parts)
    mixed = Film(((PAINTS[0], 3.0), (PAINTS[1], 1.0)), 1.0)
    np.testing.assert_allclose(absorption[0], mixed.absorption, rtol=1e-12)
    np.testing.assert_allclose(scattering[0], mixed.scattering, rtol=1e-12)
    np.testing.assert_allclose(absorption[1], PAINTS[2].optics.absorption, rtol=1e-12)
    assert index == 1.5


def test_binders_do_not_mix() -> None:
    oil = replace(PAINTS[0], binder=Binder.OIL)
    with pytest.raises(
        InputError, match=r"paints: saw 'acrylic, oil'; allowed is paints of one binder\. Oil, acrylic"
    ):
        shared_binder([oil, PAINTS[1]])
    with pytest.raises(InputError, match="paints: saw 'none'"):
        shared_binder([])
