"""Films over a picture: the same as a layering on each of its colours."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.colour import linear_to_srgb, linear_weights, srgb_to_xyz, upsample_colours
from scumble.optics.face import SHARE_SCATTERED, Face
from scumble.optics.fresnel import mirror_reflectance
from scumble.paint import Film, Ground, GroundFace, Layering, paper_ground, predict_look
from scumble.paint.over_picture import Surface, predict_over_picture
from scumble.paint.pigment import starter_shelf

PAINTS = {paint.key: paint for paint in starter_shelf()}
SHOWN = upsample_colours(srgb_to_xyz(np.random.default_rng(1).uniform(0, 1, (20, 3))))


def films(*laid: tuple[str, float]) -> tuple[Film, ...]:
    return tuple(Film(((PAINTS[key], 1.0),), coats) for key, coats in laid)


STACKS = [
    films(("viridian", 0.2)),
    films(("cadmium-yellow", 0.3), ("viridian", 0.2), ("burnt-umber", 0.1)),
]


@pytest.mark.parametrize("laid", STACKS)
@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("light", ["D65", "A"])
def test_it_is_a_layering_on_every_colour(laid: tuple[Film, ...], face: Face, light: str) -> None:
    layering = Layering(paper_ground("white"), laid, face)
    rgb, in_gamut = predict_over_picture(layering, SHOWN, surface=Surface.GLOSSY, light=light)
    for shown, seen, fits in zip(SHOWN, rgb, in_gamut, strict=True):
        look = predict_look(Layering(Ground(shown, GroundFace.GLOSS), laid, face), light=light)
        np.testing.assert_allclose(seen, look.srgb, atol=2e-4)
        assert bool(fits) == look.in_gamut


def test_bare_paper_has_no_face_to_take_off() -> None:
    layering = Layering(paper_ground("white"), STACKS[0])
    rgb, _ = predict_over_picture(layering, SHOWN, surface=Surface.BARE)
    look = predict_look(Layering(Ground(SHOWN[3]), STACKS[0]))
    np.testing.assert_allclose(rgb[3], look.srgb, atol=1e-6)


def test_a_clear_film_darkens_matte_paint_and_leaves_glossy_paint_as_it_is() -> None:
    """Varnish saturates what was matte. *Common practice, no source*; the size follows from Fresnel."""
    clear = Film(((PAINTS["viridian"], 1e-5),), 1.0, medium_parts=1.0)
    layering = Layering(paper_ground("white"), (clear,))
    grey = np.full((1, 36), 0.2)
    bare, _ = linear_to_srgb(grey @ linear_weights())
    glossy, _ = predict_over_picture(layering, grey, surface=Surface.GLOSSY)
    np.testing.assert_allclose(glossy, bare, atol=2e-3)
    matte, _ = predict_over_picture(layering, grey, surface=Surface.MATTE)
    taken = SHARE_SCATTERED[Face.MATTE] * mirror_reflectance(1.5)
    expected, _ = linear_to_srgb((grey - taken) @ linear_weights())
    np.testing.assert_allclose(matte, expected, atol=2e-3)


def test_without_films_the_picture_stays() -> None:
    rgb = np.random.default_rng(2).uniform(0.05, 0.95, (50, 3))
    nothing = Layering(paper_ground("white"))
    for surface in Surface:
        seen, _ = predict_over_picture(nothing, upsample_colours(srgb_to_xyz(rgb)), surface=surface)
        np.testing.assert_allclose(seen, rgb, atol=1e-4)


def test_what_hides_hides_every_colour() -> None:
    rgb, _ = predict_over_picture(
        Layering(paper_ground("white"), films(("titanium-white", 8.0))), SHOWN, surface=Surface.GLOSSY
    )
    assert np.ptp(rgb, axis=0).max() < 0.02


def test_nothing_shines_brighter_than_light() -> None:
    white = np.full((1, 36), 1.0)
    rgb, in_gamut = predict_over_picture(
        Layering(paper_ground("white"), films(("titanium-white", 0.1))), white, surface=Surface.GLOSSY
    )
    assert rgb.max() <= 1.0 and bool(in_gamut[0])
