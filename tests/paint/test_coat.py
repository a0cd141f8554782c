"""A full coat said in a gauge's words, in millilitres, grams or square metres to the litre: always the same film."""

from __future__ import annotations

import pytest

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
