"""The bound on mixtures of four tubes: nothing that reaches is ruled out, against brute force and by its premises."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scumble.colour import lab_to_xyz
from scumble.optics.film import film_response
from scumble.paint import Film, Layering, paper_ground, predict_reflectance
from scumble.paint.covering import coats_to_hide, contrast_ratio
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Answer, Route, Wishes
from scumble.solve.recipe.bound import THROUGH, aim_at, may_reach, veil_table
from scumble.solve.recipe.bound_kernel import BEYOND
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.groups import every_group, groups_in_blocks
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.target import Target, target_of_lab, target_of_reflectance

SHELF = starter_shelf()
KEYS = {paint.key: paint for paint in SHELF}
WHITE = paper_ground("white")
COVER = Bounds(0.9805, 1.0, 4.0)
SMALL = tuple(
    KEYS[key]
    for key in (
        "titanium-white", "cadmium-yellow", "pyrrole-red", "quinacridone-magenta", "ultramarine-blue",
        "phthalo-green-blue-shade", "burnt-sienna", "bone-black",
    )
)  # fmt: skip
FOURS = every_group(np.arange(len(SMALL)), 4)


def last(*args: object, **options: object) -> Answer:
    *_, end = find_recipes(*args, **options)  # type: ignore[arg-type]
    return end


def reached(search: Search, members: np.ndarray) -> np.ndarray:
    """How near each comes, by films that hide: brute force."""
    solved = search.solve(members, (0,) * members.shape[1], COVER, tries=3)
    hides = contrast_ratio(*search.depths(solved)[0], 1.0, index=search.index) > 0.9745
    return np.where(hides, solved.difference, np.inf)


@pytest.mark.parametrize("ground", ["white", "black", "toned"])
@pytest.mark.parametrize(
    "lab",
    [[60, 20, 30], [35, 40, 20], [30, 5, -45], [80, 0, 70], [50, -45, 10], [20, 0, 0], [4, 0, 0], [95, 0, 3]],
)
def test_nothing_that_reaches_is_ruled_out(lab: list[float], ground: str) -> None:
    """Brute force over all fours of a small shelf: each that comes within a difference is left standing at it."""
    search = Search(target_of_lab(lab), SMALL, paper_ground(ground))
    near = reached(search, FOURS)
    for within in (0.05, 0.5, 2.0, 5.0, 10.0, 20.0):
        for halvings in (0, 4, 40):
            assert not (~may_reach(search, FOURS, within, halvings=halvings) & (near < within)).any()
    assert not may_reach(search, FOURS, 0.0).any()


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    tubes=st.lists(st.sampled_from(range(len(SHELF))), min_size=4, max_size=6, unique=True),
    parts=st.lists(st.floats(-6.0, 2.0), min_size=4, max_size=4),
    thicker=st.floats(1.0, 6.0),
    moved=st.lists(st.floats(-0.4, 0.4), min_size=3, max_size=3),
    ground=st.sampled_from(["white", "black", "toned", "grey"]),
    lights=st.sampled_from([("D65",), ("A",), ("D65", "A"), ("D65", "D50", "A", "LED-B3")]),
)
def test_what_was_mixed_is_never_ruled_out(
    tubes: list[int],
    parts: list[float],
    thicker: float,
    moved: list[float],
    ground: str,
    lights: tuple[str, ...],
) -> None:
    """Any four tubes, in any amounts, in any film that hides: its own colour, or one close by, is left standing."""
    own = tuple(SHELF[tube] for tube in tubes)
    paper = paper_ground(ground)
    search = Search(target_of_lab([50, 0, 0]), own, paper)
    amounts = np.exp(parts) / search.strength[:4]
    depths = amounts @ search.absorption[:4], amounts @ search.scattering[:4]
    hiding = float(coats_to_hide(*depths, index=search.index))
    if not np.isfinite(hiding):
        return
    coats = amounts * hiding * thicker
    film = Film(tuple(zip(own[:4], coats.tolist(), strict=True)), float(coats.sum()))
    shown = predict_reflectance(Layering(paper, (film,)))
    exact = target_of_reflectance(shown, lights=lights)
    target = Target(exact.labs + np.array(moved), lights, 2)
    search = Search(target, own, paper)
    within = float(search.differences(exact.labs)) + 0.02
    most = float(coats.sum())
    assert may_reach(search, np.array([[0, 1, 2, 3]]), within, most_coats=most, halvings=30).all()


def test_what_cannot_reach_is_mostly_ruled_out() -> None:
    """A bound that never rules anything out would be sound and useless."""
    search = Search(target_of_lab([92, 0, 0]), SMALL, WHITE)
    without_white = ~(FOURS == 0).any(axis=1)
    assert not may_reach(search, FOURS, 2.0)[without_white].any()
    yellow = Search(target_of_lab([85, 5, 80]), SMALL, WHITE)
    far = reached(yellow, FOURS) > 0.5
    assert (~may_reach(yellow, FOURS, 0.5, halvings=200))[far].mean() > 0.95


def test_more_halvings_rule_out_more() -> None:
    search = Search(target_of_lab([60, 20, 30]), SMALL, WHITE)
    standing = [may_reach(search, FOURS, 0.5, halvings=halvings) for halvings in (0, 4, 32)]
    assert not (standing[1] & ~standing[0]).any()
    assert not (standing[2] & ~standing[1]).any()
    assert standing[2].sum() < standing[0].sum()


def test_an_endless_mixture_shows_between_its_tubes() -> None:
    """The first premise, over random mixtures and bands."""
    rng = np.random.default_rng(3)
    search = Search(target_of_lab([50, 0, 0]), SHELF, WHITE)

    def endless(absorption: np.ndarray, scattering: np.ndarray) -> np.ndarray:
        scale = 60.0 / scattering
        return np.asarray(film_response(absorption * scale, scattering * scale, index=search.index).over(0.0))

    for _ in range(200):
        members = rng.choice(len(SHELF), 4, replace=False)
        coats = rng.dirichlet(np.ones(4) * 0.4) / search.strength[members]
        tubes = endless(search.absorption[members], np.maximum(search.scattering[members], 1e-6))
        own = endless(coats @ search.absorption[members], coats @ search.scattering[members])
        assert (own >= tubes.min(axis=0) - 2e-3).all()
        assert (own <= tubes.max(axis=0) + 2e-3).all()


@pytest.mark.parametrize("ground", ["white", "black", "toned", "grey"])
def test_a_film_that_hides_shows_between_its_ground_and_an_endless_one(ground: str) -> None:
    """The second premise: no farther than the ground, but for a little beyond, and no more than may come through."""
    rng = np.random.default_rng(5)
    search = Search(target_of_lab([50, 0, 0]), SHELF, paper_ground(ground))
    members = np.array([rng.choice(len(SHELF), 4, replace=False) for _ in range(1500)])
    coats = rng.dirichlet(np.ones(4) * 0.4, 1500) / search.strength[members]
    absorption = np.einsum("ck,ckb->cb", coats, search.absorption[members])
    scattering = np.einsum("ck,ckb->cb", coats, search.scattering[members])
    hiding = coats_to_hide(absorption, scattering, index=search.index)
    bare = np.asarray(film_response(0.0, 0.0, index=search.index).over(search.below))
    scale = 60.0 / np.maximum(scattering, 1e-9)
    endless = np.asarray(film_response(absorption * scale, scattering * scale, index=search.index).over(0.0))
    luminous, white = search.view[3]
    for thicker in (0.9, 1.0, 2.0):
        thick = np.where(np.isfinite(hiding), thicker * hiding, 1e3)[:, None]
        film = film_response(absorption * thick, scattering * thick, index=search.index)
        shown, black = np.asarray(film.over(search.below)), np.asarray(film.over(0.0))
        own = contrast_ratio(absorption * thick, scattering * thick, 1.0, index=search.index) > 0.9745
        assert own.sum() > 500
        beyond = np.maximum(np.minimum(bare, endless) - shown, shown - np.maximum(bare, endless))
        assert beyond[own].max() < BEYOND
        through = (np.asarray(film.over(white)) - black) @ luminous
        assert (through[own] <= THROUGH * (black @ luminous)[own] + 1e-9).all()


def test_what_comes_through_falls_with_depth() -> None:
    table = veil_table(1.5, 0.9)
    assert (np.diff(table, axis=0) <= 1e-12).all()
    assert (np.diff(table, axis=1) <= 1e-12).all()


@pytest.mark.parametrize("within", [0.1, 1.0, 6.0])
@pytest.mark.parametrize("lab", [[60, 20, 30], [30, 20, -55], [5, 0, 0], [85, 5, 80]])
def test_the_ellipsoid_holds_every_colour_within_the_difference(lab: list[float], within: float) -> None:
    """The third premise, at random colours within the difference under two lights together."""
    rng = np.random.default_rng(11)
    two = np.array([lab, [lab[0], lab[1] + 2.0, lab[2] + 1.0]], dtype=float)
    search = Search(Target(two, ("D65", "A"), 2), SMALL, WHITE)
    aim = aim_at(search, within)
    colours = two + rng.normal(size=(4000, 2, 3)) * within * rng.random((4000, 1, 1))
    colours[..., 0] = np.maximum(colours[..., 0], 0.0)
    colours = colours[search.differences(colours) <= within]
    assert len(colours) > 100
    weights, whites, _, _, added = search.view
    # A spectrum for each colour: the shortest, since the aim must not care which.
    xyz = np.concatenate([lab_to_xyz(colours[:, light], whites[light]) for light in (0, 1)], axis=1)
    every = np.concatenate([weights[0], weights[1]], axis=1)
    spectra = (xyz - added * every.sum(axis=0)) @ np.linalg.pinv(every)
    placed = spectra @ aim.pulls.T + aim.start
    assert np.linalg.norm(placed, axis=1).max() <= 1.0


def test_all_fours_find_at_least_what_the_likely_ones_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the bound at work, and without it on a shelf small enough to try every four."""
    target = target_of_lab([45, 30, -30])
    plain = Wishes(routes=(Route.COVER,), per_tube=0.0, per_pass=0.0, per_unevenness=0.0)
    with monkeypatch.context() as unbounded:
        unbounded.setattr(
            "scumble.solve.recipe.find.may_reach",
            lambda _search, members, _within, **_: np.ones(len(members), bool),
        )
        every = last(target, SMALL, WHITE, plain)
    monkeypatch.setattr("scumble.solve.recipe.find.MOST_FOURS", 0)
    monkeypatch.setattr("scumble.solve.recipe.find.FOURS_AT_ONCE", 20)
    steps = list(find_recipes(target, SMALL, WHITE, replace(plain, fours="all")))
    likely = last(target, SMALL, WHITE, plain)
    assert "likeliest" in likely.stage
    assert "likeliest" in last(target, SMALL, WHITE, replace(plain, fours="likely")).stage
    best = [min(one.exact_difference for one in each.recipes) for each in (every, steps[-1], likely)]
    assert best[1] == pytest.approx(best[0], abs=1e-6)
    assert best[1] <= best[2] + 1e-6
    assert "ruled out unsolved" in steps[-1].stage


