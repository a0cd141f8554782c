"""The starter shelf: whole, plausible row by row, honest about what it is."""

from __future__ import annotations

import re

import numpy as np
import pytest

from scumble.paint import Film, Layering, Provenance, paper_ground, predict_look
from scumble.paint.caution import pigment_cautions
from scumble.paint.pigment import illustrative_covariance, starter_pigments, starter_shelf
from scumble.tables import BANDS, WAVELENGTH_NM, load_table

SHELF = starter_shelf()
KEYS = [paint.key for paint in SHELF]
TABLES = ("starter_pigments", "starter_features", "starter_grains", "starter_practice")


def test_the_shelf_is_large_and_every_key_and_label_stands_once() -> None:
    assert len(SHELF) >= 40
    assert len(set(KEYS)) == len({paint.label for paint in SHELF}) == len(SHELF)


@pytest.mark.parametrize("name", TABLES)
def test_every_table_says_where_it_comes_from(name: str) -> None:
    table = load_table(name)
    assert table.title and table.source and table.read_from and table.licence
    words = [column for column, unit in table.units.items() if unit == "text"]
    assert all(cell.strip() for word in words for cell in table[word].tolist())


def test_parts_belong_to_a_pigment_and_practice_speaks_of_all() -> None:
    for name in ("starter_features", "starter_grains"):
        assert set(load_table(name)["key"].tolist()) <= set(KEYS)
    assert load_table("starter_practice")["key"].tolist() == KEYS


@pytest.mark.parametrize("paint", SHELF, ids=KEYS)
def test_a_paint_says_that_it_is_illustrative(paint) -> None:
    assert paint.provenance is Provenance.ILLUSTRATIVE
    assert paint.status[0].startswith("Illustrative")
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", paint.key)
    assert paint.pigments
    assert all(re.fullmatch(r"P(W|Y|O|R|V|B|G|Br|Bk)\d{1,3}(:\d)?", name) for name in paint.pigments)


@pytest.mark.parametrize("pigment", starter_pigments(), ids=KEYS)
def test_every_recipe_is_plausible(pigment) -> None:
    assert len(pigment.why.split()) >= 7
    assert 0 < pigment.floor < 15 and 0 <= pigment.floor_fall <= 4
    # From next to nothing to twice a titanium white; none falls faster than Rayleigh's fourth power.
    assert 0 < pigment.haze.depth <= 20 and 0 <= pigment.haze.fall <= 4
    assert 0 <= pigment.haze.rise <= 0.6 and 400 <= pigment.haze.rise_nm <= 700
    for feature in pigment.features:
        assert 330 <= feature.position_nm <= 760
        assert 150 <= feature.width_per_cm <= 8000
        assert 0 < feature.depth <= 40
    for grain in pigment.grains:
        # A coat is some 30 um of dry acrylic: at most a fifth of it is solid pigment.
        assert 0 < grain.pigment_um <= 6.0
        assert 0.02 <= grain.diameter_um <= 1.0 and 1.2 <= grain.spread <= 1.8
        assert 0.3 <= grain.kept <= 1.0 and abs(grain.shift_ev) <= 0.4


@pytest.mark.parametrize("paint", SHELF, ids=KEYS)
def test_every_spectrum_is_plausible(paint) -> None:
    absorption, scattering = paint.optics.absorption, paint.optics.scattering
    assert absorption.min() > 0 and absorption.max() < 60
    assert scattering.min() > 0 and scattering.max() < 40
    # No line spectra: an edge's tail changes by at most 700 1/cm (10 nm at 380 nm) over its width of 190 or more.
    assert np.abs(np.diff(np.log(absorption))).max() < 700 / 190
    assert np.abs(np.diff(np.log(scattering))).max() < 0.4


def test_features_and_grains_add_up() -> None:
    by_key = {pigment.key: pigment for pigment in starter_pigments()}
    ochre = by_key["red-ochre"]
    (grain,), (edge,) = ochre.grains, ochre.features
    absorbed, scattered = grain.depths
    assert np.allclose(ochre.optics.absorption, ochre.floor + edge.absorption + absorbed)
    assert np.allclose(ochre.optics.scattering, ochre.haze.scattering + scattered)


def test_an_illustrative_paint_is_known_to_a_fifth_and_its_errors_hang_together() -> None:
    covariance = illustrative_covariance()
    deviation = np.sqrt(np.diag(covariance))
    assert covariance.shape == (2 * BANDS, 2 * BANDS)
    assert np.all((deviation > 0.15) & (deviation < 0.25))
    assert np.allclose(covariance, covariance.T)
    assert np.linalg.eigvalsh(covariance).min() > -1e-12
    correlation = covariance / np.outer(deviation, deviation)
    assert correlation[10, 11] > 0.98
    assert 0.5 < correlation[0, BANDS - 1] < 0.7
    assert np.all(correlation[:BANDS, BANDS:] == 0)
    assert all(paint.optics.covariance is covariance for paint in SHELF)
    with pytest.raises(ValueError, match="read-only"):
        covariance[0, 0] = 1.0


@pytest.mark.parametrize("paint", SHELF, ids=KEYS)
def test_predictions_of_illustrative_paints_carry_a_doubt_one_can_see(paint) -> None:
    look = predict_look(Layering(paper_ground("white"), (Film(((paint, 1.0),), 0.3),)))
    assert 0.1 < look.interval_de00 < 15.0


def test_the_colour_index_names_call_for_a_caution_where_practice_has_one() -> None:
    practice = load_table("starter_practice")
    metals = {"cadmium", "cobalt", "nickel", "manganese", "zinc", "vanadium"}
    for paint, families in zip(SHELF, practice["caution"].tolist(), strict=True):
        said = " ".join(pigment_cautions(paint.pigments))
        known = metals & set(families.split())
        assert not known or any(metal in said for metal in known), paint.key


def test_the_hematites_differ_by_size_not_by_substance() -> None:
    by_key = {pigment.key: pigment for pigment in starter_pigments()}
    grades = [by_key[key].grains[0] for key in ("transparent-red-oxide", "red-oxide", "violet-oxide")]
    assert {grain.material for grain in grades} == {"hematite"}
    sizes = [grain.diameter_um for grain in grades]
    assert sizes[0] < 0.1 < sizes[1] < 0.3 < sizes[2]


def test_the_cadmiums_share_one_measured_edge() -> None:
    cadmiums = [pigment for pigment in starter_pigments() if pigment.family == "cadmium"]
    assert len(cadmiums) == 5
    assert all(not pigment.features for pigment in cadmiums)
    shifts = [pigment.grains[0].shift_ev for pigment in cadmiums]
    assert shifts == sorted(shifts, reverse=True)
    half = [
        WAVELENGTH_NM[np.argmin(np.abs(np.log(p.optics.absorption / p.optics.scattering)))] for p in cadmiums
    ]
    assert half == sorted(half)
