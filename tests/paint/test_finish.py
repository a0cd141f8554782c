"""What becomes of a coat, and what a glaze does: limits that any optics keep, in words that say what is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from scumble.optics.face import Face
from scumble.paint import Binder, Film, Ground, GroundFace, Layering, Optics, Paint, Provenance, predict_look
from scumble.paint.drawdown import CHART_WHITE
from scumble.paint.estimate import Estimate
from scumble.paint.finish import describe_finish, predict_finish
from scumble.paint.glazing import describe_glazing, most_turned, predict_glazing
from scumble.paint.pigment import starter_shelf

SHELF = {paint.key: paint for paint in starter_shelf()}
NORMALS = np.random.default_rng(6).standard_normal((50, 72))
CHART = Ground(np.full(36, CHART_WHITE), GroundFace.GLOSS, "white")
DARK, LIGHT = (Ground(np.full(36, shown), GroundFace.GLOSS, "flat") for shown in (0.005, 0.8))


def plain(absorption: float, scattering: float, binder: Binder = Binder.ACRYLIC) -> Paint:
    optics = Optics(np.full(36, absorption), np.full(36, scattering))
    return Paint("plain", "Plain", optics, Provenance.ILLUSTRATIVE, binder=binder)


@pytest.mark.parametrize("key", ["alizarin-crimson", "cadmium-red", "ultramarine-blue", "titanium-white"])
def test_a_coat_dries_and_dulls_as_its_layering_does(key: str) -> None:
    """The same numbers as of single layerings, which tests of looks hold to the engine."""
    paint, found = SHELF[key], predict_finish(SHELF[key])
    assert found.drying_lightness is not None
    film = (Film(((paint, 1.0),), 1.0),)
    dry, wet, matte = (
        predict_look(each).lab
        for each in (
            Layering(CHART, film),
            Layering(CHART, film, wet=True),
            Layering(CHART, film, face=Face.MATTE),
        )
    )
    assert found.drying_lightness.value == pytest.approx(dry[0] - wet[0], abs=1e-9)
    assert found.matte_lightness.value == pytest.approx(matte[0] - dry[0], abs=1e-9)


def test_a_dark_clear_coat_changes_most_and_a_white_least() -> None:
    """A matte face adds the same light to every colour, which is most to a dark one."""
    deep, pale = predict_finish(plain(3.0, 0.05)), predict_finish(plain(0.001, 20.0))
    assert deep.matte.value > 8.0 > 1.5 > pale.matte.value
    assert describe_finish(pale)[1].claim == "Looks much the same matte or varnished"
    assert describe_finish(deep)[1].claim.startswith("Goes paler and greyer matte")


def test_uneven_paint_hides_its_unevenness_only_where_it_hides_the_ground() -> None:
    hiding, clear = predict_finish(plain(5.0, 40.0)), predict_finish(plain(0.5, 0.02))
    assert hiding.uneven.value < 0.05 and clear.uneven.value > 2.0
    assert describe_finish(hiding)[2].claim == "Forgives uneven brushing, thick or thin"
    assert describe_finish(clear)[2].claim == "Even a full coat shows uneven brushing"
    between = describe_finish(predict_finish(SHELF["bone-black"]))[2]
    assert between.claim == "A full coat forgives uneven brushing; a thin one shows it"


@pytest.mark.parametrize("binder", [Binder.OIL, Binder.GUM])
def test_nothing_is_said_of_drying_where_the_wet_look_is_not_known(binder: Binder) -> None:
    found = predict_finish(plain(1.0, 1.0, binder))
    assert found.drying is None
    assert [said.topic for said in describe_finish(found)] == ["face", "evenness"]


def test_what_is_not_sure_is_hedged() -> None:
    found = predict_finish(SHELF["cobalt-violet"], normals=NORMALS)
    sure = describe_finish(replace(found, drying_words="dries darker", drying_share=1.0))[0]
    unsure = describe_finish(replace(found, drying_words="dries darker", drying_share=0.5))[0]
    assert (sure.claim, unsure.claim) == ("Dries darker", "Can't tell whether it dries darker")
    wide = Estimate(4.0, 1.0, 6.0)
    assert describe_finish(replace(found, matte=wide))[1].claim.startswith("Probably goes paler")


def test_a_glaze_of_nothing_changes_no_ground_and_a_clear_dark_one_sinks() -> None:
    nothing = predict_glazing(plain(1e-7, 1e-7), {"dark": DARK, "light": LIGHT})
    assert all(each.change.value < 1e-3 for each in nothing)
    assert "hardly shows on dark and light" in describe_glazing(nothing).claim
    ink = predict_glazing(plain(9.0, 1e-6), {"dark": DARK, "light": LIGHT})
    assert ink[0].lightness.value < 0.0 and ink[1].lightness.value < -10.0
    assert "sinks into dark" in describe_glazing(ink).claim


def test_a_scattering_glaze_is_a_veil_on_the_dark() -> None:
    white = predict_glazing(SHELF["titanium-white"], {"dark": DARK, "light": LIGHT}, normals=NORMALS)
    assert white[0].lightness.low > 4.0 and not white[0].change.is_exact
    assert "lies like a veil on dark" in describe_glazing(white).claim
    assert most_turned(white) in white


@pytest.mark.parametrize("key", SHELF)
def test_every_paint_is_told_of_in_numbers(key: str) -> None:
    said = [
        *describe_finish(predict_finish(SHELF[key], normals=NORMALS)),
        describe_glazing(predict_glazing(SHELF[key], {"dark": DARK, "light": LIGHT})),
    ]
    for each in said:
        assert each.claim[0].isupper() and not each.claim.endswith(".") and each.meaning.endswith(".")
        assert "nan" not in each.number and any(sign.isdigit() for sign in each.number)
