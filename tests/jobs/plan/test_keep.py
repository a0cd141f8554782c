"""Plans kept by name: reopened as they were, also when paints were read anew, moved, or went away."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.jobs.plan.test_plan_picture import REQUEST, sketch
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.plan.data import plan_as_data
from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.keep import keep_plan, move_plan, reopen_plan
from scumble.jobs.plan.plan_picture import plan_picture
from scumble.jobs.plan.reference import open_reference
from scumble.paint import Optics
from scumble.store.shelf import Shelf, open_shelf
from scumble.store.travel.shelf_export import format_shelf_json
from scumble.store.travel.shelf_import import import_shelf

PLAIN = replace(REQUEST, width_cm=None)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> PlanFound:
    content = io.BytesIO()
    sketch().save(content, "PNG")
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("keep") / "shelf.sqlite")) as shelf:
        return plan_picture(PLAIN, open_reference(content.getvalue(), "roof.png"), shelf)


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path / "shelf.sqlite")) as opened:
        yield opened


def told(found: PlanFound) -> str:
    return json.dumps([plan_as_data(found, plan) for plan in found.plans.values()])


def test_a_kept_plan_is_reopened_to_the_last_digit(shelf: Shelf, found: PlanFound) -> None:
    key = keep_plan(shelf, "  Red  roof, no. 2 ", found)
    assert key == "red-roof-no-2"
    again = reopen_plan(shelf, key)
    assert told(again) == told(found) and again.changed == ()
    for which in ("wanted", "areas", "pass-1", "misses"):
        assert again.picture(which) == found.picture(which)


def test_newer_paints_are_said_and_do_not_change_it(shelf: Shelf, found: PlanFound) -> None:
    key = keep_plan(shelf, "Roof", found)
    paint = shelf.load_paint("burnt-sienna")
    darker = Optics(1.4 * paint.optics.absorption, paint.optics.scattering)
    shelf.save_paint(replace(paint, optics=darker))
    again = reopen_plan(shelf, key)
    assert len(again.changed) == 1
    assert again.changed[0].startswith(
        "Burnt sienna has been read anew since this plan was kept: with it areas move"
    )
    assert told(replace(again, changed=())) == told(found)
    shelf.save_paint(replace(paint, label="Sienna, burnt"))
    assert reopen_plan(shelf, key).changed == (), "another name is no other paint"


def test_a_plan_without_its_tubes_is_refused_with_a_way_out(shelf: Shelf, found: PlanFound) -> None:
    key = keep_plan(shelf, "Roof", found)
    shelf.delete_paint("titanium-white")
    with pytest.raises(InputError, match=r"Titanium white is not.* Fetch it from the bin"):
        reopen_plan(shelf, key)
    with pytest.raises(
        InputError, match="plan: saw 'Titanium white'; allowed is tubes that are on the shelf"
    ):
        keep_plan(shelf, "Other", found)
    shelf.restore_paint("titanium-white")
    assert told(reopen_plan(shelf, key)) == told(found)


def test_plans_go_to_the_bin_and_travel(shelf: Shelf, found: PlanFound, tmp_path: Path) -> None:
    key = keep_plan(shelf, "Roof", found)
    move_plan(shelf, key, binned=True)
    move_plan(shelf, key, binned=True)
    with pytest.raises(InputError, match="plan: saw 'roof'"):
        reopen_plan(shelf, key)
    move_plan(shelf, key, binned=False)
    with open_shelf(tmp_path / "other.sqlite") as other:
        assert import_shelf(other, format_shelf_json(shelf).encode(), "json").saved
        assert told(reopen_plan(other, key)) == told(found)


def test_names_that_cannot_be_kept_are_refused(shelf: Shelf, found: PlanFound) -> None:
    with pytest.raises(InputError, match="name: saw ' - '; allowed is a name with letters or digits"):
        keep_plan(shelf, " - ", found)
