"""What a shelf cannot reach, and which kind of tube would open most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, name_colours, white_point, xyz_to_srgb
from scumble.jobs.files import shelf_path
from scumble.jobs.match.match_colour import find_ground
from scumble.jobs.match.wanted_colours import Wanted, choose_wanted, load_lines
from scumble.jobs.white import is_white
from scumble.paint import Paint
from scumble.paint.covering import MARK_BOUNDS, opacity
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Wishes
from scumble.solve.recipe.find import usable_tubes
from scumble.solve.recipe.reach import not_on_shelf
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.sketch import sketch_misses
from scumble.solve.recipe.target import target_of_lab
from scumble.solve.supply import WORST

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

OUT_OF_REACH = 4.0
"""Miss from which a colour counts as a gap; the sketch behind it is right to about 1 [dE00]."""

ROUTES = ("cover", "glaze")


@dataclass(frozen=True, slots=True)
class Gap:
    """A wanted colour that the shelf misses.

    Parameters
    ----------
    label, name, route, colour : str
        What it is called, what it looks like, by which route, on the screen.
    miss : float [dE00]
    """

    label: str
    name: str
    route: str
    colour: str
    miss: float


@dataclass(frozen=True, slots=True)
class Opener:
    """A kind of tube that the shelf has not.

    Parameters
    ----------
    key, label : str
        Of the starter pigment that stands for it.
    pigments : tuple of str
        Colour Index names to look for.
    opened : int
        Gaps that it closes.
    gain : float [dE00]
        By how much the mean miss falls.
    colours : tuple of str
        Screen colours of what it opens, the largest gaps first.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    opened: int
    gain: float
    colours: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Gaps:
    """What a shelf reaches and what not.

    Parameters
    ----------
    source : str
        Where the wanted colours come from.
    wanted, reached : int
        Colours, counted once a route.
    gaps : tuple of Gap
        The largest first.
    openers : tuple of Opener
        The most helpful first.
    """

    source: str
    wanted: int
    reached: int
    gaps: tuple[Gap, ...]
    openers: tuple[Opener, ...]

    def as_data(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        return asdict(self)


def gaps_of_shelf(
    shelf: Path | None,
    *,
    picture: Path | None = None,
    colours: Path | None = None,
    most: int = 60,
    routes: tuple[str, ...] = (),
    exclude: tuple[str, ...] = (),
    ground: object = "white",
    progress: Progress | None = None,
) -> Gaps:
    """Gaps of a shelf's file; see :func:`find_gaps`."""
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes = opened.load_paints()
    wanted = choose_wanted(tubes, picture=picture, lines=load_lines(colours), count=most)
    return find_gaps(tubes, wanted, routes=routes, exclude=exclude, ground=ground, progress=progress)


def find_gaps(
    shelf: Sequence[Paint],
    wanted: Wanted,
    *,
    routes: tuple[str, ...] = (),
    exclude: tuple[str, ...] = (),
    ground: object = "white",
    progress: Progress | None = None,
) -> Gaps:
    """What a shelf cannot reach with mixtures of up to three tubes, or with one or two glazes.

    Parameters
    ----------
    shelf : sequence of Paint
        Tubes at hand.
    wanted : Wanted
        Colours to look for.
    routes : tuple of str
        ``cover``, ``glaze``; both when empty.
    exclude : tuple of str
        As for a match; also keeps a kind of tube from being proposed.
    ground : object
        What glazes lie over.
    progress : callable, optional
        Told what is being done and the share; what it raises stops the work.

    Raises
    ------
    InputError
        If the shelf is empty, or everything is excluded.
    """
    tell = progress or (lambda _words, _share: None)
    wishes = Wishes(excluded=frozenset(exclude))
    own = usable_tubes(shelf, wishes)
    known = (replace(paint, binder=own[0].binder) for paint in starter_shelf())
    others = tuple(paint for paint in not_on_shelf(own, tuple(known)) if wishes.allow(paint))
    search = Search(target_of_lab([50.0, 0.0, 0.0]), (*own, *others), find_ground(ground))
    clear = opacity(search.absorption, search.scattering, index=search.index) < MARK_BOUNDS[1]
    best, with_other = [], []
    for route in routes or ROUTES:
        tell(f"looking for what cannot be reached: {route}", 0.1 if route == "cover" else 0.7)
        base, grown = _reach(search, len(own), clear, wanted.labs, route)
        best.append(base)
        with_other.append(grown)
    misses, opened = np.concatenate(best), np.concatenate(with_other, axis=1)
    tell("weighing what would help", 0.95)
    return Gaps(
        wanted.source,
        int(misses.size),
        int((misses < OUT_OF_REACH).sum()),
        _gaps(wanted, misses, routes or ROUTES),
        _openers(others, misses, opened, wanted),
    )


def _reach(
    search: Search, own: int, clear: NDArray[np.bool_], labs: Floats, route: str
) -> tuple[Floats, Floats]:
    """Least miss of the shelf for every colour, and with each other tube."""
    count = len(search.tubes)
    whites = [place for place in range(own) if is_white(search.tubes[place])][:2]
    best, grown = np.full(len(labs), WORST), np.full((count - own, len(labs)), WORST)
    covers = route == "cover"
    for size in (1, 2, 3) if covers else (1, 2):
        usable = [place for place in range(own) if covers or clear[place]]
        rows = list(combinations(usable, size))
        new = []
        for tube in range(own, count):
            if not covers and not clear[tube]:
                continue
            if size < 3:
                new += [(*rest, tube) for rest in combinations(usable, size - 1)]
            else:
                new += [
                    (*sorted({white, other}), tube) for white in whites for other in usable if other != white
                ]
        for members, is_new in ((rows, False), (new, True)):
            if not members:
                continue
            group = np.array(members, dtype=np.int64)
            misses = sketch_misses(search, group, labs, coats=4.0 if covers else 0.0)
            if is_new:
                np.minimum.at(grown, group[:, -1] - own, misses)
            else:
                best = np.minimum(best, misses.min(axis=0))
    return best, np.minimum(grown, best)


def _gaps(wanted: Wanted, misses: Floats, routes: tuple[str, ...]) -> tuple[Gap, ...]:
    white = white_point("D65", 2)
    names = name_colours(lab_to_xyz(wanted.labs, white).clip(0.0))
    rows = [(route, at) for route in routes for at in range(len(wanted.labs))]
    far = sorted(
        (place for place in range(len(rows)) if misses[place] >= OUT_OF_REACH),
        key=lambda place: -float(misses[place]),
    )
    return tuple(
        Gap(
            wanted.labels[rows[place][1]],
            names[rows[place][1]],
            rows[place][0],
            _hex(wanted.labs[rows[place][1]]),
            round(float(misses[place]), 1),
        )
        for place in far
    )


def _openers(others: Sequence[Paint], misses: Floats, opened: Floats, wanted: Wanted) -> tuple[Opener, ...]:
    found = []
    for paint, with_it in zip(others, opened, strict=True):
        closed = np.flatnonzero((misses >= OUT_OF_REACH) & (with_it < OUT_OF_REACH))
        gain = float(np.mean(misses - with_it))
        order = closed[np.argsort(-misses[closed])][:12]
        colours = tuple(dict.fromkeys(_hex(wanted.labs[at % len(wanted.labs)]) for at in order))
        if gain > 0.005:
            found.append(Opener(paint.key, paint.label, paint.pigments, len(closed), round(gain, 3), colours))
    return tuple(sorted(found, key=lambda each: (-each.opened, -each.gain)))


def _hex(lab: Floats) -> str:
    rgb, _ = xyz_to_srgb(lab_to_xyz(lab, white_point("D65", 2)), light="D65", observer=2)
    return write_colour(rgb)


def say_gaps(found: Gaps) -> list[str]:
    """Gaps in lines."""
    lines = [
        f"{found.reached} of {found.wanted} colours ({found.source}) come within dE00 {OUT_OF_REACH:g} with this shelf."
    ]
    if found.gaps:
        lines += ["", "Farthest out of reach"]
        lines += [f"  {gap.label}, {gap.name}: dE00 {gap.miss:.0f} to {gap.route}" for gap in found.gaps[:10]]
    if found.openers:
        lines += ["", "What would open most"]
        for each in found.openers[:5]:
            names = " + ".join(each.pigments) or "no Colour Index name"
            lines.append(
                f"  {each.label} ({names}): {each.opened} more within reach, the mean miss falls by {each.gain:.1f}"
            )
        lines.append("  Judged on illustrative paints of these kinds; a tube differs, so paint a card of it.")
    elif found.gaps:
        lines += ["", "No known kind of tube would help."]
    return lines
