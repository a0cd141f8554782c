"""Records: what is mispredicted most stands first, as sure as few answers make it, and what is due comes again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zlib import crc32

import pytest
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.teach.asked import read_asked
from scumble.jobs.teach.keep import keep_answer, next_address, past_of
from scumble.jobs.teach.record import show_record, show_teacher
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.teach.start_page import show_start
from scumble.store.shelf import Shelf, open_shelf
from scumble.store.trainee import Answer

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("record") / "shelf.sqlite")) as opened:
        yield opened


def keep_many(shelf: Shelf, who: int, kind: str, key: str, rights: str, *, days_ago: float = 3.0) -> None:
    for place, right in enumerate(rights, start=1):
        answer = Answer(
            kind,
            (key,),
            right == "1",
            0.0,
            0.25,
            f"{crc32(f'{kind} {key}'.encode()):x}",
            place,
            slip="" if right == "1" else f"slip of {kind}",
            answered_at=NOW - timedelta(days=days_ago) + timedelta(minutes=place),
        )
        assert shelf.trainees.save_answer(who, answer)


def test_what_is_surely_mispredicted_stands_before_what_was_hardly_asked(shelf: Shelf) -> None:
    one, two = shelf.trainees.add("One"), shelf.trainees.add("Two")
    keep_many(shelf, one.number, "mixing", "viridian", "0001000010")
    keep_many(shelf, one.number, "cover", "cadmium-red", "1111111111")
    keep_many(shelf, two.number, "undertone", "raw-sienna", "0")
    page = show_teacher(shelf, now=NOW)
    assert [row.words for row in page.record.kinds] == [
        "Two tubes mixed",
        "Does one coat cover black",
        "The undertone in a masstone",
    ]
    assert [row.words for row in page.record.tubes] == ["Viridian", "Cadmium red", "Raw sienna"]
    assert page.record.slips[0] == ("slip of mixing", 8)
    assert str(page.record.kinds[2].share) == "0 of 1", "one answer is no share"
    assert [(each.name, share.asked) for each, share, _ in page.trainees] == [("One", 20), ("Two", 1)]
    own = show_record(shelf, one.number, now=NOW)
    assert own.record.whole.right == 12 and own.due == 2
    assert {each.tube for each in own.revisits} == {"Viridian", "Cadmium red"}
    assert all(f"who={one.number}" in row.address for row in own.record.kinds)


def test_what_was_wrong_comes_again_when_it_is_due(shelf: Shelf) -> None:
    who = shelf.trainees.add("One").number
    keep_many(shelf, who, "warmer", "viridian", "0", days_ago=400.0)
    assert {each.name: due for each, due in show_start(shelf, who=who).trainees} == {"One": 1}
    address = next_address(shelf, RoundQuery(who=who, seed=1, round="ab"))
    assert "ask=warmer.viridian." in address
    assert "ask=warmer.viridian." not in next_address(shelf, RoundQuery(seed=1, round="ab"))


def test_answers_are_judged_and_kept_once(shelf: Shelf) -> None:
    who = shelf.trainees.add("One").number
    address = next_address(shelf, RoundQuery(who=who, seed=3, round="ab", theme="mixing"))
    name = address.partition("ask=")[2].partition("&")[0]
    query = RoundQuery(who=who, seed=3, round="ab", theme="mixing", ask=name, said="1")
    judged = keep_answer(shelf, query)
    keep_answer(shelf, query.model_copy(update={"said": "2"}))
    (kept,) = shelf.trainees.load_answers(who)[who]
    assert kept.right == judged.right and kept.slip == judged.slip
    assert kept.kind == "mixing" and kept.paints[0] == read_asked(name).key and len(kept.paints) == 2
    (past,) = past_of([kept])
    assert past.tried.guessed == kept.guessed > 0
    pointed = query.model_copy(update={"manner": "point", "said": "50,40,120", "round": "cd"})
    assert keep_answer(shelf, pointed).off_de00 == shelf.trainees.load_answers(who)[who][1].off_de00
    assert show_record(shelf, who).record.off_de00 is not None


def test_of_whom_nothing_is_known_nothing_is_shown(shelf: Shelf) -> None:
    with pytest.raises(InputError, match="trainee: saw '12'"):
        show_record(shelf, 12)
    with pytest.raises(InputError, match="trainee: saw '12'"):
        next_address(shelf, RoundQuery(who=12, round="ab"))
    assert show_teacher(shelf).record.whole.asked == 0
    assert show_start(shelf, who=12).who == 0
