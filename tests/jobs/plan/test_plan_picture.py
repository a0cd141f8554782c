"""A painting planned from a picture: what comes out, what is said of it, and what is refused."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.jobs.shelves import read_shelf
from typer.testing import CliRunner

from scumble.cli.main import app
from scumble.colour import delta_e_2000
from scumble.errors import CardError, InputError
from scumble.jobs.plan.amounts import ML_PER_CM, amounts_of
from scumble.jobs.plan.data import plan_as_data
from scumble.jobs.plan.drying import fat_over_lean, waits_of
from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.plan_picture import plan_from_shelf, plan_picture
from scumble.jobs.plan.reference import open_reference
from scumble.jobs.plan.request import PlanRequest
from scumble.jobs.plan.words import COMPARED, TITLES, compare_manners, say_plan, say_same, title_of
from scumble.paint import Binder
from scumble.solve.plan.wishes import Manner
from scumble.store.shelf import open_shelf
from scumble.store.tube_facts import TubeFacts

TUBES = ("titanium-white", "nickel-azo-yellow", "quinacridone-rose", "phthalo-blue-red-shade", "burnt-sienna",
         "bone-black")  # fmt: skip
REQUEST = PlanRequest(count=4, only=TUBES, width_cm=40.0)
SIZE = (120, 90)


def sketch(size: tuple[int, int] = SIZE) -> Image.Image:
    """Sky, hill, field and a red roof, flat."""
    shown = np.zeros((size[1], size[0], 3), np.uint8)
    width, height = size
    shown[:], shown[height // 3 :], shown[2 * height // 3 :] = (150, 180, 205), (95, 115, 80), (190, 165, 95)
    shown[height // 2 : 2 * height // 3, width // 3 : width // 2] = (150, 60, 45)
    return Image.fromarray(shown)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = read_shelf(tmp_path_factory.mktemp("plan") / "shelf.sqlite")
    with open_shelf(path) as opened:
        for key in TUBES[:2]:
            opened.tubes.save(
                key, TubeFacts(price=Decimal("7.40"), currency="EUR", size_ml=37.0, coat="80 um")
            )
    return path


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("picture") / "roof.png"
    sketch().save(path)
    return path


@pytest.fixture(scope="module")
def found(shelf: Path, picture: Path) -> PlanFound:
    return plan_from_shelf(REQUEST, picture, shelf)


def test_every_manner_is_planned_on_the_same_areas(found: PlanFound) -> None:
    assert list(found.plans) == list(Manner)
    assert len(found.division.labs) == 4
    assert found.division.shares.sum() == pytest.approx(1.0)
    assert found.plan().manner is Manner.UNDERPAINTED


def test_errors_are_those_of_the_points(found: PlanFound) -> None:
    """Worked out anew from the pictures themselves, to the step of their 8 bits."""
    for manner, plan in found.plans.items():
        error = found.error(plan)
        labs = np.array([area.look.lab for area in plan.areas])[found.division.places]
        each = delta_e_2000(found.reference.labs, labs)
        assert error.mean == pytest.approx(float(each.mean()))
        assert error.high == pytest.approx(float(np.quantile(each, 0.95)))
        assert error.reducing_mean < 0.3, "a flat picture loses nothing by being reduced"
        last = np.asarray(Image.open(io.BytesIO(found.picture(f"pass-{len(plan.passes)}", manner.value))))
        assert last.shape[1] == 1080 and last.shape[0] == 810
    misses = np.asarray(Image.open(io.BytesIO(found.picture("misses", "opaque"))))
    assert np.ptp(misses, axis=2).max() == 0, "the map of misses is grey"


def test_a_pass_shows_what_lies_there_by_then(found: PlanFound) -> None:
    plan = found.plan("underpainted")
    bare = np.asarray(Image.open(io.BytesIO(found.picture("pass-0", "underpainted"))).convert("RGB"))
    assert len(np.unique(bare.reshape(-1, 3), axis=0)) == 1
    assert title_of(plan, plan.passes[0]) == "Underpainting"
    with pytest.raises(
        InputError, match="picture: saw 'pass-9'; allowed is wanted, areas, misses, or pass-0"
    ):
        found.picture("pass-9")
    with pytest.raises(InputError, match="manner: saw 'thick'; allowed is one that these tubes can do"):
        found.plan("thick")


def test_amounts_are_volumes_by_area(found: PlanFound) -> None:
    """By hand: coats x share x area x micrometres; 1 um on 1 m2 is 1 ml."""
    plan = found.plan("opaque")
    told = amounts_of(plan, found.facts, width_cm=40.0, aspect=found.reference.aspect)
    area_m2 = 0.4 * 0.4 * 90 / 120
    by_hand = sum(area.share * layer.coats for area in plan.areas for layer in area.stack) * area_m2 * 80.0
    assert sum(each.ml for each in told.by_tube) == pytest.approx(by_hand)
    assert sum(told.by_mixture.values()) == pytest.approx(by_hand)
    first = told.by_tube[0]
    assert first.strand_cm == pytest.approx(first.ml / ML_PER_CM)
    assert any("taken as the middle one of the others" in note for note in told.notes)
    unsized = amounts_of(plan, found.facts, width_cm=None, aspect=0.75)
    assert unsized.by_tube == () and "say how wide" in unsized.notes[0]
    unknown = amounts_of(plan, {}, width_cm=40.0, aspect=0.75)
    assert unknown.by_tube == () and "cannot be worked out" in unknown.notes[0]


def test_waits_and_fat_over_lean_go_by_the_binder(found: PlanFound) -> None:
    """*Common practice, no source*: oil waits days, acrylic minutes; in oil each film is as fat as the one below."""
    plan = found.plan("underpainted")
    oil = replace(plan, tubes=tuple(replace(paint, binder=Binder.OIL) for paint in plan.tubes))
    acrylic_h, oil_h = (sum(wait.to_h for wait in waits_of(each) if wait) for each in (plan, oil))
    assert 0.0 < acrylic_h < 12.0 and oil_h > 48.0
    assert fat_over_lean(plan) == () and fat_over_lean(oil)


def test_it_is_said_whole(found: PlanFound) -> None:
    rows = compare_manners(found)
    assert rows[0][1:] == tuple(TITLES.values()) and len(rows) == len(COMPARED) + 1
    assert all(all(row[1:]) for row in rows)
    lines = say_plan(found, found.plan())
    assert lines[0] == "roof.png, glazed over a coloured underpainting, on white paper."
    assert "  The safety data sheet of each tube and local rules come before any plan." in lines
    told = "\n".join(lines)
    assert "common practice, no source" in told and "Titanium white" in told and " ml" in told
    data = plan_as_data(found, found.plan())
    assert json.loads(json.dumps(data)) == data
    assert [each["number"] for each in data["areas"]] == [1, 2, 3, 4]


def test_where_no_glaze_is_worth_it_that_is_said(found: PlanFound) -> None:
    blocked, opaque = found.plan("blocked"), found.plan("opaque")
    alike = [area.stack for area in blocked.areas] == [area.stack for area in opaque.areas]
    assert bool(say_same(found, blocked)) == alike and say_same(found, opaque) == ""


def test_the_same_picture_and_seed_give_the_same_plan(shelf: Path, picture: Path, found: PlanFound) -> None:
    again = plan_from_shelf(REQUEST, picture, shelf)
    assert plan_as_data(again, again.plan()) == plan_as_data(found, found.plan())


def test_progress_rises_and_can_stop_it(shelf: Path, picture: Path) -> None:
    shares: list[float] = []

    class StopError(Exception):
        pass

    def tell(_words: str, share: float) -> None:
        shares.append(share)
        if share > 0.5:
            raise StopError

    with pytest.raises(StopError):
        plan_from_shelf(REQUEST, picture, shelf, progress=tell)
    assert shares == sorted(shares) and shares[0] == 0.0


@pytest.mark.parametrize("size", [(2, 2), (2, 700), (1, 9)])
def test_odd_pictures_are_planned_or_refused_with_a_sentence(
    shelf: Path, tmp_path: Path, size: tuple[int, int]
) -> None:
    path = tmp_path / "odd.png"
    Image.fromarray(np.full((size[1], size[0], 3), 128, np.uint8)).save(path)
    if min(size) < 2:
        with pytest.raises(CardError, match="The picture is too small"):
            open_reference(path)
        return
    with open_shelf(shelf) as opened:
        found = plan_picture(replace(REQUEST, count=2), open_reference(path), opened)
    assert len(found.division.labs) == 1 and found.picture("pass-1", "opaque")


def test_hostile_files_are_refused_with_a_sentence(tmp_path: Path) -> None:
    whole = io.BytesIO()
    sketch().save(whole, "PNG")
    for name, content in (
        ("cut.png", whole.getvalue()[:200]),
        ("words.png", b"not a picture"),
        ("empty.png", b""),
    ):
        path = tmp_path / name
        path.write_bytes(content)
        with pytest.raises(CardError):
            open_reference(path)
    with pytest.raises(InputError, match="picture: saw 'nothing'"):
        open_reference(b"")


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"count": 1}, "areas: saw '1'; allowed is 2 to 40"),
        ({"count": 41}, "areas: saw '41'; allowed is 2 to 40"),
        ({"manner": "thick"}, "manner: saw 'thick'; allowed is transparent, grisaille"),
        ({"width_cm": 0.0}, "width: saw '0'; allowed is 1 to 2000 cm"),
    ],
)
def test_what_cannot_be_asked_is_refused(asked: dict[str, object], message: str) -> None:
    with pytest.raises(InputError, match=message):
        PlanRequest(**asked)  # type: ignore[arg-type]


def test_what_the_shelf_does_not_have_is_refused(shelf: Path, picture: Path, tmp_path: Path) -> None:
    for asked, message in (
        ({"only": ("no such tube",)}, "paint: saw 'no such tube'"),
        ({"imprimatura": "no such tube"}, "imprimatura: saw 'no such tube'"),
        ({"ground": "marble"}, "ground: saw 'marble'"),
        ({"exclude": TUBES, "only": TUBES}, "Every tube of the shelf is left out"),
    ):
        with pytest.raises(InputError, match=message):
            plan_from_shelf(replace(REQUEST, **asked), picture, shelf)  # type: ignore[arg-type]
    with open_shelf(tmp_path / "empty.sqlite"):
        pass
    with pytest.raises(InputError, match="shelf: saw 'no paints'"):
        plan_from_shelf(REQUEST, picture, tmp_path / "empty.sqlite")


def test_one_tube_still_makes_a_plan_and_says_what_it_cannot(shelf: Path, picture: Path) -> None:
    found = plan_from_shelf(replace(REQUEST, only=("burnt-sienna",)), picture, shelf)
    assert found.plans
    for plan in found.plans.values():
        assert {paint.key for paint in plan.used} <= {"burnt-sienna"}
        assert any(area.shortfall.startswith("Out of reach") for area in plan.areas)


def test_a_command_writes_its_pictures(shelf: Path, picture: Path, tmp_path: Path) -> None:
    named = [word for key in TUBES for word in ("--only", key)]
    command = ["plan", str(picture), "--areas", "3", "--manner", "opaque", "--ground", "#b08d57", *named]
    answer = CliRunner().invoke(
        app, [*command, "--shelf", str(shelf), "--out", str(tmp_path / "out"), "--json"]
    )
    assert answer.exit_code == 0, answer.output
    data = json.loads(answer.stdout)
    assert data["manner"] == "opaque" and data["ground"] == "screen colour #b08d57"
    assert {"wanted.png", "areas.png", "pass-1.png", "misses.png"} <= {
        Path(file).name for file in data["files"]
    }
    assert all(Path(file).stat().st_size > 0 for file in data["files"])
