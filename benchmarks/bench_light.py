"""The engine and the table against iadpython and against closed-form Kubelka-Munk, timed in turn in one run.

``./check bench`` prints the ratios; figures quoted elsewhere come from there.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import demo.light
import numpy as np
import pytest

from scumble.optics import kubelka_munk
from scumble.optics.film import film_response
from scumble.optics.stack import stack_response
from scumble.tables import BANDS

RNG = np.random.default_rng(0)
MANY = 200


def random_depths(*shape: int) -> tuple[np.ndarray, np.ndarray]:
    return 10 ** RNG.uniform(-2.5, 1.0, shape), 10 ** RNG.uniform(-2.0, 1.3, shape)


def ratio_of(
    ours: Callable[[], object], rival: Callable[[], object], *, ours_each: int = 1, rounds: int = 5
) -> float:
    """Median over rounds of the rival's time over ours, per spectrum, the two run in turn."""
    ratios = []
    for _ in range(rounds):
        start = time.perf_counter()
        ours()
        middle = time.perf_counter()
        rival()
        ratios.append((time.perf_counter() - middle) / ((middle - start) / ours_each))
    return statistics.median(ratios)


def report(benchmark, name: str, ratio: float) -> None:  # type: ignore[no-untyped-def]
    benchmark.extra_info[name] = round(ratio, 2)
    print(f"\n{name}: {ratio:,.1f}")


def iadpython_stack(points: int, films: list[tuple[np.ndarray, np.ndarray]]) -> None:
    before = demo.light.QUADRATURE_POINTS
    demo.light.QUADRATURE_POINTS = points
    try:
        demo.light.stack_response(films)
    finally:
        demo.light.QUADRATURE_POINTS = before


@pytest.mark.parametrize("points", [8, 16, 32])
def test_stack_of_three_against_iadpython(benchmark, points: int) -> None:  # type: ignore[no-untyped-def]
    absorption, scattering = random_depths(MANY, 3, BANDS)
    films = list(zip(absorption[0], scattering[0], strict=True))
    stack_response(absorption, scattering)
    ratio = ratio_of(
        lambda: stack_response(absorption, scattering),
        lambda: iadpython_stack(points, films),
        ours_each=MANY,
        rounds=3,
    )
    report(benchmark, f"three films, iadpython with {points} points over engine, per spectrum", ratio)
    benchmark(stack_response, absorption, scattering)


def test_single_film_against_iadpython(benchmark) -> None:  # type: ignore[no-untyped-def]
    absorption, scattering = random_depths(50 * MANY, BANDS)
    film = [(absorption[0], scattering[0])]
    film_response(absorption, scattering)
    ratio = ratio_of(
        lambda: film_response(absorption, scattering).over(0.8),
        lambda: iadpython_stack(16, film),
        ours_each=50 * MANY,
        rounds=3,
    )
    report(benchmark, "one film, iadpython with 16 points over table, per spectrum", ratio)
    benchmark(film_response, absorption, scattering)


def test_table_against_kubelka_munk(benchmark) -> None:  # type: ignore[no-untyped-def]
    """The closed form as ISO 18314-2 asks for it: hyperbolic film over a ground, then Saunderson's face."""
    absorption, scattering = random_depths(500, BANDS)
    ground = np.full(BANDS, 0.8)

    def closed_form() -> None:
        kubelka_munk.under_face(kubelka_munk.reflectance_over(absorption, scattering, ground), 1.5)

    def table() -> None:
        film_response(absorption, scattering).over(ground)

    table(), closed_form()
    ratio = ratio_of(table, closed_form, rounds=51)
    report(benchmark, "one film, table's time over Kubelka-Munk's in numpy", 1.0 / ratio)
    benchmark(table)
