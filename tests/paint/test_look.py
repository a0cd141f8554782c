"""Layerings: what they look like, and how sure that is."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scumble.colour import delta_e_2000, delta_e_2000_metric, spectral_weights, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.optics.stack import stack_response
from scumble.paint import (
    Binder,
    Film,
    Ground,
    GroundFace,
    Layering,
    Optics,
    Paint,
    Provenance,
    ground_of_colour,
    interval_de00,
    paper_ground,
    predict_look,
    predict_reflectance,
)
from scumble.tables import BANDS, WAVELENGTH_NM


def paint(
    key: str, absorption: float, scattering: float, *, deviation: float = 0.0, **changes: object
) -> Paint:
    bend = 1.0 + 0.8 * np.sin(WAVELENGTH_NM / 60.0)
    optics = Optics(absorption * bend, np.full(BANDS, scattering), deviation**2 * np.eye(2 * BANDS))
    return Paint(key, key, optics, Provenance.CARD, **changes)  # type: ignore[arg-type]


GLAZE, COVER = paint("glaze", 1.5, 0.1, deviation=0.05), paint("cover", 0.3, 9.0, deviation=0.03)
WHITE = paper_ground("white")


def test_a_film_is_its_response_over_the_ground() -> None:
    layering = Layering(WHITE, (Film(((GLAZE, 1.0),), 0.4),))
    engine = stack_response(0.4 * GLAZE.optics.absorption[None], 0.4 * GLAZE.optics.scattering[None])
    np.testing.assert_allclose(predict_reflectance(layering), engine.over(WHITE.reflectance), atol=1e-6)


def test_splitting_a_film_changes_nothing() -> None:
    whole = Layering(WHITE, (Film(((GLAZE, 1.0),), 0.5),))
    cut = Layering(WHITE, (Film(((GLAZE, 1.0),), 0.2), Film(((GLAZE, 1.0),), 0.3)))
    np.testing.assert_allclose(predict_reflectance(cut), predict_reflectance(whole), atol=2e-6)


def test_the_last_film_is_on_top() -> None:
    hidden = Layering(paper_ground("black"), (Film(((GLAZE, 1.0),), 1.0), Film(((COVER, 1.0),), 3.0)))
    alone = Layering(paper_ground("black"), (Film(((COVER, 1.0),), 3.0),))
    assert delta_e_2000(predict_look(hidden).lab, predict_look(alone).lab) < 0.5


def test_a_paint_on_its_own_dry_film_needs_the_face_taken_off() -> None:
    """Two coats at once look like one coat on the dry other: what 'face: gloss' of a ground is for."""
    first = predict_reflectance(Layering(WHITE, (Film(((COVER, 1.0),), 4.0),)))
    dry = Ground(first, GroundFace.GLOSS)
    again = predict_reflectance(Layering(dry, (Film(((COVER, 1.0),), 1.0),)))
    at_once = predict_reflectance(Layering(WHITE, (Film(((COVER, 1.0),), 5.0),)))
    np.testing.assert_allclose(again, at_once, atol=0.01)
    wrong = predict_reflectance(Layering(Ground(first), (Film(((COVER, 1.0),), 1.0),)))
    assert np.max(np.abs(wrong - at_once)) > np.max(np.abs(again - at_once))


def test_medium_thins_by_volume_and_water_by_coverage() -> None:
    half = Film(((GLAZE, 1.0),), 1.0, medium_parts=1.0)
    np.testing.assert_allclose(half.absorption, 0.5 * GLAZE.optics.absorption)
    washed = Film(((GLAZE, 1.0),), 1.0, water_parts=3.0)
    np.testing.assert_allclose(washed.absorption, 0.25 * GLAZE.optics.absorption)
    assert half.dry_coats == 1.0
    assert washed.dry_coats == 0.25


def test_mixtures_add_by_volume() -> None:
    mixed = Film(((GLAZE, 1.0), (COVER, 3.0)), 2.0)
    expected = 2.0 * (0.25 * GLAZE.optics.scattering + 0.75 * COVER.optics.scattering)
    np.testing.assert_allclose(mixed.scattering, expected)


@pytest.mark.parametrize("films", [1, 2])
def test_interval_is_what_a_thousand_draws_give(films: int) -> None:
    rng = np.random.default_rng(3)
    parts = ((GLAZE, 1.0), (COVER, 0.5))
    layering = Layering(WHITE, (Film(parts, 0.4), Film(((GLAZE, 1.0),), 0.2))[:films])
    look = predict_look(layering)
    drawn = []
    for _ in range(400):
        varied = {each.key: drawn_paint(each, rng) for each in (GLAZE, COVER)}
        changed = tuple(
            dataclasses.replace(film, parts=tuple((varied[p.key], n) for p, n in film.parts))
            for film in layering.films
        )
        drawn.append(delta_e_2000(look.lab, lab_of(dataclasses.replace(layering, films=changed))))
    assert look.interval_de00 == pytest.approx(np.percentile(drawn, 95), rel=0.15)


def lab_of(layering: Layering) -> np.ndarray:
    xyz = predict_reflectance(layering) @ spectral_weights("D65", 2)
    return xyz_to_lab(xyz, white_point("D65", 2))


def drawn_paint(own: Paint, rng: np.random.Generator) -> Paint:
    moved = rng.multivariate_normal(np.zeros(2 * BANDS), own.optics.covariance)
    absorption, scattering = np.exp(moved).reshape(2, BANDS)
    optics = Optics(
        own.optics.absorption * absorption, own.optics.scattering * scattering, own.optics.covariance
    )
    return dataclasses.replace(own, optics=optics)


def test_exact_optics_have_no_interval() -> None:
    exact = paint("exact", 1.0, 1.0)
    assert predict_look(Layering(WHITE, (Film(((exact, 1.0),), 1.0),))).interval_de00 == 0.0


# A sum of three equal chi-squares is chi-square with 3 degrees of freedom: 95 % at 7.815 (any table of it).
def test_interval_of_an_even_covariance() -> None:
    lab = np.array([50.0, 0.0, 0.0])
    even = np.linalg.inv(delta_e_2000_metric(lab))
    assert interval_de00(lab, even) == pytest.approx(np.sqrt(7.815), rel=5e-3)


def test_matte_is_lighter_and_duller_than_gloss() -> None:
    films = (Film(((GLAZE, 1.0),), 1.5),)
    gloss, matte = (predict_look(Layering(WHITE, films, face=face)).lab for face in (Face.GLOSS, Face.MATTE))
    assert matte[0] > gloss[0]
    assert np.hypot(*matte[1:]) < np.hypot(*gloss[1:])


# Common practice, no source: acrylics dry darker.
def test_acrylics_dry_darker_and_oils_do_not() -> None:
    for binder, shift in ((Binder.ACRYLIC, True), (Binder.OIL, False)):
        film = Film(((paint("p", 3.0, 0.8, binder=binder), 1.0),), 1.0)
        wet, dry = (predict_look(Layering(WHITE, (film,), wet=wet)).lab[0] for wet in (True, False))
        assert bool(wet - dry > 0.5) is shift


def test_light_changes_the_colour_of_a_paint() -> None:
    films = (Film(((GLAZE, 1.0),), 0.5),)
    day, lamp = (predict_look(Layering(WHITE, films), light=light) for light in ("D65", "A"))
    assert delta_e_2000(day.lab, lamp.lab) > 0.5
    np.testing.assert_array_equal(day.reflectance, lamp.reflectance)


def test_ground_of_a_colour_has_that_colour() -> None:
    ground = ground_of_colour([55.0, -20.0, 15.0])
    lab = xyz_to_lab(ground.reflectance @ spectral_weights("D65", 2), white_point("D65", 2))
    np.testing.assert_allclose(lab, [55.0, -20.0, 15.0], atol=1e-3)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Film((), 1.0), "at least one paint"),
        (lambda: Film(((GLAZE, 0.0),), 1.0), "parts of glaze"),
        (lambda: Film(((GLAZE, 1.0),), -1.0), "coats"),
        (lambda: Film(((GLAZE, 1.0),), float("nan")), "coats"),
        (lambda: Film(((GLAZE, 1.0),), 1.0, water_parts=-1.0), "water_parts"),
        (lambda: Film(((GLAZE, 1.0), (paint("oil", 1, 1, binder=Binder.OIL), 1.0)), 1.0), "do not mix"),
        (lambda: Ground(np.full(35, 0.5)), "36 numbers"),
        (lambda: Ground(np.full(36, 1.5)), "from 0 to 1"),
        (lambda: paper_ground("velvet"), "velvet"),
        (lambda: ground_of_colour([50.0, np.nan, 0.0]), "three numbers"),
        (lambda: Layering(WHITE, (Film(((GLAZE, 1.0),), 0.1),) * 41), "at most 40"),
        (lambda: Optics(np.zeros(36), np.ones(36)), "above 0"),
        (lambda: Optics(np.ones(36), np.ones(36), np.ones((3, 3))), "72 x 72"),
    ],
)
def test_impossible_things_are_refused(make, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match=message):
        make()
