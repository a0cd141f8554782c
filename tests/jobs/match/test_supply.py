"""Supply lists, class sheets and gaps: what a person is told, and what is refused."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from scumble.chart.sheet import Text
from scumble.cli.main import app
from scumble.errors import InputError
from scumble.jobs.charts.print_chart import chart_pdf
from scumble.jobs.match.gaps import find_gaps, say_gaps
from scumble.jobs.match.print_supply import print_supply
from scumble.jobs.match.supply import SupplyRequest, plan_supply
from scumble.jobs.match.supply_amounts import Need, Painted, work_out_amounts
from scumble.jobs.match.supply_plan import SupplyPlan, say_supply
from scumble.jobs.match.wanted_colours import Wanted, all_round, choose_wanted, load_lines, wanted_of_list
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import open_shelf
from scumble.store.tube_facts import TubeFacts

SHELF = starter_shelf()
KEYS = {paint.key: paint for paint in SHELF}
TUBES = tuple(
    KEYS[key]
    for key in ("titanium-white", "zinc-white", "cadmium-yellow", "arylide-yellow-light", "pyrrole-red",
                "quinacridone-rose", "ultramarine-blue", "phthalo-blue-red-shade", "burnt-sienna", "bone-black")
)  # fmt: skip
FACTS = {
    paint.key: TubeFacts(price=Decimal(f"{4 + at}.50"), currency="EUR", size_ml=40.0)
    for at, paint in enumerate(TUBES)
}
SOME = Wanted(
    np.array([[60.0, 30, 40], [45, 45, 15], [40, 5, -35], [75, 5, 60], [35, 10, 15], [70, 0, 0]]),
    tuple(f"colour {number}" for number in range(6)),
    "six colours",
)


@pytest.fixture(scope="module")
def plan() -> SupplyPlan:
    request = SupplyRequest(5, budget=40.0, must_have=("pyrrole-red",), exclude=("cadmium",))
    return plan_supply(request, SOME, TUBES, FACTS)


def test_the_wishes_are_kept(plan: SupplyPlan) -> None:
    keys = {each.key for each in plan.tubes}
    assert len(keys) == 5 and "pyrrole-red" in keys and "cadmium-yellow" not in keys
    assert keys & {"titanium-white", "zinc-white"}
    assert plan.set_cost is not None and plan.set_cost <= 40.0
    assert plan.is_proven
    assert plan.wanted == 2 * len(SOME.labs)


def test_amounts_and_costs_add_up(plan: SupplyPlan) -> None:
    assert sum(each.share for each in plan.tubes) == pytest.approx(1.0, abs=1e-3)
    assert sum(each.volume_ml for each in plan.tubes) == pytest.approx(12 * 60.0, abs=1.0)
    for each in plan.tubes:
        assert each.tubes * 40.0 >= each.volume_ml - 1e-6
        assert (each.tubes - 1) * 40.0 < each.volume_ml or each.tubes == 1
        assert each.cost == pytest.approx(each.tubes * float(FACTS[each.key].price or 0))
    assert plan.class_cost == pytest.approx(sum(each.cost or 0 for each in plan.tubes))


def test_a_thicker_coat_takes_more_of_the_tube(plan: SupplyPlan) -> None:
    """Volume is coats times micrometres: of a tube whose coat is twice as thick, twice as much is bought."""
    request = SupplyRequest(5, budget=40.0, must_have=("pyrrole-red",), exclude=("cadmium",))
    even = {key: replace(each, coat="80 um") for key, each in FACTS.items()}
    same = plan_supply(request, SOME, TUBES, even)
    assert [each.share for each in same.tubes] == [each.share for each in plan.tubes]
    assert f"about {12 * 60.0 / 80.0:.2g} m² in single coats" in " ".join(same.notes)
    thicker = {**even, "pyrrole-red": replace(even["pyrrole-red"], coat="160 um")}
    del thicker["titanium-white"]
    other = plan_supply(request, SOME, TUBES, {**thicker, "titanium-white": FACTS["titanium-white"]})
    before, after = ({each.key: each.share for each in one.tubes} for one in (same, other))
    rest = 1.0 - before["pyrrole-red"]
    assert after["pyrrole-red"] == pytest.approx(
        2 * before["pyrrole-red"] / (2 * before["pyrrole-red"] + rest), abs=2e-4
    )
    assert any("no coat was said" in note for note in other.notes) == ("titanium-white" in before)


def test_one_less_loses_and_one_more_gains(plan: SupplyPlan) -> None:
    assert plan.one_less is not None and plan.one_more is not None
    assert plan.one_less.miss >= plan.miss >= plan.one_more.miss
    assert plan.one_less.reached <= plan.reached <= plan.one_more.reached
    assert plan.one_less.miss == min(each.miss_without for each in plan.tubes)
    again = plan_supply(
        SupplyRequest(4, exclude=("cadmium", plan.one_less.key), must_have=("pyrrole-red",)), SOME,
        tuple(KEYS[each.key] for each in plan.tubes), FACTS,
    )  # fmt: skip
    assert again.miss == pytest.approx(plan.one_less.miss, abs=0.011)


def test_a_plan_is_plain_data_and_lines(plan: SupplyPlan) -> None:
    assert json.loads(json.dumps(plan.as_data()))["reached"] == plan.reached
    said = "\n".join(say_supply(plan))
    assert "5 tubes for six colours" in said
    assert "One tube less (without" in said and "One tube more (" in said
    assert "For 12 painters at 60 ml each:" in said and "EUR" in said
    assert "No other choice does better" in said


@pytest.mark.parametrize("page", ["A4", "Letter", "A3", "A5"])
def test_the_class_sheet_stays_on_its_page(plan: SupplyPlan, page: str) -> None:
    chart = print_supply(plan, page=page)
    for sheet in chart.sheets:
        for shape in sheet.shapes:
            x, y = getattr(shape, "x_mm", None), getattr(shape, "y_mm", None)
            if x is not None and y is not None:
                right, bottom = x + getattr(shape, "width_mm", 0.0), y + getattr(shape, "height_mm", 0.0)
                assert 0.0 <= x <= right <= sheet.width_mm
                assert 0.0 <= y <= bottom <= sheet.height_mm
    words = " ".join(
        shape.words for sheet in chart.sheets for shape in sheet.shapes if hasattr(shape, "words")
    )
    assert all(each.label in words for each in plan.tubes)
    assert "safety data sheet" in words
    assert chart_pdf(chart).startswith(b"%PDF")


def test_many_colours_go_on_more_pages(plan: SupplyPlan) -> None:
    many = replace(plan, colours=plan.colours * 60)
    assert len(print_supply(many).sheets) > 1


@pytest.mark.parametrize(
    ("changes", "said"),
    [({"budget": 0.0}, "budget: saw '0'; allowed is more than 0. Leave it out if cost does not matter"),
     ({"count": 0}, "tubes: saw '0'; allowed is 1 to 24"), ({"routes": ("spray",)}, "route: saw 'spray'"),
],
)  # fmt: skip
def test_a_bad_request_is_named(changes: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        SupplyRequest(**changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "said"),
    [({"painters": 0}, "painters: saw '0'"), ({"ml_each": 0.0}, "ml each: saw '0'"),
     ({"m2_each": 0.0}, "m2 each: saw '0'; allowed is square metres above 0, at most 100"),
     ({"m2_each": np.nan}, "m2 each: saw 'nan'"), ({"m2_each": 1.0, "coats": 9.0}, "coats: saw '9'"),
     ({"coats": 2.0}, "coats together with an area. Say how many m2 each paints")],
)  # fmt: skip
def test_a_bad_need_is_named(changes: dict[str, float], said: str) -> None:
    with pytest.raises(InputError, match=said):
        Need(**changes)  # type: ignore[arg-type]


def test_an_area_takes_what_its_coats_hold() -> None:
    """By hand: 2 m2 in 3 coats of 80 and 160 um, half by half, are 2 x 3 x (0.5 x 80 + 0.5 x 160) = 720 ml."""
    facts = {"a": TubeFacts(coat="80 um"), "b": TubeFacts(coat="160 um")}
    half = Painted("cover", (0, 1), np.array([0.7, 0.7]))
    amounts = work_out_amounts(Need(4, m2_each=0.5, coats=3.0), [half], ("a", "b"), facts)
    assert amounts.volumes_ml.tolist() == pytest.approx([240.0, 480.0])
    assert amounts.words == "4 painters, 0.5 m² each in 3 coats"
    # Two colours share the area; 1.4 coats to hide are laid as two, a glaze takes what it holds.
    glaze = Painted("glaze", (1,), np.array([0.25]))
    both = work_out_amounts(Need(4, m2_each=0.5), [half, glaze], ("a", "b"), facts)
    assert both.volumes_ml.tolist() == pytest.approx([80.0, 160.0 + 0.25 * 160.0])
    # Doubts of 10 % each, independent: sqrt(24^2 + 48^2) of 720 ml are 7 %.
    assert "2 m² take about 720 ml, give or take 7 %" in amounts.notes[0]


def test_an_area_is_not_guessed_where_no_coat_is_known(plan: SupplyPlan) -> None:
    request = SupplyRequest(5, budget=40.0, must_have=("pyrrole-red",), exclude=("cadmium",))
    unknown = plan_supply(replace(request, need=Need(m2_each=0.5)), SOME, TUBES, FACTS)
    assert [each.volume_ml for each in unknown.tubes] == [each.volume_ml for each in plan.tubes]
    said = " ".join(unknown.notes)
    assert "can't be told: of none of them was it said what a coat is" in said
    assert "--coat" in said and "60 ml each" in unknown.need
    facts = {**FACTS, "pyrrole-red": replace(FACTS["pyrrole-red"], coat="80 um +- 5 %")}
    known = plan_supply(replace(request, need=Need(m2_each=0.5)), SOME, TUBES, facts)
    assert "Of 4 tubes no coat was said; the middle one of the others was taken." in known.notes
    assert known.need == "12 painters, 0.5 m² each in as many coats as hide"
    texts = [shape.words for shape in print_supply(known).sheets[0].shapes if isinstance(shape, Text)]
    assert any("12 painters, 0.5 m² each in as many coats as hide" in text for text in texts)


def test_what_leaves_nothing_is_said() -> None:
    with pytest.raises(InputError, match=r"shelf: saw 'no paints'.*Read a sample card first"):
        plan_supply(SupplyRequest(), SOME, (), {})
    with pytest.raises(InputError, match="budget: saw '5'; allowed is at least"):
        plan_supply(SupplyRequest(3, budget=5.0), SOME, TUBES, FACTS)
    with pytest.raises(InputError, match=r"exclude: saw 'without a price'.*allow one again"):
        plan_supply(SupplyRequest(3, budget=5.0), SOME, TUBES, {})
    with pytest.raises(InputError, match="must have: saw 'PY37'"):
        plan_supply(SupplyRequest(3, must_have=("PY37",), exclude=("cadmium",)), SOME, TUBES, FACTS)
    with pytest.raises(InputError, match="white: saw 'none'"):
        plan_supply(SupplyRequest(3), SOME, TUBES[2:], FACTS)


def test_wanted_colours_of_a_list_a_picture_or_all_round(tmp_path: Path) -> None:
    listed = wanted_of_list("5R 4/10\n\n; warm\n#b4783c\nlab 60 20 30\n", lambda _key: TUBES[0])
    assert len(listed.labs) == 3 and listed.labels[1] == "#b4783c"
    with pytest.raises(InputError, match="colours, line 2: saw 'mauve'"):
        wanted_of_list("5R 4/10\nmauve\n", lambda _key: TUBES[0])
    with pytest.raises(InputError, match="colours: saw 'none'; allowed is at least one colour"):
        wanted_of_list("\n", lambda _key: TUBES[0])
    shown = np.zeros((400, 400, 3), np.uint8)
    shown[:, :200], shown[:, 200:] = (200, 60, 40), (30, 80, 160)
    Image.fromarray(shown).save(tmp_path / "sketch.png")
    painted = choose_wanted(TUBES, picture=tmp_path / "sketch.png")
    assert 2 <= len(painted.labs) <= 4
    with pytest.raises(InputError, match="one of the two"):
        choose_wanted(TUBES, picture=tmp_path / "sketch.png", lines="5R 4/10")
    with pytest.raises(InputError, match="a text file with one colour a line"):
        choose_wanted(TUBES, lines=load_lines(tmp_path / "list.txt"))
    assert 80 <= len(all_round().labs) <= 200


def test_gaps_are_what_no_tube_reaches_and_an_opener_closes_them() -> None:
    """A shelf without any yellow: yellows are its gaps, and a yellow opens most."""
    tubes = tuple(paint for paint in TUBES if "yellow" not in paint.key)
    found = find_gaps(tubes, all_round(), routes=("cover",))
    assert found.reached < found.wanted
    assert any("yellow" in gap.name for gap in found.gaps[:5])
    assert "yellow" in found.openers[0].key
    assert found.openers[0].opened >= 5
    with_it = find_gaps((*tubes, KEYS[found.openers[0].key]), all_round(), routes=("cover",))
    assert with_it.reached >= found.reached + found.openers[0].opened
    said = "\n".join(say_gaps(found))
    assert "What would open most" in said and "paint a card of it" in said
    assert json.loads(json.dumps(found.as_data()))["wanted"] == found.wanted


def test_an_excluded_family_opens_nothing() -> None:
    tubes = tuple(paint for paint in TUBES if "yellow" not in paint.key)
    found = find_gaps(tubes, all_round(), routes=("cover",), exclude=("cadmium",))
    assert not any("cadmium" in each.key for each in found.openers)


def test_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "shelf.sqlite"
    with open_shelf(path) as shelf:
        shelf.save_paints(TUBES)
        shelf.tubes.save_all(FACTS)
    (tmp_path / "list.txt").write_text("5R 4/10\n5Y 8/10\n5B 4/6\n", encoding="utf-8")
    asked = ["supply", "-k", "4", "--colours", str(tmp_path / "list.txt"), "--shelf", str(path)]
    answer = CliRunner().invoke(app, [*asked, "--json", "--out", str(tmp_path / "sheet.pdf")])
    assert answer.exit_code == 0, answer.output
    assert len(json.loads(answer.stdout)["tubes"]) == 4
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    answer = CliRunner().invoke(app, [*asked, "--m2-each", "0.5", "--coats", "2"])
    assert answer.exit_code == 0 and "How much 0.5 m² each takes can't be told" in answer.stdout
    answer = CliRunner().invoke(app, ["gaps", "--colours", str(tmp_path / "list.txt"), "--shelf", str(path)])
    assert answer.exit_code == 0 and "colours (the colours listed)" in answer.stdout
