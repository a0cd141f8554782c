"""A proof's reading goes into a paint as one more thing that is known, and never makes it less sure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, spectral_weights
from scumble.errors import InputError
from scumble.paint import (
    Binder,
    Film,
    Layering,
    Optics,
    Paint,
    Provenance,
    Quantity,
    interval_de00,
    paper_ground,
    predict_look,
    predict_reflectance,
)
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.look import depth_slopes
from scumble.paint.proof import HAND_COATS
from scumble.solve.fit.card_search import FLOOR
from scumble.solve.fit.prior import covariance_factor, matern_covariance
from scumble.solve.fit.sharpen import SURPRISE, PaintedProof, fit_sharper
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]


def believed(key: str, *, middle_nm: float, scattering: float, deviation: float = 0.15) -> Paint:
    """A paint of one smooth band, known to so much of its logarithm."""
    band = 0.1 + 6.0 * np.exp(-0.5 * ((WAVELENGTH_NM - middle_nm) / 60.0) ** 2)
    covariance = np.zeros((2 * BANDS, 2 * BANDS))
    covariance[:BANDS, :BANDS] = covariance[BANDS:, BANDS:] = matern_covariance(80.0, deviation)
    optics = Optics(band, np.full(BANDS, scattering), covariance)
    return Paint(key, key.title(), optics, Provenance.CARD, (), Binder.ACRYLIC)


def drawn(paint: Paint, rng: np.random.Generator) -> Paint:
    """A paint as it might be, from what is believed of it."""
    factor = covariance_factor(paint.optics.covariance)
    shift = np.exp(factor @ rng.standard_normal(factor.shape[1])).reshape(2, BANDS)
    true = Optics(paint.optics.absorption * shift[0], paint.optics.scattering * shift[1])
    return replace(paint, optics=true)


BLUE = believed("blue", middle_nm=620.0, scattering=0.6)
YELLOW = believed("yellow", middle_nm=430.0, scattering=1.0)


def thin(*parts: tuple[Paint, float], coats: float = 0.3, ground: str = "white") -> Layering:
    return Layering(paper_ground(ground), (Film(parts, coats),))


def proof_of(layering: Layering, reflectance: Floats, quantity: Quantity = Quantity.XYZ) -> PaintedProof:
    values = reflectance @ spectral_weights("D65", 2) if quantity is Quantity.XYZ else reflectance
    return PaintedProof(layering, quantity, values, 0.005)


def off(paint: Paint, true: Paint) -> float:
    """Mean difference over films that nobody proved [dE00]."""
    films = [("white", 0.1), ("white", 0.6), ("white", 1.0), ("black", 0.3), ("grey", 0.3)]
    looks = [
        [predict_look(thin((each, 1.0), coats=coats, ground=on)).lab for each in (paint, true)]
        for on, coats in films
    ]
    return float(np.mean([delta_e_2000(*pair) for pair in looks]))


def test_a_proof_betters_films_that_nobody_proved() -> None:
    """Over forty paints drawn from what is believed of one, its unseen films come nearer to the truth."""
    before, after, rng = [], [], np.random.default_rng(21)
    for _ in range(40):
        true = drawn(BLUE, rng)
        slip = float(np.exp(HAND_COATS * rng.standard_normal()))
        read = predict_reflectance(thin((true, 1.0), coats=0.3 * slip))
        found = fit_sharper("blue", [proof_of(thin((BLUE, 1.0)), read, Quantity.REFLECTANCE)])
        before.append(off(BLUE, true))
        after.append(off(replace(BLUE, optics=found.optics), true))
    assert np.mean(after) < 0.8 * np.mean(before)


def test_it_never_makes_a_paint_less_sure() -> None:
    true = drawn(BLUE, np.random.default_rng(4))
    found = fit_sharper("blue", [proof_of(thin((BLUE, 1.0)), predict_reflectance(thin((true, 1.0))))])
    change = BLUE.optics.covariance - found.optics.covariance
    # The smallest eigenvalue of what was gained is 0 to the rounding of the largest.
    assert np.linalg.eigvalsh(change).min() > -1e-12
    assert np.trace(found.optics.covariance) < np.trace(BLUE.optics.covariance)


def test_one_small_step_is_the_closed_form() -> None:
    """For a proof near to what is believed the answer is that of linear Gaussian updating.

    *Source:* Rodgers, Inverse Methods for Atmospheric Sounding (2000), equation 4.5.
    """
    certain = believed("blue", middle_nm=620.0, scattering=0.6, deviation=0.01)
    layering = thin((certain, 1.0), coats=5.0)
    moved = replace(certain, optics=Optics(certain.optics.absorption * 1.005, certain.optics.scattering))
    read = predict_reflectance(thin((moved, 1.0), coats=5.0))
    found = fit_sharper("blue", [proof_of(layering, read, Quantity.REFLECTANCE)])
    by_a, by_s = depth_slopes(layering)
    slope = np.concatenate([np.diag(by_a[0]), np.diag(by_s[0])], axis=1)
    thickness = (by_a[0] + by_s[0])[:, None] * HAND_COATS
    noise = np.diag((0.005 * read) ** 2 + FLOOR**2) + thickness @ thickness.T
    prior = certain.optics.covariance
    gain = prior @ slope.T @ np.linalg.inv(slope @ prior @ slope.T + noise)
    expected = gain @ (read - predict_reflectance(layering))
    moved_by = np.log(
        np.concatenate(
            [
                found.optics.absorption / certain.optics.absorption,
                found.optics.scattering / certain.optics.scattering,
            ]
        )
    )
    # Within 2 % of the largest change: 30 of 72 directions of the covariance are kept.
    assert np.max(np.abs(moved_by - expected)) < 0.02 * np.max(np.abs(expected))


def test_a_glaze_teaches_the_glaze_and_leaves_the_truth_of_what_lies_below() -> None:
    rng = np.random.default_rng(7)
    true = drawn(YELLOW, rng)

    def over_blue(top: Paint) -> Layering:
        return Layering(paper_ground("white"), (Film(((BLUE, 1.0),), 1.0), Film(((top, 1.0),), 0.3)))

    found = fit_sharper("yellow", [proof_of(over_blue(YELLOW), predict_reflectance(over_blue(true)))])
    sharper = replace(YELLOW, optics=found.optics)
    looks = [predict_look(over_blue(each)).lab for each in (YELLOW, sharper, true)]
    assert delta_e_2000(looks[1], looks[2]) < delta_e_2000(looks[0], looks[2])


def test_a_film_that_was_too_thick_is_not_taken_for_another_paint() -> None:
    """What a hand's slip explains moves the paint far less than the colour was off."""
    read = predict_reflectance(thin((BLUE, 1.0), coats=0.3 * np.exp(HAND_COATS)))
    found = fit_sharper("blue", [proof_of(thin((BLUE, 1.0)), read)])
    certain = predict_look(thin((BLUE, 1.0))).lab
    now = predict_look(thin((replace(BLUE, optics=found.optics), 1.0))).lab
    seen = predict_look(thin((BLUE, 1.0), coats=0.3 * np.exp(HAND_COATS))).lab
    assert delta_e_2000(certain, now) < 0.6 * delta_e_2000(certain, seen)


