"""A full coat said in a gauge's words, in millilitres, grams or square metres to the litre: always the same film."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.errors import InputError
from scumble.paint.coat import DOUBT, parse_coat


@pytest.mark.parametrize(
    "said",
    [
        "80 um",
        "80µm",
        "  80   UM ",
        "0.4 ml on 50 cm2",
        "0,4 ml on 5 x 10 cm",
        "0.4ml on 5000 mm²",
        "80 ml on 1 m2",
        "0.56 g on 50 cm2 at 1.4 g/ml",
        "0.56 g on 50 × 100 mm at 1.4 g/ml",
        "12.5 m2/l",
        "12.5 m² per litre",
    ],
)
def test_every_way_of_saying_it_is_one_film(said: str) -> None:
    """Volume by area by hand: 0.4 ml on 0.005 m2 are 80 ml on a square metre, 80 um; 1 l on 12.5 m2 likewise."""
    coat = parse_coat(said)
    assert coat.wet_um == pytest.approx(80.0, rel=1e-12)
    assert (coat.doubt, coat.said) == (DOUBT, " ".join(said.split()))


@pytest.mark.parametrize("sign", ["±", "+-", "+/-"])
def test_how_sure_it_is_can_be_said(sign: str) -> None:
    coat = parse_coat(f"120 um {sign} 25 %")
    assert (coat.wet_um, coat.doubt) == (120.0, 0.25)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("thick", "coat: saw 'thick'; allowed is 80 um, 0.4 ml on 50 cm2"),
        ("0.6 g on 50 cm2", "What was weighed needs the density"),
        ("0.4 ml on 50 cm", "allowed is 80 um"),
        ("0.4 ml on the card", "allowed is 80 um"),
        ("0.4 ml on 0 cm2", "a wet coat of 1 to 5000 um"),
        ("0 um", "This one is 0 um"),
        ("6 mm", "allowed is 80 um"),
        ("9000 um", "This one is 9e"),
        ("80 um +- 80 %", "a doubt of 0 to 50 %"),
        ("-80 um", "allowed is 80 um"),
        ("", "allowed is 80 um"),
    ],
)
def test_what_cannot_be_a_coat_is_said(said: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_coat(said)


@given(
    wet_um=st.floats(2.0, 4000.0),
    sides=st.tuples(st.floats(0.5, 90.0), st.floats(0.5, 90.0)),
    density=st.floats(0.6, 3.0),
    doubt=st.integers(0, 50),
)
def test_measured_weighed_and_as_a_rate_are_the_same_film(
    wet_um: float, sides: tuple[float, float], density: float, doubt: int
) -> None:
    """Whatever the film, saying it by volume, by weight, by gauge or by rate comes to the same."""
    area_cm2 = sides[0] * sides[1]
    volume_ml = wet_um * area_cm2 * 1e-4
    written = [
        f"{wet_um:.9f} um",
        f"{volume_ml:.12f} ml on {sides[0]:.9f} x {sides[1]:.9f} cm",
        f"{volume_ml * density:.12f} g on {area_cm2:.9f} cm2 at {density:.9f} g/ml",
        f"{1000.0 / wet_um:.12f} m2/l",
    ]
    for said in written:
        coat = parse_coat(f"{said} +- {doubt} %")
        assert coat.wet_um == pytest.approx(wet_um, rel=1e-5)
        assert coat.doubt == doubt / 100.0
        assert parse_coat(coat.said) == coat


@given(st.text(max_size=90))
def test_any_other_words_are_refused_with_ways_to_say_it(said: str) -> None:
    try:
        coat = parse_coat(said)
    except InputError as error:
        assert error.field == "coat" and error.allowed
    else:
        assert 1.0 <= coat.wet_um <= 5000.0
