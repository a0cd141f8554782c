"""How far a paint goes, against the definitions of ISO 6504-1 and ISO 6504-3 worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.paint.behaviour import predict_behaviour
from scumble.paint.coat import parse_coat
from scumble.paint.covering import contrast_ratio
from scumble.paint.estimate import Estimate
from scumble.paint.pigment import starter_shelf
from scumble.paint.spreading import Spreading, describe_spreading, predict_spreading

SHELF = {paint.key: paint for paint in starter_shelf()}
OCHRE = SHELF["yellow-ochre"]
NORMALS = np.random.default_rng(8).standard_normal((60, 72))


def exactly(value: float) -> Estimate:
    return Estimate(value, value, value)


def spread(coats: Estimate, said: str, **tube: float) -> Spreading:
    return predict_spreading(OCHRE, parse_coat(said), coats, **tube)  # type: ignore[arg-type]


def test_a_litre_is_a_thousand_micrometres_on_a_square_metre() -> None:
    """ISO 6504-1: spreading rate at contrast ratio 98 %. One and a half coats of 80 um are 120 um, 1000 / 120 = 8.33
    m2 to the litre; a tube of 37 ml hides 37 / 120 = 0.308 m2; at 7.40 a tube that is 24.0 a square metre."""
    found = spread(exactly(1.5), "80 um +- 0 %", size_ml=37.0, price=7.40)
    assert found.hiding_um.value == pytest.approx(120.0)
    assert found.m2_per_litre.value == pytest.approx(8.3333, abs=1e-4)
    assert found.m2_per_tube is not None and found.price_per_m2 is not None
    assert found.m2_per_tube.value == pytest.approx(0.30833, abs=1e-5)
    assert found.price_per_m2.value == pytest.approx(24.0)
    assert found.coat_m2_per_tube is not None
    assert found.coat_m2_per_tube.value == pytest.approx(0.4625)
    assert found.m2_per_litre.is_exact and found.price_per_m2.is_exact


def test_doubts_of_the_paint_and_of_the_coat_add_as_squares() -> None:
    """Two independent doubts of 30 % and 40 % in the logarithm are 50 % together."""
    share = np.expm1(0.4)
    coat = f"100 um +- {100 * share:.10f} %"
    found = spread(Estimate(2.0, 2.0 * np.exp(-0.3), 2.0 * np.exp(0.3)), coat)
    assert np.log(found.hiding_um.high / 200.0) == pytest.approx(0.5, abs=1e-6)
    assert np.log(found.hiding_um.low / 200.0) == pytest.approx(-0.5, abs=1e-6)
    assert found.m2_per_litre.low == pytest.approx(1000.0 / found.hiding_um.high)
    assert found.m2_per_litre.high == pytest.approx(1000.0 / found.hiding_um.low)


def test_what_may_never_hide_has_an_open_end_and_what_never_hides_says_so() -> None:
    open_end = spread(Estimate(6.0, 4.0, np.inf), "80 um", size_ml=37.0, price=9.0)
    assert (open_end.hiding_um.high, open_end.m2_per_litre.low) == (np.inf, 0.0)
    assert open_end.price_per_m2 is not None and open_end.price_per_m2.high == np.inf
    assert "no end" in str(describe_spreading(open_end, currency="EUR")[2])
    never = spread(Estimate(np.inf, np.inf, np.inf), "80 um", size_ml=37.0, price=9.0)
    said = describe_spreading(never, currency="EUR")
    assert (never.m2_per_litre.value, len(said)) == (0.0, 2)
    assert said[0].claim == "One tube of 37 ml lays 0.46 m² with one coat, and does not hide"


def test_the_fixed_rate_is_a_film_of_fifty_micrometres() -> None:
    """ISO 6504-3: contrast ratio at 20 m2 to the litre; of a coat of 100 um that is half a coat."""
    found = spread(exactly(1.0), "100 um +- 0 %")
    half = contrast_ratio(OCHRE.optics.absorption, OCHRE.optics.scattering, 0.5).item()
    assert found.fixed_ratio.value == pytest.approx(half, abs=1e-12)
    thick = predict_spreading(OCHRE, parse_coat("2 um"), exactly(1.0))
    assert thick.fixed_ratio.value <= 1.0


def test_a_painter_hears_tubes_sheets_and_money() -> None:
    behaviour = predict_behaviour(OCHRE)
    found = predict_spreading(
        OCHRE, parse_coat("80 um"), behaviour.coats_to_hide, normals=NORMALS, size_ml=37.0, price=7.40
    )
    goes, rate, cost = describe_spreading(found, currency="EUR")
    assert goes.claim.startswith("One tube of 37 ml hides 0.") and "sheets of A4" in goes.claim
    assert "m² to the litre" in goes.number and "one full coat is 80 µm wet (80 um)" in goes.number
    assert "20 m² to the litre" in rate.claim and "ISO 6504-3" in rate.meaning
    assert cost.claim.startswith("Hiding a square metre costs about") and cost.claim.endswith("EUR")
    bare = describe_spreading(predict_spreading(OCHRE, parse_coat("80 um"), behaviour.coats_to_hide))
    assert len(bare) == 2 and bare[0].claim.startswith("A litre hides")