def test_answers_get_better_while_fours_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """The share only rises, and no answer is worse than the one before."""
    monkeypatch.setattr("scumble.solve.recipe.find.FOURS_AT_ONCE", 10)
    target = target_of_lab([85, 5, 80])
    answers = list(find_recipes(target, SMALL, WHITE, Wishes(routes=(Route.COVER,), count=3)))
    assert len(answers) > 6
    assert (np.diff([each.share for each in answers]) > 0.0).all()
    nearest = [min(one.exact_difference for one in each.recipes) for each in answers]
    assert (np.diff(nearest) <= 1e-9).all()


def test_groups_come_in_order_and_in_blocks() -> None:
    wanted = list(combinations(range(9), 4))
    assert [tuple(row) for row in every_group(np.arange(9), 4).tolist()] == wanted
    for most in (1, 7, 50, 1000):
        blocks = list(groups_in_blocks(np.arange(9), 4, most))
        assert [tuple(row) for block in blocks for row in block.tolist()] == wanted
        assert most < 7 or max(len(block) for block in blocks) <= max(most, 6)
    assert every_group(np.arange(2), 3).shape == (0, 3)


def test_a_long_shelf_is_searched_within_bounds() -> None:
    """Where not all triples are tried, those that add a tube to the best pairs are, and it is still quick."""
    many = tuple(
        replace(paint, key=f"{paint.key}-{copy}", label=f"{paint.label} {copy}")
        for copy in range(3)
        for paint in SHELF
    )
    answer = last(target_of_lab([60, 20, 30]), many, WHITE, Wishes(routes=(Route.COVER,), count=2))
    assert answer.recipes[0].exact_difference < 0.3
    assert answer.combinations < 400_000
