"""Tables for pictures: how long they take and how near they come to every colour for itself."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, srgb_to_xyz, upsample_colours, white_point, xyz_to_lab
from scumble.jobs.bench import painting
from scumble.jobs.bench.build import Tubes, build
from scumble.jobs.bench.painting import PaintingAsk, draw_table
from scumble.jobs.bench.request import Bench, BenchFilm
from scumble.paint.over_picture import Surface, predict_over_picture
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

ROUNDS = 60

LAYERINGS = {
    "a glaze": (BenchFilm(paint="quinacridone-magenta", coats=0.25, medium=2.0),),
    "a deep glaze": (BenchFilm(paint="phthalo-blue-red-shade", coats=0.3, medium=1.0),),
    "a scumble": (BenchFilm(paint="titanium-white", coats=0.15),),
    "blocked out": (BenchFilm(paint="cadmium-yellow", coats=1.5),),
    "three films": (
        BenchFilm(paint="titanium-white", coats=0.1),
        BenchFilm(paint="viridian", coats=0.2, medium=1.0),
        BenchFilm(paint="burnt-umber", coats=0.1, medium=2.0),
    ),
}


@dataclass(frozen=True)
class Exactness:
    """How far a table's path is from every colour for itself [dE00]."""

    name: str
    nodes: int
    mean: float
    high: float
    most: float


def generated_picture(side: int = 160) -> Floats:
    """A picture of soft and hard passages in all colours, shape (side * side, 3): sRGB of 8 bits."""
    rng = np.random.default_rng(11)
    y, x = np.mgrid[0:side, 0:side] / side
    waves = [
        sum(np.sin(2 * np.pi * (a * x + b * y + c)) for a, b, c in rng.uniform(-3, 3, (4, 3)))
        for _ in range(3)
    ]
    soft = 0.5 + 0.17 * np.stack(waves, axis=-1)
    patch = rng.uniform(0, 1, (8, 8, 3)).repeat(side // 8, axis=0).repeat(side // 8, axis=1)
    light = (0.25 + 0.75 * x)[..., None]
    picture = np.where((x + y < 1)[..., None], soft, patch * light)
    return np.rint(255 * np.clip(picture, 0, 1).reshape(-1, 3)) / 255


def between_nodes(values: Floats, rgb: Floats) -> Floats:
    """Straight lines between the eight nodes around each colour, as a graphics chip draws them."""
    nodes = len(values)
    place = rgb * (nodes - 1)
    low = np.minimum(place.astype(int), nodes - 2)
    share = place - low
    found = np.zeros_like(rgb)
    for corner in np.ndindex(2, 2, 2):
        weight = np.prod(np.where(corner, share, 1 - share), axis=-1, keepdims=True)
        red, green, blue = (low + corner).T
        found += weight * values[blue, green, red]
    return found


def measure_exactness(shelf: Shelf) -> Iterator[Exactness]:
    """Each layering with the page's own table, and one with fewer and with more nodes."""
    rgb = generated_picture()
    shown = upsample_colours(srgb_to_xyz(rgb))
    usual = painting.NODES
    for name, films in LAYERINGS.items():
        for nodes in (17, usual, 33) if name == "a deep glaze" else (usual,):
            yield _exactness(shelf, name, films, nodes, rgb, shown)


def _exactness(
    shelf: Shelf, name: str, films: tuple[BenchFilm, ...], nodes: int, rgb: Floats, shown: Floats
) -> Exactness:
    bench, tubes, usual = Bench(films=films), Tubes(shelf), painting.NODES
    exact, _ = predict_over_picture(build(shelf, tubes, bench).layering, shown, surface=Surface.GLOSSY)
    try:
        painting.NODES = nodes
        painting._nodes.cache_clear()
        drawn = draw_table(shelf, tubes, PaintingAsk(layering=bench))
    finally:
        painting.NODES = usual
        painting._nodes.cache_clear()
    table = np.frombuffer(drawn, "<f2").astype(float).reshape(nodes, nodes, nodes, 3)
    lab = [xyz_to_lab(srgb_to_xyz(each), white_point()) for each in (between_nodes(table, rgb), exact)]
    apart = delta_e_2000(*lab)
    return Exactness(name, nodes, float(apart.mean()), float(np.quantile(apart, 0.95)), float(apart.max()))


def time_tables(shelf: Shelf) -> dict[str, tuple[float, float]]:
    """Milliseconds of one table, median and 95th percentile, the film a little thicker each time."""
    tubes = Tubes(shelf)

    def thicker(films: tuple[BenchFilm, ...], round_: int) -> Bench:
        top = films[-1].model_copy(update={"coats": films[-1].coats * (1 + 0.01 * round_)})
        return Bench(films=(*films[:-1], top))

    def draw(films: tuple[BenchFilm, ...]) -> Callable[[int], object]:
        return lambda round_: draw_table(shelf, tubes, PaintingAsk(layering=thicker(films, round_)))

    return {name: _times(draw(films)) for name, films in LAYERINGS.items()}


def time_spectra() -> tuple[float, float]:
    """Milliseconds to find spectra for all nodes anew, when a white is pointed at."""

    def find(round_: int) -> object:
        gain = 1.0 + 0.002 * round_
        return painting._nodes((gain, gain, gain))

    return _times(find)


def _times(work: Callable[[int], object]) -> tuple[float, float]:
    work(0)
    took = []
    for round_ in range(1, ROUNDS + 1):
        start = time.perf_counter()
        work(round_)
        took.append(1e3 * (time.perf_counter() - start))
    return statistics.median(took), float(np.quantile(took, 0.95))
