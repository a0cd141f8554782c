"""A long shelf: a page shows few strips and asks little, in a file and on a server; filters leave what they say."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import event
from tests.store.servers import MISSING, running_server, server_folder

from scumble.errors import InputError
from scumble.jobs.shelf import hung_shelf
from scumble.jobs.shelf.hung_shelf import hang_waiting, look_at_wall
from scumble.jobs.shelf.hung_strip import hang_strip, strip_to_summary
from scumble.jobs.shelf.known_facts import look_at_facts
from scumble.jobs.shelf.shelf_filter import ShelfFilter
from scumble.jobs.shelf.show_shelf import STRIPS_A_PAGE, show_shelf
from scumble.jobs.tube.show_beside import show_beside
from scumble.paint.pigment import starter_shelf
from scumble.store.drawers.entry import Entry
from scumble.store.shelf import Lightfastness, LightScale, Shelf, TubeFacts, open_shelf

COPIES = 5
STARTERS = starter_shelf()
RATED = (
    Lightfastness(LightScale.ASTM, "I", "the label"),
    Lightfastness(LightScale.BLUE_WOOL, "5", "own test"),
)


@pytest.fixture(scope="module", params=["file", "server"])
def shelf(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    if request.param == "file":
        with open_shelf(fill(tmp_path_factory.mktemp("long") / "shelf.sqlite")) as opened:
            yield opened
    elif server_folder() is None:
        pytest.skip(MISSING)
    else:
        with running_server() as server, open_shelf(fill(server.make_database())) as opened:
            yield opened


def fill(place: Path | str) -> Path | str:
    """The starters several times over; only the first ones' strips are worked out, the copies get theirs."""
    copies = [
        replace(paint, key=f"{paint.key}-{number}", label=f"{paint.label} {number}")
        for number in range(COPIES)
        for paint in STARTERS
    ]
    with open_shelf(place) as shelf:
        shelf.save_paints(copies)
        shelf.tubes.save_all(
            {
                paint.key: TubeFacts(Decimal(at % 9), "EUR", 37.0, at % 3, lightfastness=RATED[: at % 3])
                for at, paint in enumerate(copies)
            }
        )
        wall = look_at_wall(shelf)
        white = next(paint for paint in copies if paint.key == "titanium-white-0")
        pale = wall.entries[white.key]
        strips = [hang_strip(paint, white, (wall.entries[f"{paint.key}-0"], pale)) for paint in STARTERS]
        made = {}
        for at, paint in enumerate(copies):
            entry = wall.entries[paint.key]
            made[entry] = strip_to_summary(replace(strips[at % len(STARTERS)], key=paint.key), pale)
        shelf.summaries.save_all(made)
        assert hang_waiting(shelf).waiting == ()
    return place


def questions(shelf: Shelf, ask) -> list[str]:  # type: ignore[no-untyped-def]
    asked: list[str] = []

    def note(*seen: object) -> None:
        if str(seen[2]).startswith("SELECT"):
            asked.append(str(seen[2]))

    event.listen(shelf.door.engine, "before_cursor_execute", note)
    try:
        ask()
    finally:
        event.remove(shelf.door.engine, "before_cursor_execute", note)
    return asked


