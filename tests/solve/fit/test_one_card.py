"""The estimator on cards whose truth is known."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from benchmarks.accuracy.card import FULL_CARD, Carelessness, paint_card
from benchmarks.accuracy.population import FAMILIES, edges_and_bands, white_paint
from benchmarks.accuracy.score import KINDS, Setting, score_family

from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.optics.film import film_response
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings, Quantity, Reading
from scumble.solve.fit.one_card import SURPRISE, fit_optics, fit_white, without_tints
from scumble.solve.fit.verdict import judge_fit

CAREFUL = Carelessness(noise=0.002, thickness=0.2, tint_ratio=0.01, jitter=0.002)


def painted(seed: int, **options: object) -> tuple[Optics, Optics, CardReadings]:
    rng = np.random.default_rng([71, seed])
    white, paint = white_paint(rng), edges_and_bands(rng)
    return paint, white, paint_card(paint, white, rng, **options)  # type: ignore[arg-type]


def film_lab(optics: Optics, coats: float, ground: float) -> np.ndarray:
    seen = film_response(coats * optics.absorption, coats * optics.scattering).over(ground)
    return xyz_to_lab(seen @ spectral_weights("D65", 2), white_point("D65", 2))


def changed(card: CardReadings, area: str, **changes: object) -> CardReadings:
    readings = tuple(dataclasses.replace(r, **changes) if r.area == area else r for r in card.readings)  # type: ignore[arg-type]
    return dataclasses.replace(card, readings=readings)


@pytest.mark.parametrize("quantity", list(Quantity))
@pytest.mark.parametrize("seed", range(4))
def test_a_careful_card_gives_the_paint_back(seed: int, quantity: Quantity) -> None:
    paint, white, card = painted(seed, care=CAREFUL, quantity=quantity)
    fit = fit_optics(card, white=white)
    assert fit.settled
    differences = [
        delta_e_2000(film_lab(paint, coats, ground), film_lab(fit.optics, coats, ground))
        for coats in (0.1, 0.3, 1.0)
        for ground in (0.04, 0.85)
    ]
    assert np.mean(differences) < (0.6 if quantity is Quantity.XYZ else 0.15)


def card_of_known_films(
    paint: Optics, *, light: str = "D65", observer: int = 2, thin: float = 0.3
) -> CardReadings:
    """A noiseless card of a full and a thin stroke over white and black."""
    weights = spectral_weights(light, observer)
    grounds = {"white": np.full(36, 0.85), "black": np.full(36, 0.04)}
    readings = [Reading(name, "bare", 1, 0, name, ground @ weights) for name, ground in grounds.items()]
    for film, coats in (("full", 1.0), ("thin1", thin)):
        for name, ground in grounds.items():
            seen = film_response(coats * paint.absorption, coats * paint.scattering).over(ground)
            readings.append(Reading(f"{film}-{name}", film, 1, 0, name, seen @ weights))
    return CardReadings(tuple(readings), Quantity.XYZ, light, observer, noise=0.002)


@pytest.mark.parametrize("thin", [0.2, 0.42])
def test_thickness_of_the_strokes_is_found(thin: float) -> None:
    fit = fit_optics(card_of_known_films(painted(2)[0], thin=thin))
    coats = {area.reading.area: area.coats for area in fit.areas}
    assert coats["thin1-white"] == pytest.approx(thin, rel=0.1)
    assert coats["white"] == 0.0


def test_the_full_film_is_one_coat() -> None:
    _, white, card = painted(1)
    full = [area.coats for area in fit_optics(card, white=white).areas if area.reading.film == "full"]
    assert full == pytest.approx([1.0, 1.0], rel=0.15)


@pytest.mark.slow
@pytest.mark.parametrize("noise", [0.01, 0.03])
@pytest.mark.parametrize("family", FAMILIES)
def test_intervals_hold_and_errors_are_small(family: str, noise: float) -> None:
    """Bounds a little above docs/accuracy.md, where 100 paints a family are scored; 40 are here."""
    score = score_family(family, Setting("test", care=Carelessness(noise=noise)), paints=40, seed=8)
    assert 90.0 <= score.coverage() <= 99.0
    bounds = {"thin glazes": 0.75, "thick glazes": 0.75, "tints": 0.7, "mixtures": 1.2}
    for kind in KINDS:
        assert score.mean(kind) < bounds[kind] * (1.0 if noise == 0.01 else 2.0)


def test_a_white_is_known_from_its_own_card() -> None:
    rng = np.random.default_rng(5)
    white = white_paint(rng)
    strokes = tuple(stroke for stroke in FULL_CARD if stroke[2] == 0)
    fit = fit_white(paint_card(white, white, rng, layout=strokes))
    assert np.median(np.abs(np.log(fit.optics.scattering / white.scattering))) < 0.15
    assert delta_e_2000(film_lab(white, 1.0, 0.04), film_lab(fit.optics, 1.0, 0.04)) < 1.5


@pytest.mark.parametrize("seed", range(6))
def test_a_wrong_white_is_noticed(seed: int) -> None:
    _, white, card = painted(seed)
    weak = Optics(white.absorption * 1.3, white.scattering * 0.25)
    right, wrong = fit_optics(card, white=white), fit_optics(card, white=weak)
    assert right.tint_surprise < 2.0 < SURPRISE < wrong.tint_surprise
    assert any("do not agree with this white" in sentence for sentence in judge_fit(wrong, card))
    assert not any("white" in sentence for sentence in judge_fit(right, card))


@pytest.mark.parametrize("area", ["thin1-red", "full-black", "thin2-cyan"])
def test_a_wrong_area_is_named_and_does_little_harm(area: str) -> None:
    paint, white, card = painted(2)
    spoilt = changed(card, area, values=np.array([12.0, 30.0, 9.0]))
    fit = fit_optics(spoilt, white=white)
    assert any(f"Area {area} does not fit" in sentence for sentence in judge_fit(fit, spoilt))
    assert delta_e_2000(film_lab(paint, 0.3, 0.85), film_lab(fit.optics, 0.3, 0.85)) < 3.0


def test_an_area_of_no_weight_changes_nothing() -> None:
    _, white, card = painted(4)
    without = dataclasses.replace(card, readings=tuple(r for r in card.readings if r.area != "thin1-red"))
    muted = changed(card, "thin1-red", weight=0.0, values=np.array([1.0, 2.0, 3.0]))
    one, other = fit_optics(without, white=white), fit_optics(muted, white=white)
    np.testing.assert_allclose(one.optics.absorption, other.optics.absorption, rtol=1e-3)


def test_what_was_not_painted_is_said() -> None:
    _, white, card = painted(0)
    only_white = tuple(r for r in card.readings if r.area in ("white", "full-white"))
    bare = dataclasses.replace(card, readings=only_white)
    sentences = " ".join(judge_fit(fit_optics(bare, white=white), bare))
    assert "Poorly determined" in sentences
    assert "because nothing was painted over black" in sentences
    assert "nothing thin was painted" in sentences


def test_tints_without_a_white_are_left_out_and_said() -> None:
    _, _, card = painted(0)
    fit = fit_optics(card)
    assert all(area.reading.white_parts == 0 for area in fit.areas)
    assert any("no white was given" in sentence for sentence in judge_fit(fit, card))


def test_noise_beyond_the_promise_is_said() -> None:
    _, white, card = painted(1, care=Carelessness(noise=0.08))
    quiet = dataclasses.replace(card, noise=0.01)
    fit = fit_optics(quiet, white=white)
    assert fit.noise > 0.025
    assert any("where 1.0 % was expected" in sentence for sentence in judge_fit(fit, quiet))


def test_nothing_painted_is_an_error() -> None:
    card = without_tints(painted(0)[2])
    bare = dataclasses.replace(card, readings=tuple(r for r in card.readings if r.is_bare))
    with pytest.raises(InputError, match="no painted area that can be used"):
        fit_optics(bare)


def test_the_order_of_the_areas_does_not_matter() -> None:
    _, white, card = painted(3)
    turned = dataclasses.replace(card, readings=card.readings[::-1])
    one, other = fit_optics(card, white=white), fit_optics(turned, white=white)
    np.testing.assert_allclose(one.optics.scattering, other.optics.scattering, rtol=2e-2)


def test_readings_under_another_light_give_the_same_paint() -> None:
    paint = painted(2)[0]
    labs = [
        film_lab(fit_optics(card_of_known_films(paint, light=light, observer=10)).optics, 0.3, 0.85)
        for light in ("D65", "A")
    ]
    assert delta_e_2000(labs[0], labs[1]) < 2.0


def test_a_channel_that_was_lost_does_no_harm() -> None:
    """Readings shifted along a direction they are all but blind in fit as if nothing had happened."""
    paint, white, card = painted(2, care=CAREFUL)
    lost = (0.41, 0.21, 0.02)
    shifted = card
    for reading in card.painted()[::2]:
        values = reading.values + 30.0 * np.array(lost)
        far = tuple(100.0 * part for part in lost)
        shifted = changed(shifted, reading.area, values=values, blind=(far,))
    fit = fit_optics(shifted, white=white)
    assert fit.tint_surprise < SURPRISE
    assert all(area.misfit < 6.0 for area in fit.areas)
    bare_of_doubt = tuple(dataclasses.replace(r, blind=()) for r in shifted.readings)
    misled = fit_optics(dataclasses.replace(shifted, readings=bare_of_doubt), white=white)

    def error(found: Optics) -> float:
        films = [(coats, ground) for coats in (0.1, 0.3, 1.0) for ground in (0.04, 0.85)]
        return float(
            np.mean([delta_e_2000(film_lab(paint, *film), film_lab(found, *film)) for film in films])
        )

    assert error(fit.optics) < 1.0
    assert error(misled.optics) > 4.0 * error(fit.optics)
