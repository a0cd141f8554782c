"""Plans against brute force, against recipes in their limits, and against paintings whose layers are known."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.paint import Binder, Film, Layering, Paint, paper_ground, predict_look
from scumble.paint.covering import contrast_ratio
from scumble.paint.pigment import starter_shelf
from scumble.solve.plan.areas import divide_picture
from scumble.solve.plan.choose import Pool, choose_stacks, cost_of
from scumble.solve.plan.layers import Layer, Mixture, Role, predict_stacks
from scumble.solve.plan.painting import Painting
from scumble.solve.plan.tell import sittings_of
from scumble.solve.plan.value import Plan
from scumble.solve.plan.wishes import Manner, PlanWishes
from scumble.solve.recipe.answer import Route, Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.target import target_of_lab

KEYS = ("titanium-white", "nickel-azo-yellow", "quinacridone-rose", "phthalo-blue-red-shade", "burnt-sienna",
        "bone-black")  # fmt: skip
TUBES = tuple(paint for paint in starter_shelf() if paint.key in KEYS)
WHITE = paper_ground("white")
FREE = PlanWishes(per_mixture=0.0, per_pass=0.0, per_unevenness=0.0)
LABS = np.array([[82.0, 0, 20], [70.0, 12, 30], [55.0, -10, -15], [38.0, 25, 10]])


def paint_all(
    labs: NDArray[np.float64], wishes: PlanWishes = FREE, tubes: tuple[Paint, ...] = TUBES
) -> Painting:
    return Painting(labs, np.ones(len(labs)), tubes, WHITE, wishes)


def planned(painting: Painting, manner: Manner) -> Plan:
    plan = painting.plan(manner)
    assert plan is not None
    return plan


# The choice


def random_pool(rng: np.random.Generator) -> Pool:
    stacks, areas, mixtures = 7, 3, 5
    uses = rng.random((stacks, mixtures)) < 0.35
    return Pool(
        rng.uniform(0.0, 3.0, (stacks, areas)), uses, rng.integers(0, 3, stacks), rng.random(stacks) < 0.5
    )


def brute(pool: Pool, per_mixture: float, per_pass: float) -> float:
    """Every choice there is."""
    least = np.inf
    for rows in product(range(len(pool.costs)), repeat=pool.costs.shape[1]):
        chosen = np.array(rows)
        passes = int(pool.is_laid_in[chosen].any()) + int(pool.glazes[chosen].max())
        least = min(least, cost_of(pool.costs, pool.uses, per_mixture, chosen) + per_pass * passes)
    return least


def test_the_choice_is_the_best_there_is_on_small_pools() -> None:
    """Against all 343 choices of 40 invented pools, at several prices; exchange may stop a little short."""
    worse = []
    for seed in range(40):
        pool = random_pool(np.random.default_rng(seed))
        for per_mixture, per_pass in ((0.0, 0.0), (0.3, 0.0), (0.3, 0.5), (1.0, 2.0)):
            found = choose_stacks(pool, per_mixture=per_mixture, per_pass=per_pass)
            worse.append(found.cost + per_pass * found.passes - brute(pool, per_mixture, per_pass))
    assert min(worse) > -1e-9
    assert np.mean(np.array(worse) < 1e-9) > 0.9 and max(worse) < 0.7


def test_a_dearer_pass_never_adds_one_and_never_brings_the_colours_nearer() -> None:
    for seed in range(10):
        pool = random_pool(np.random.default_rng(seed))
        found = [choose_stacks(pool, per_mixture=0.2, per_pass=price) for price in (0.0, 0.1, 0.5, 2.0, 9.0)]
        passes, costs = [each.passes for each in found], [each.cost for each in found]
        assert passes == sorted(passes, reverse=True)
        assert costs == sorted(costs)


# Limits


@pytest.mark.parametrize(
    ("manner", "route"), [(Manner.OPAQUE, Route.COVER), (Manner.TRANSPARENT, Route.GLAZE)]
)
def test_the_ends_of_the_slider_are_the_recipes(manner: Manner, route: Route) -> None:
    """All opaque comes to recipes that cover, all transparent to glazes on the ground, within what rounding costs."""
    plan = planned(paint_all(LABS), manner)
    wishes = Wishes(routes=(route,), most_tubes=3, most_films=2, count=5)
    for area in plan.areas:
        *_, last = find_recipes(target_of_lab(area.lab), TUBES, WHITE, wishes)
        best = min(recipe.difference for recipe in last.of_route(route))
        assert area.difference <= best + 0.6, (area.number, best)
    roles = {layer.role for area in plan.areas for layer in area.stack}
    assert roles == ({Role.COVER} if route is Route.COVER else {Role.GLAZE})


def test_one_tube_one_colour_is_the_best_of_all_its_whole_coats() -> None:
    """Exhaustive: one opaque tube can only be laid in whole coats, and all of them that hide look alike."""
    tube = (TUBES[0],)
    plan = planned(paint_all(LABS[:1], tubes=tube), Manner.OPAQUE)
    optics = tube[0].optics
    best = min(
        float(delta_e_2000(LABS[0], predict_look(Layering(WHITE, (Film(((tube[0], 1.0),), coats),))).lab))
        for coats in (1.0, 2.0, 3.0, 4.0)
        if contrast_ratio(optics.absorption, optics.scattering, coats) >= 0.98
    )
    assert plan.areas[0].difference == pytest.approx(best, abs=0.1), "a coat more must gain something"
    assert plan.areas[0].shortfall.startswith("Out of reach")


def test_a_painting_of_known_layers_is_planned_back() -> None:
    """Grounds, lay-ins and glazes of the shelf's own tubes, by the model itself."""
    white, yellow, rose, blue, sienna, black = TUBES
    known = [
        (Film(((white, 8.0), (black, 1.0)), 2.0), Film(((rose, 1.0),), 1.0, medium_parts=9.0)),
        (Film(((white, 3.0), (sienna, 1.0)), 2.0), Film(((blue, 1.0),), 1.0, medium_parts=20.0)),
        (Film(((white, 1.0),), 2.0), Film(((yellow, 1.0),), 1.0, medium_parts=6.0)),
    ]
    labs = np.array([predict_look(Layering(WHITE, films)).lab for films in known])
    painting = paint_all(labs)
    underpainted = planned(painting, Manner.UNDERPAINTED)
    assert max(area.difference for area in underpainted.areas) < 1.0
    glazes = np.array(
        [
            predict_look(Layering(WHITE, (Film(((tube, 1.0),), 1.0, medium_parts=8.0),))).lab
            for tube in (yellow, rose)
        ]
    )
    assert max(area.difference for area in planned(paint_all(glazes), Manner.TRANSPARENT).areas) < 0.5