def test_a_page_asks_two_questions_and_shows_few(shelf: Shelf) -> None:
    total = COPIES * len(STARTERS)
    first = show_shelf(shelf, page=1, most_new=0)
    assert (first.total, first.found, len(first.strips)) == (total, total, STRIPS_A_PAGE)
    assert first.pages == -(-total // STRIPS_A_PAGE)

    def narrow_it() -> object:
        return show_shelf(shelf, find="blue", wanted=ShelfFilter(stock="at hand"), page=1)

    narrow_it()
    again = questions(shelf, narrow_it)
    assert len(again) == 2, again
    assert not any("absorption" in question for question in again)


def test_a_first_look_reads_no_optics_and_asks_no_more_for_more_paints(shelf: Shelf) -> None:
    hung_shelf._walls.clear()
    asked = questions(shelf, lambda: show_shelf(shelf, page=1, most_new=0))
    assert len(asked) <= 10, asked
    assert not any("absorption" in question or "picture" in question.split("FROM")[0] for question in asked)


def test_pages_hold_every_strip_once(shelf: Shelf) -> None:
    pages = show_shelf(shelf, page=1).pages
    shown = [strip.key for number in range(1, pages + 1) for strip in show_shelf(shelf, page=number).strips]
    assert len(shown) == len(set(shown)) == COPIES * len(STARTERS)
    assert show_shelf(shelf, page=99).page == pages


@pytest.mark.parametrize(
    ("wanted", "holds"),
    [
        (ShelfFilter(hue="blue"), lambda strip, _: strip.hue_word == "blue"),
        (ShelfFilter(mark="opaque"), lambda strip, _: strip.mark == "opaque"),
        (ShelfFilter(caution="cadmium"), lambda strip, _: "cadmium" in strip.label.lower()),
        (ShelfFilter(caution="none known"), lambda strip, _: not strip.cautions),
        (ShelfFilter(most_price="3,5"), lambda _, facts: facts.price <= 3),
        (ShelfFilter(stock="none left"), lambda _, facts: facts.stock == 0),
        (ShelfFilter(lasting="not rated"), lambda _, facts: not facts.lightfastness),
        (ShelfFilter(lasting="fleeting"), lambda _, facts: len(facts.lightfastness) == 2),
        (
            ShelfFilter(binder="acrylic", strength="strong"),
            lambda strip, _: strip.strength_word == "strong",
        ),
    ],
)
def test_filters_leave_what_they_say(shelf: Shelf, wanted: ShelfFilter, holds) -> None:  # type: ignore[no-untyped-def]
    page, every = show_shelf(shelf, wanted=wanted), show_shelf(shelf)
    left = {strip.key for strip in page.strips}
    assert 0 < len(left) < every.total
    assert left == {strip.key for strip in every.strips if holds(strip, every.facts[strip.key])}


def test_price_orders_and_what_has_none_comes_last(shelf: Shelf) -> None:
    page = show_shelf(shelf, order="price")
    prices = [page.facts[strip.key].price for strip in page.strips]
    assert prices == sorted(prices)


def test_wrong_filters_are_said() -> None:
    with pytest.raises(InputError, match="mark: saw 'see-through'; allowed is transparent, semi-transparent"):
        ShelfFilter(mark="see-through")
    with pytest.raises(InputError, match="most_price: saw 'cheap'; allowed is an amount"):
        ShelfFilter(most_price="cheap")


def test_a_new_word_on_a_tube_is_seen_at_once_and_a_new_version_too(shelf: Shelf) -> None:
    key = show_shelf(shelf, order="name").strips[0].key
    shelf.tubes.save(key, TubeFacts(stock=77))
    assert show_shelf(shelf).facts[key].stock == 77
    shelf.save_paint(replace(shelf.load_paint(key), label="Aaa renamed"))
    assert show_shelf(shelf, find="renamed").strips[0].label == "Aaa renamed"


def _bin_and_fetch_back(shelf: Shelf) -> None:
    shelf.delete_paint("viridian-1")
    look_at_wall(shelf)
    shelf.tubes.save("viridian-2", TubeFacts(stock=8))
    shelf.restore_paint("viridian-1")


CHANGES = {
    "a new version": lambda shelf: shelf.save_paint(
        replace(shelf.load_paint("viridian-0"), label="Viridian, new")
    ),
    "an older version": lambda shelf: shelf.choose_version("viridian-0", 1),
    "a new tube": lambda shelf: shelf.save_paint(replace(STARTERS[3], key="quite-new")),
    "into the bin": lambda shelf: shelf.delete_paint("quite-new"),
    "out of the bin": lambda shelf: shelf.restore_paint("quite-new"),
    "there and back": _bin_and_fetch_back,
    "a word on a tube": lambda shelf: shelf.tubes.save("viridian-3", TubeFacts(stock=5)),
    "another white": lambda shelf: shelf.save_paint(
        replace(shelf.load_paint("titanium-white-0"), label="Titanium white, new")
    ),
}


def test_what_changed_is_read_and_no_more_and_the_wall_is_as_if_read_anew(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[int] = []
    whole = shelf.load_entries

    def counted(keys: Collection[str] | None = None) -> tuple[Entry, ...]:
        assert keys is not None
        read.append(len(keys))
        return whole(keys)

    for name, change in CHANGES.items():
        look_at_facts(shelf, look_at_wall(shelf))
        change(shelf)
        with monkeypatch.context() as watched:
            watched.setattr(shelf, "load_entries", counted)
            wall = look_at_wall(shelf)
        facts = look_at_facts(shelf, wall)
        with open_shelf(shelf.door.engine.url.render_as_string(hide_password=False)) as other:
            fresh = look_at_wall(other)
            assert (wall.stamp, wall.standing, wall.entries) == (
                fresh.stamp,
                fresh.standing,
                fresh.entries,
            ), name
            assert (wall.hung, wall.waiting, wall.whites) == (fresh.hung, fresh.waiting, fresh.whites), name
            assert facts == look_at_facts(other, fresh), name
            assert len({id(strip) for strip in wall.strips}) == len(wall.hung)
    assert read and max(read) == 1


def test_side_by_side_compares_every_two(shelf: Shelf) -> None:
    keys = ["cadmium-red-1", "viridian-2", "cadmium-red-1", "titanium-white-0"]
    page = show_beside(shelf, keys)
    assert [strip.key for strip in page.strips] == ["cadmium-red-1", "viridian-2", "titanium-white-0"]
    assert len(page.pairs) == 3 and all(len(row.cells) == 3 for row in page.rows)
    assert any("lasting" in said.topic for _, sentences in page.pairs for said in sentences)
    with pytest.raises(InputError, match="two to 6"):
        show_beside(shelf, [f"viridian-{number}" for number in range(COPIES)] + ["ultramarine-blue-0", "a"])
