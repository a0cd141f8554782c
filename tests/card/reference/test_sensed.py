"""What patches tell of a camera, and colours read with it: held against simulated sensors of their own."""

import numpy as np
import pytest
from benchmarks.routes.root_polynomial import fit_correction
from demo.paints import TUBES
from demo.sensor import raw_weights
from demo.target import reflectances, weights_d50

from scumble.card.reference.likely_films import (
    FilmKind,
    likely_cards,
    likely_films,
    likely_paints,
    likely_spectra,
)
from scumble.card.reference.sensed import (
    Spectra,
    agreeing_patches,
    fit_sensor,
    left_out,
    likely_reflectance,
    read_card,
    read_colours,
)
from scumble.card.reference.target_colours import TargetCalibration
from scumble.card.sheet.geometry import card_geometry
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.optics.film import film_response
from scumble.tables import BANDS, WAVELENGTH_NM

WHITE = white_point("D65", 2)
FILMS = {"full": 1.0, "thin1": 0.3, "thin2": 0.1}
EYE = spectral_weights("D65", 2)
PATCHES = reflectances()
XYZ = PATCHES @ EYE
ALL = np.ones(len(PATCHES))
KNOWN = Spectra(PATCHES, np.zeros((len(PATCHES), BANDS, BANDS)))


def off(xyz, true):
    return np.asarray(
        delta_e_2000(xyz_to_lab(np.maximum(xyz, 0), WHITE), xyz_to_lab(np.maximum(true, 0), WHITE))
    )


def seen_by(sensor, light):
    return raw_weights(sensor, light, balanced_for={light: 1.0})


def films(key="classroom-dull-green"):
    """Films of an invented tube over white, black and blue, as the card asks for them."""
    tube = next(each for each in TUBES if each.key == key)
    blue = 0.05 + 0.6 / (1 + np.exp((WAVELENGTH_NM - 520) / 15))
    grounds = (np.full(BANDS, 0.86), np.full(BANDS, 0.04), blue)
    made = [(film, coats, ground) for film, coats in FILMS.items() for ground in grounds]
    spectra = np.array(
        [film_response(tube.absorption() * d, tube.scattering() * d).over(under) for _, d, under in made]
    )
    return spectra, [FilmKind(film, 0.0) for film, _, _ in made], np.array([under for _, _, under in made])


@pytest.mark.parametrize("sensor", ["mosaic", "gaussian"])
@pytest.mark.parametrize("light", ["D50", "LED"])
def test_patches_of_known_spectra_fix_the_camera(sensor, light):
    """Other spectra than the patches', seen through the camera that was found, have the channels that they have."""
    weights = seen_by(sensor, light)
    sensed = fit_sensor(PATCHES @ weights, KNOWN, ALL)
    others = films()[0]
    miss = off(others @ weights @ sensed.to_eye, others @ sensed.weights)
    assert miss.mean() < 0.8
    assert np.mean(off(others @ sensed.weights, others @ EYE)) > 1.5 * miss.mean()


@pytest.mark.parametrize("light", ["D50", "LED", "A"])
def test_paints_are_read_closer_than_by_a_root_polynomial(light):
    weights = seen_by("mosaic", light)
    sensed, root = fit_sensor(PATCHES @ weights, KNOWN, ALL), fit_correction(PATCHES @ weights, XYZ)
    by_card, by_root = [], []
    for tube in TUBES:
        spectra, kinds, grounds = films(tube.key)
        seen, true = spectra @ weights, spectra @ EYE
        read = read_card(sensed, seen, likely_cards(kinds, grounds), trust=np.ones(len(kinds)))
        by_card.append(off(read.xyz, true).mean())
        by_root.append(off(root.to_xyz(seen), true).mean())
    assert np.mean(by_card) < 0.7 * np.mean(by_root)


def test_colours_alone_do_nearly_as_well_as_spectra():
    """A file of XYZ under D50: spectra are guessed, and what is guessed is told as doubt."""
    guessed = likely_reflectance(PATCHES @ weights_d50(), likely_spectra(), light="D50", observer=2)
    assert off(guessed.mean @ EYE, XYZ).mean() < 0.5
    weights = seen_by("gaussian", "D65")
    sensed = fit_sensor(PATCHES @ weights, guessed, ALL)
    others = films()[0]
    assert off(others @ weights @ sensed.to_eye, others @ sensed.weights).mean() < 1.5
    assert np.all(np.linalg.eigvalsh(guessed.spread).max(axis=1) > 1e-5)


def test_a_patch_that_is_scratched_moves_little():
    weights = seen_by("gaussian", "D65")
    seen = PATCHES @ weights
    seen[[5, 40]] = [[0.9, 0.1, 0.5], [0.02, 0.8, 0.1]]
    trust = agreeing_patches(seen, XYZ, ALL)
    assert trust[[5, 40]].max() < 0.1
    sensed = fit_sensor(seen, KNOWN, trust)
    others = films()[0]
    assert off(others @ weights @ sensed.to_eye, others @ sensed.weights).mean() < 0.8