def test_another_paint_contradicts_and_loses_weight() -> None:
    read = predict_reflectance(thin((YELLOW, 1.0), coats=1.0))
    found = fit_sharper("blue", [proof_of(thin((BLUE, 1.0)), read)])
    assert found.surprises[0] > SURPRISE and found.trusts[0] < 0.6


def test_readings_of_one_photograph_share_its_errors() -> None:
    """Three swatches of one film on one photograph tell less than three on three photographs."""
    doubt = CameraDoubt(paper=0.03, chroma=0.05)
    read = predict_reflectance(thin((BLUE, 1.0))) @ spectral_weights("D65", 2)

    def left(names: tuple[str, ...]) -> float:
        proofs = [
            PaintedProof(thin((BLUE, 1.0)), Quantity.XYZ, read, 0.005, camera=doubt, together=name)
            for name in names
        ]
        optics = fit_sharper("blue", proofs).optics
        look = predict_look(thin((replace(BLUE, optics=optics), 1.0)))
        return interval_de00(look.lab, look.lab_covariance)

    assert left(("one", "one", "one")) > left(("one", "two", "three"))


def test_what_is_taken_as_exact_cannot_be_sharpened() -> None:
    exact = replace(BLUE, optics=Optics(BLUE.optics.absorption, BLUE.optics.scattering))
    with pytest.raises(InputError, match="taken as exact"):
        fit_sharper("blue", [proof_of(thin((exact, 1.0)), predict_reflectance(thin((exact, 1.0))))])


def test_a_paint_that_is_in_no_proof_is_refused() -> None:
    with pytest.raises(InputError, match="a paint that is in the proofs"):
        fit_sharper("red", [proof_of(thin((BLUE, 1.0)), predict_reflectance(thin((BLUE, 1.0))))])
    with pytest.raises(InputError, match="a paint that is in the proofs"):
        fit_sharper("blue", [])
