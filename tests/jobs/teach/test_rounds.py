"""Rounds on real shelves: the same seed asks the same, nothing twice, and small shelves say what they lack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from tests.jobs.shelves import read_shelf

from scumble.errors import InputError
from scumble.jobs.bench.request import BenchQuery, parse_query
from scumble.jobs.teach.ability import Tried
from scumble.jobs.teach.asked import Asked, read_asked
from scumble.jobs.teach.desk import desk_of
from scumble.jobs.teach.done_page import show_done
from scumble.jobs.teach.judge import judge_answer
from scumble.jobs.teach.pointing import palette, read_pointed
from scumble.jobs.teach.practice import Past, next_asked
from scumble.jobs.teach.round_page import begin_round, fetch_question, layers_query, show_question, step_round
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.teach.start_page import show_start
from scumble.paint.pigment import starter_shelf
from scumble.paint.question.ask import THEME_KINDS, Theme
from scumble.paint.question.question import Kind
from scumble.store.shelf import Shelf, open_shelf

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(read_shelf(tmp_path_factory.mktemp("teach") / "shelf.sqlite")) as opened:
        yield opened


def rounds(shelf: Shelf, kinds: tuple[Kind, ...], seed: int, count: int, **options: object) -> list[Asked]:
    had: list[Asked] = []
    for _ in range(count):
        asked = next_asked(desk_of(shelf), kinds, seed=seed, had=had, **options)  # type: ignore[arg-type]
        assert asked is not None
        had.append(asked)
    return had


def test_a_seed_asks_the_same_again_and_nothing_twice(shelf: Shelf) -> None:
    first = rounds(shelf, tuple(Kind), 11, 8)
    with open_shelf(shelf.door.engine.url.database) as again:  # type: ignore[arg-type]
        assert rounds(again, tuple(Kind), 11, 8) == first
    assert rounds(shelf, tuple(Kind), 12, 8) != first
    assert len({(each.kind, each.key) for each in first}) == 8
    assert len({each.kind for each in first}) >= 6, "kinds come in turn"


def test_what_is_due_comes_first_the_longest_waiting_before(shelf: Shelf) -> None:
    things = [(Kind.COVER, "viridian"), (Kind.TRANSPARENCY, "alizarin-crimson")]
    past = [
        Past(thing, NOW - timedelta(days=days), Tried(0.0, 0.5, False))
        for thing, days in zip(things, (2, 5), strict=True)
    ]
    had = rounds(shelf, tuple(Kind), 3, 3, past=past, now=NOW)
    assert [(each.kind, each.key) for each in had[:2]] == things[::-1]
    assert (had[2].kind, had[2].key) not in things
    fresh = rounds(shelf, tuple(Kind), 3, 2, past=past, now=NOW - timedelta(days=4.5))
    assert all((each.kind, each.key) not in things for each in fresh)


def test_who_answers_well_is_asked_harder_questions(shelf: Shelf) -> None:
    def mean_difficulty(right: bool) -> float:
        past = [Past((Kind.COVER, f"gone-{at}"), NOW, Tried(0.5, 0.25, right)) for at in range(20)]
        had = rounds(shelf, THEME_KINDS[Theme.GROUNDS], 5, 6, past=past, now=NOW)
        questions = [desk_of(shelf).question(each) for each in had]
        return sum(each.difficulty for each in questions if each) / len(had)

    assert mean_difficulty(True) > mean_difficulty(False) + 0.5


@pytest.mark.parametrize("manner", ["choose", "point"])
def test_a_round_from_its_first_address_to_its_end(shelf: Shelf, manner: str) -> None:
    from urllib.parse import parse_qs, urlsplit

    def query_of(address: str) -> RoundQuery:
        return RoundQuery.model_validate(
            {name: values[0] for name, values in parse_qs(urlsplit(address).query).items()}
        )

    query = query_of(begin_round(RoundQuery(of=3, manner=manner, seed=4)))  # type: ignore[arg-type]
    for place in (1, 2, 3):
        query = query_of(step_round(shelf, query))
        page = show_question(shelf, query)
        assert page.place == place and page.reveal is None
        assert bool(page.palette) == (manner == "point") == (not page.choices)
        answered = show_question(
            shelf, query.model_copy(update={"said": "60,20,40" if manner == "point" else "1"})
        )
        assert answered.reveal is not None and answered.reveal.judged.verdict
        marks = [each.mark for each in answered.choices]
        assert (
            sum("right" in mark for mark in marks)
            == sum("yours" in mark for mark in marks)
            == (manner == "choose")
        )
        query = query_of(answered.reveal.onward)
    end = step_round(shelf, query)
    assert end.startswith("/teach/done?")
    done = show_done(shelf, query_of(end))
    assert done.share.asked == 3 == len(done.done)


def test_every_film_can_be_laid_on_the_bench(shelf: Shelf) -> None:
    from urllib.parse import parse_qs

    for asked in rounds(shelf, tuple(Kind), 21, 14):
        question = desk_of(shelf).question(asked)
        assert question is not None and question.laid is not None
        words = parse_qs(layers_query(desk_of(shelf), question.laid))
        bench = parse_query(
            BenchQuery.model_validate(
                {name: value if name not in ("ground",) else value[0] for name, value in words.items()}
            )
        )
        assert bench.films[0].paint == question.laid.parts[0][0]
        assert bench.ground == question.laid.ground


def test_an_empty_shelf_and_one_tube_and_twins(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "few.sqlite") as few:
        assert show_start(few).tubes == 0
        with pytest.raises(InputError, match="nothing more to ask of that kind"):
            step_round(few, RoundQuery(round="a"))
        blue = next(each for each in starter_shelf() if each.key == "ultramarine-blue")
        few.save_paint(blue)
        assert next_asked(desk_of(few), tuple(Kind), seed=1) is not None
        assert next_asked(desk_of(few), (Kind.MIXING, Kind.PULLS_WHITE), seed=1) is None
        few.save_paints([replace(blue, key=f"twin-{at}", label=f"Twin {at}") for at in range(4)])
        assert next_asked(desk_of(few), (Kind.COVERS_BETTER, Kind.PULLS_WHITE, Kind.MIXING), seed=1) is None
        asked = next_asked(desk_of(few), tuple(Kind), seed=1)
        assert asked is not None and desk_of(few).question(asked) is not None


def test_a_shelf_of_whites_alone_still_asks_what_can_be_asked(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "white.sqlite") as pale:
        pale.save_paints([each for each in starter_shelf() if each.key.endswith("white")])
        asked = next_asked(desk_of(pale), tuple(Kind), seed=2)
        assert asked is not None


@pytest.mark.parametrize("said", ["0", "9", "x", "", "1,2", "50,20", "50,20,400", "nan,1,1", "²"])
def test_what_is_no_answer_is_refused(shelf: Shelf, said: str) -> None:
    question = fetch_question(desk_of(shelf), str(rounds(shelf, (Kind.OVER_GROUND,), 1, 1)[0]))
    with pytest.raises(InputError, match=r"answer: saw|colour: saw"):
        judge_answer(question, said)


def test_a_slip_is_named(shelf: Shelf) -> None:
    question = fetch_question(desk_of(shelf), str(rounds(shelf, (Kind.OVER_GROUND,), 1, 1)[0]))
    for at, choice in enumerate(question.choices):
        judged = judge_answer(question, str(at + 1))
        assert judged.right == (at == question.right)
        assert judged.verdict == ("Right." if judged.right else f"Not so: that answer {choice.slip}.")


@pytest.mark.parametrize("name", ["", "cover", "cover.x.4.1", "sing.x.1.1", "cover..1.1", "cover.a b.1.1"])
def test_names_of_no_question_are_refused(name: str) -> None:
    with pytest.raises(InputError, match="question: saw"):
        read_asked(name)


def test_a_question_of_a_tube_that_is_gone_says_so(shelf: Shelf) -> None:
    with pytest.raises(InputError, match="The shelf has changed since it was asked; begin a new round"):
        fetch_question(desk_of(shelf), "cover.nobody.1.1")


def test_the_palette_can_be_pointed_at() -> None:
    spots = [spot for row in palette() for spot in row]
    assert len({spot.colour for spot in spots}) == len(spots) == 65
    assert all(read_pointed(spot.said).shape == (3,) for spot in spots)