def test_the_residual_grows_with_what_is_wrong():
    weights = seen_by("mosaic", "D65")
    seen = PATCHES @ weights
    well = left_out(seen, XYZ, KNOWN, ALL, likely_spectra())
    shaken = seen * np.exp(0.1 * np.random.default_rng(4).standard_normal((len(seen), 1)))
    badly = left_out(shaken, XYZ, KNOWN, ALL, likely_spectra())
    assert well.mean() < 1.0
    assert badly.mean() > 1.5 * well.mean()


def test_doubt_covers_what_colours_are_off():
    weights = seen_by("mosaic", "D50")
    spectra, kinds, grounds = films()
    sensed = fit_sensor(PATCHES @ weights, KNOWN, ALL)
    read = read_card(sensed, spectra @ weights, likely_cards(kinds, grounds), trust=np.ones(len(kinds)))
    miss = read.xyz - spectra @ EYE
    distance = np.einsum("pi,pij,pj->p", miss, np.linalg.inv(read.covariance), miss)
    # 16.3 is the 99.9th percentile of chi-square of three degrees of freedom.
    assert np.all(distance < 16.3)


def test_channels_cut_off_at_zero_are_read_as_what_is_cut_off_alike():
    """A deep film whose lowest channel the file lost: read from films that lose theirs too."""
    weights = seen_by("reference", "D65") - 0.03 * spectral_weights("D65", 2)[:, ::-1] / WHITE[::-1]
    spectra = likely_spectra()[::37]
    seen = spectra @ weights
    lost = seen.min(axis=1) < 0
    assert lost.sum() > 5
    clipped = np.maximum(seen, 0.0)
    sensed = fit_sensor(PATCHES @ weights, KNOWN, (np.min(PATCHES @ weights, axis=1) > 0).astype(float))
    knowing = read_colours(sensed, clipped, likely_spectra(), floor=0.0).xyz
    blindly = read_colours(sensed, clipped, likely_spectra(), floor=-1.0).xyz
    true = spectra @ EYE
    assert off(knowing, true)[lost].mean() < off(blindly, true)[lost].mean()


def test_noise_in_a_lost_channel_is_not_taken_for_light():
    """A deep blue whose red the file lost; grain lifts it off the end of the scale again."""
    weights = seen_by("mosaic", "D65") @ (np.eye(3) + np.array([[0.6, 0, 0], [-0.6, 0, 0], [0, 0, 0]]))
    spectra, kinds, grounds = films("classroom-deep-blue")
    seen = spectra @ weights
    lost = seen < 0.0
    assert lost[:, 0].sum() >= 3 and not lost[:, 1:].any()
    sensed = fit_sensor(PATCHES @ weights, KNOWN, (np.min(PATCHES @ weights, axis=1) > 0).astype(float))
    grain = 0.004
    light = np.where(lost, grain, seen)
    cards, every = likely_cards(kinds, grounds), np.ones(len(kinds))
    knowing = read_card(sensed, light, cards, trust=every, floor=np.where(lost, grain, 0.0)).xyz
    blindly = read_card(sensed, light, cards, trust=every, floor=0.0).xyz
    true = spectra @ EYE
    assert off(knowing, true)[lost[:, 0]].mean() < off(blindly, true)[lost[:, 0]].mean()


def test_likely_paints_are_drawn_once_and_are_paints():
    first = likely_paints()
    assert first is likely_paints()
    assert np.all(first.own > 0) and np.all(np.isfinite(first.own))
    spectra = likely_spectra()
    assert spectra.min() >= 0.0 and spectra.max() <= 1.0
    thick, thin = likely_films((FilmKind("full", 0.0), FilmKind("thin2", 0.0)))
    black, white = np.zeros(BANDS), np.ones(BANDS)
    assert np.mean(thin.over(white) - thin.over(black)) > np.mean(thick.over(white) - thick.over(black))


def test_areas_are_read_as_their_neighbours_slope():
    """A light a little off an area's own is led along the slope, and without a card each light by itself."""
    weights = seen_by("gaussian", "D65")
    sensed = fit_sensor(PATCHES @ weights, KNOWN, ALL)
    alone = TargetCalibration(sensed.to_eye, np.zeros(3), (), 0.0, sensed, np.ones(3), np.zeros(3))
    areas = card_geometry("quick").areas
    light = np.tile([[0.4, 0.3, 0.2]], (len(areas), 1))
    card = alone.on_card(areas, light, np.ones(len(areas)))
    nothing = np.zeros(3, bool)
    own, _ = card.to_reading(areas[0].name, light[0], nothing)
    more, blind = card.to_reading(areas[0].name, 1.01 * light[0], nothing)
    np.testing.assert_allclose(more / own, 1.01, atol=0.006)
    assert blind == ()
    _, blind = card.to_reading(areas[0].name, light[0], np.array([False, False, True]))
    assert len(blind) == 1
    assert alone.to_xyz(light).shape == light.shape
    assert 0.0 < card.sensor_doubt(np.ones(len(areas))) <= 1.0
    assert alone.sensor_doubt(np.ones(0)) == 1.0