# What every plan keeps to


@pytest.fixture(scope="module")
def plans() -> dict[Manner, Plan]:
    painting = paint_all(LABS, PlanWishes())
    return {manner: planned(painting, manner) for manner in Manner}


def test_manners_brush_only_what_is_theirs(plans: dict[Manner, Plan]) -> None:
    allowed = {
        Manner.TRANSPARENT: {Role.GLAZE},
        Manner.GRISAILLE: {Role.UNDERPAINTING, Role.GLAZE},
        Manner.UNDERPAINTED: {Role.UNDERPAINTING, Role.GLAZE, Role.SCUMBLE},
        Manner.BLOCKED: {Role.UNDERPAINTING, Role.COVER, Role.GLAZE, Role.SCUMBLE},
        Manner.OPAQUE: {Role.COVER},
    }
    for manner, plan in plans.items():
        assert {layer.role for area in plan.areas for layer in area.stack} <= allowed[manner]
    darks = {place for area in plans[Manner.GRISAILLE].areas for layer in area.stack
             if layer.role is Role.UNDERPAINTING for place, _ in layer.mixture.parts}  # fmt: skip
    assert len(darks) <= 2, "a grisaille is one dark and white"


def test_the_last_picture_is_what_the_layering_shows(plans: dict[Manner, Plan]) -> None:
    """Passes and areas are predicted on separate ways through the engine."""
    for plan in plans.values():
        shown = np.array([predict_look(area.layering).lab for area in plan.areas])
        assert np.abs(plan.passes[-1].labs - shown).max() < 0.02
        for area in plan.areas:
            told = float(delta_e_2000(area.lab, predict_look(area.layering).lab))
            assert area.difference == pytest.approx(told, abs=1e-9)


def test_clear_films_only_darken(plans: dict[Manner, Plan]) -> None:
    """A film that scatters little takes light away: no area is lighter after a glaze, but for its own scatter."""
    for manner in (Manner.TRANSPARENT, Manner.GRISAILLE):
        plan = plans[manner]
        before = np.repeat(predict_stacks(paint_all(LABS).search, [()]), len(plan.areas), axis=0)
        for one in plan.passes:
            if one.name.startswith("glaze"):
                assert (one.labs[:, 0] <= before[:, 0] + 3.0).all()
            before = one.labs


def test_passes_go_from_the_ground_up_and_letters_are_mixtures(plans: dict[Manner, Plan]) -> None:
    for plan in plans.values():
        assert [one.name for one in plan.passes] == sorted((one.name for one in plan.passes), key=_order)
        used = {layer.mixture for area in plan.areas for layer in area.stack}
        assert {mixture for _, mixture in plan.mixtures} == used
        assert len(plan.mixtures) == len(used)
        brushed = sum(len(each.areas) for one in plan.passes for each in one.brushed)
        assert brushed == sum(len(area.stack) for area in plan.areas)


def _order(name: str) -> int:
    return ["imprimatura", "lay-in", "glaze 1", "glaze 2", "glaze 3"].index(name)


