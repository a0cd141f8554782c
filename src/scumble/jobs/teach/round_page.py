"""One question on its page: before it is answered, and after, when the film is shown."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from scumble.errors import InputError
from scumble.jobs.bench.request import Bench, BenchFilm, write_query
from scumble.jobs.teach.asked import MOST_SEED, read_asked
from scumble.jobs.teach.desk import QuestionDesk, desk_of
from scumble.jobs.teach.judge import Judged, judge_answer
from scumble.jobs.teach.pointing import Spot, palette, read_pointed
from scumble.jobs.teach.practice import Past, next_asked
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.tube.paint_figures import screen_hex
from scumble.jobs.white import is_white
from scumble.paint import Provenance
from scumble.paint.question.question import KIND_WORDS, Laid, Question, Shown
from scumble.paint.question.wrong import on_screen, say_colour
from scumble.store.shelf import Shelf

NOTHING_LEFT = (
    "This shelf has nothing more to ask of that kind: too few tubes, or their optics are not sure enough to tell a "
    "right answer from a wrong one. Read more cards, or choose another theme."
)


@dataclass(frozen=True, slots=True)
class Swatch:
    """A colour on a page.

    Parameters
    ----------
    words : str
        What was painted.
    colour : str
        Screen colour.
    name : str
        The colour in plain words.
    """

    words: str
    colour: str
    name: str


@dataclass(frozen=True, slots=True)
class Answerable:
    """One answer as a page shows it.

    Parameters
    ----------
    number : int
        The key that takes it.
    words : str
        What it says.
    colour : str
        Screen colour of a swatch, empty for words.
    mark : str
        After answering: ``right``, ``yours``, ``right and yours``, or nothing.
    """

    number: int
    words: str
    colour: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """A tube in the question, with its painted strip."""

    key: str
    label: str
    stamp: str


@dataclass(frozen=True, slots=True)
class Reveal:
    """What is told after the answer.

    Parameters
    ----------
    judged : Judged
        What became of it.
    why, number, meaning : str
        The sentence, and the figure behind it.
    painted : tuple of Swatch
        The film.
    pointed : Swatch or None
        The colour that was pointed out.
    strips : tuple of Strip
        The tubes in it.
    layers : str
        Address where the film can be changed, empty where there is none.
    onward : str
        Address of the next question, or of the end.
    doubt : str
        Said where a tube is illustrative.
    """

    judged: Judged
    why: str
    number: str
    meaning: str
    painted: tuple[Swatch, ...]
    pointed: Swatch | None
    strips: tuple[Strip, ...]
    layers: str
    onward: str
    doubt: str


@dataclass(frozen=True, slots=True)
class RoundPage:
    """A question on its page.

    Parameters
    ----------
    query : RoundQuery
        The round.
    place : int
        Which question, from 1.
    topic, asks : str
        What it is about, and the question.
    given : tuple of Swatch
        What is seen before answering.
    choices : tuple of Answerable
        What can be answered.
    swatches : bool
        Whether the choices are colours.
    palette : tuple of rows of Spot
        Colours to point at; none where one chooses.
    reveal : Reveal or None
        After the answer.
    """

    query: RoundQuery
    place: int
    topic: str
    asks: str
    given: tuple[Swatch, ...]
    choices: tuple[Answerable, ...]
    swatches: bool
    palette: tuple[tuple[Spot, ...], ...]
    reveal: Reveal | None


def begin_round(query: RoundQuery) -> str:
    """Address of the first question of a new round."""
    seed = query.seed if query.seed >= 0 else secrets.randbelow(MOST_SEED + 1)
    return query.address(seed=seed, round=secrets.token_hex(6), had="", so="", ask="", said="")


def step_round(
    shelf: Shelf, query: RoundQuery, past: Sequence[Past] = (), *, now: datetime | None = None
) -> str:
    """Address of the next question of a round, or of its end.

    Parameters
    ----------
    shelf : Shelf
        Open.
    query : RoundQuery
        The round so far.
    past : sequence of Past
        All answers of its trainee, oldest first.
    now : datetime, optional
        This moment, UTC; nothing is due without it.

    Raises
    ------
    InputError
        If the shelf has nothing to ask.
    """
    had = query.asked_so_far()
    if len(had) >= query.of:
        return query.address(ask="", said="").replace("/teach/round", "/teach/done")
    asked = next_asked(
        desk_of(shelf),
        query.kinds(),
        seed=max(query.seed, 0),
        had=had,
        past=past,
        now=now,
        pointed=query.manner == "point",
    )
    if asked is None and had:
        return query.address(ask="", said="").replace("/teach/round", "/teach/done")
    if asked is None:
        raise InputError(
            "shelf", f"{len(desk_of(shelf).keys)} tubes", "a shelf with something to ask", NOTHING_LEFT
        )
    return query.address(ask=str(asked), said="")


def show_question(shelf: Shelf, query: RoundQuery) -> RoundPage:
    """A question on its page, with what became of it once it was answered.

    Raises
    ------
    InputError
        If the shelf has no such question, or the answer is none.
    """
    desk = desk_of(shelf)
    question = fetch_question(desk, query.ask)
    pointed = query.manner == "point" and question.wanted is not None
    judged = judge_answer(question, query.said) if query.said else None
    return RoundPage(
        query=query,
        place=len(query.asked_so_far()) + 1,
        topic=KIND_WORDS[question.kind],
        asks=question.asks,
        given=tuple(_swatch(each) for each in question.given),
        choices=() if pointed else _choices(question, judged),
        swatches=question.wanted is not None,
        palette=palette() if pointed and judged is None else (),
        reveal=None if judged is None else _reveal(desk, question, query, judged),
    )


def fetch_question(desk: QuestionDesk, name: str) -> Question:
    """A question by its name.

    Raises
    ------
    InputError
        If this shelf has none of that name.
    """
    question = desk.question(read_asked(name))
    if question is None:
        hint = "The shelf has changed since it was asked; begin a new round."
        raise InputError("question", name, "a question that this shelf can make", hint)
    return question


def _swatch(shown: Shown) -> Swatch:
    seen = on_screen(shown.lab)
    return Swatch(shown.words, screen_hex(seen), say_colour(seen))


def _choices(question: Question, judged: Judged | None) -> tuple[Answerable, ...]:
    return tuple(
        Answerable(
            at + 1,
            each.words,
            "" if each.lab is None else screen_hex(on_screen(each.lab)),
            "" if judged is None else _mark(at == question.right, at == judged.chosen),
        )
        for at, each in enumerate(question.choices)
    )


def _mark(right: bool, yours: bool) -> str:
    return " and ".join(word for word, holds in (("right", right), ("yours", yours)) if holds)


def _reveal(desk: QuestionDesk, question: Question, query: RoundQuery, judged: Judged) -> Reveal:
    had = ",".join([*(name for name in query.had.split(",") if name), query.ask])
    provenances = {desk.entry(key).provenance for key in question.paints}
    illustrative = Provenance.ILLUSTRATIVE in provenances
    return Reveal(
        judged=judged,
        why=question.why,
        number=question.number,
        meaning=question.meaning,
        painted=tuple(_swatch(each) for each in question.painted),
        pointed=_pointed(query.said) if judged.off_de00 is not None else None,
        strips=tuple(Strip(key, desk.label(key), desk.stamp_of(key)) for key in question.paints),
        layers="" if question.laid is None else f"/layers?{layers_query(desk, question.laid)}",
        onward=query.address(had=had, so=f"{query.so}{int(judged.right)}", ask="", said=""),
        doubt="With illustrative tubes: argued from physics, not measured." if illustrative else "",
    )


def _pointed(said: str) -> Swatch:
    return _swatch(Shown("as you pointed it out", tuple(read_pointed(said).tolist())))


def layers_query(desk: QuestionDesk, laid: Laid) -> str:
    """A film on its ground as the layer bench takes it in its address."""
    (first, amount), *rest = laid.parts
    film = {"paint": first, "coats": float(f"{laid.coats:.3g}"), "parts": amount}
    for key, parts in rest:
        if is_white(desk.entry(key)):
            film["white"] = parts
        else:
            film |= {"second": key, "second_parts": parts}
    bench = Bench(ground=laid.ground, films=(BenchFilm.model_validate(film),))
    return write_query(bench)