def test_the_same_question_gets_the_same_plan(plans: dict[Manner, Plan]) -> None:
    again = planned(paint_all(LABS, PlanWishes()), Manner.UNDERPAINTED)
    assert [area.stack for area in again.areas] == [area.stack for area in plans[Manner.UNDERPAINTED].areas]


def test_a_dear_pass_and_a_dear_mixture_leave_fewer() -> None:
    cheap = planned(paint_all(LABS), Manner.UNDERPAINTED)
    dear = planned(paint_all(LABS, PlanWishes(per_pass=50.0, per_mixture=5.0)), Manner.UNDERPAINTED)
    assert len(dear.passes) <= len(cheap.passes) and len(dear.mixtures) < len(cheap.mixtures)


def test_an_imprimatura_lies_under_everything_and_is_left_showing_where_it_serves() -> None:
    sienna = next(place for place, paint in enumerate(TUBES) if paint.key == "burnt-sienna")
    wash = Layer(Mixture(((sienna, 1.0),), thinner=8.0), 1.0, Role.IMPRIMATURA)
    shown = predict_look(Layering(WHITE, (wash.film(TUBES),))).lab
    painting = paint_all(np.array([shown, [40.0, 10, 20]]), PlanWishes(imprimatura=sienna))
    plan = planned(painting, Manner.TRANSPARENT)
    assert plan.areas[0].stack == (wash,) and plan.areas[0].difference < 1e-6
    assert all(area.stack[0] == wash for area in plan.areas)
    assert next(iter(sittings_of(plan.areas[1].stack))) == "imprimatura"


def test_a_scumble_lightens_a_dark_ground() -> None:
    """*Common practice, no source*: a thin pale veil over dark turns it cooler and lighter."""
    painting = Painting(np.array([[35.0, -2, -8]]), np.ones(1), TUBES, paper_ground("black"), FREE)
    veils = painting.palette.veils
    assert veils and all(layer.role is Role.SCUMBLE for stack in veils for layer in stack)
    assert planned(painting, Manner.UNDERPAINTED).areas[0].difference < 3.0
    clear = planned(painting, Manner.TRANSPARENT).areas[0]
    assert clear.difference > 5.0 and "too dark" in clear.shortfall


def test_tubes_that_cannot_do_a_manner_are_told() -> None:
    clear = tuple(paint for paint in TUBES if paint.key in ("quinacridone-rose", "nickel-azo-yellow"))
    assert paint_all(LABS, tubes=clear).plan(Manner.GRISAILLE) is None


def test_what_cannot_be_planned_is_refused() -> None:
    with pytest.raises(InputError, match="shelf: saw 'no paints'"):
        paint_all(LABS, tubes=())
    with pytest.raises(InputError, match="Every tube of the shelf is left out"):
        everything = frozenset(KEYS)
        paint_all(LABS, PlanWishes(recipe=Wishes(excluded=everything)))
    with pytest.raises(InputError, match="areas: saw 'none'"):
        paint_all(np.zeros((0, 3)))
    with pytest.raises(InputError, match="per_pass: saw '-1"):
        PlanWishes(per_pass=-1.0)
    with pytest.raises(InputError, match="binder: saw 'oil'"):
        Painting(LABS, np.ones(4), TUBES, WHITE, binder=Binder.OIL)


# Areas


def test_areas_are_whole_and_few() -> None:
    """Two halves under noise: k-means alone scatters points over both, neighbours put them right."""
    rng = np.random.default_rng(4)
    labs = np.full((60, 80, 3), [50.0, 0, 0])
    labs[:, 40:] += [8.0, 4.0, 0.0]
    labs += rng.normal(0.0, 3.0, labs.shape)
    found = divide_picture(labs, 2, np.random.default_rng(1))
    halves = np.zeros((60, 80), dtype=np.intp)
    halves[:, :40] = 1
    assert np.mean(found.places == halves) > 0.99
    assert found.shares.sum() == pytest.approx(1.0)
    assert (np.diff(found.labs[:, 0]) <= 0).all(), "the lightest first"


def test_division_is_seeded_and_bounded() -> None:
    rng = np.random.default_rng(2)
    labs = np.cumsum(rng.normal(0.0, 1.5, (40, 50, 3)), axis=1) + np.array([50.0, 0, 0])
    once, again = (divide_picture(labs, 9, np.random.default_rng(5)) for _ in range(2))
    assert np.array_equal(once.places, again.places) and np.array_equal(once.labs, again.labs)
    assert 2 <= len(once.labs) <= 9 and once.places.max() == len(once.labs) - 1
    flat = divide_picture(np.zeros((5, 5, 3)) + 50.0, 12, np.random.default_rng(0))
    assert len(flat.labs) == 1
    with pytest.raises(InputError, match="areas: saw '41'; allowed is 1 to 40"):
        divide_picture(labs, 41, rng)
