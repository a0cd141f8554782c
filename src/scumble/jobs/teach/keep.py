"""What trainees answered, kept on the shelf and fetched again to choose what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from scumble.jobs.teach.ability import Tried
from scumble.jobs.teach.desk import desk_of
from scumble.jobs.teach.judge import Judged, judge_answer
from scumble.jobs.teach.practice import Past
from scumble.jobs.teach.round_page import fetch_question, step_round
from scumble.jobs.teach.round_query import RoundQuery
from scumble.paint.question.question import Kind
from scumble.store.shelf import Shelf
from scumble.store.trainee import Answer

POINTED_DIFFICULTY = 1.0
"""How hard it is taken to be to point a colour out, without choices to guess among [logit]. Scumble's own."""

_KINDS = {kind.value for kind in Kind}


def past_of(answers: Sequence[Answer]) -> tuple[Past, ...]:
    """Answers as practice looks at them, oldest first; kinds that are no longer asked are passed over."""
    return tuple(
        Past((Kind(each.kind), each.paints[0]), each.moment, Tried(each.difficulty, each.guessed, each.right))
        for each in answers
        if each.kind in _KINDS
    )


def next_address(shelf: Shelf, query: RoundQuery) -> str:
    """Address of the next question of a round, chosen by all that its trainee has answered.

    Raises
    ------
    InputError
        If the shelf has nothing to ask, or there is no such trainee.
    """
    if not query.who:
        return step_round(shelf, query)
    shelf.trainees.load(query.who)
    answers = shelf.trainees.load_answers(query.who).get(query.who, ())
    return step_round(shelf, query, past_of(answers), now=datetime.now(UTC))


def keep_answer(shelf: Shelf, query: RoundQuery) -> Judged:
    """Judge an answer and keep it for its trainee; the first to a question counts.

    Parameters
    ----------
    shelf : Shelf
        Open.
    query : RoundQuery
        The round, with the question and what was said; who is 0 for somebody of whom nothing is kept.

    Raises
    ------
    InputError
        If there is no such question or trainee, or it is no answer.
    """
    question = fetch_question(desk_of(shelf), query.ask)
    judged = judge_answer(question, query.said)
    if query.who and query.round:
        pointed = judged.off_de00 is not None
        answer = Answer(
            kind=question.kind.value,
            paints=question.paints,
            right=judged.right,
            difficulty=POINTED_DIFFICULTY if pointed else question.difficulty,
            guessed=0.0 if pointed else question.guessed,
            round=query.round,
            place=len(query.asked_so_far()) + 1,
            slip=judged.slip[:200],
            off_de00=judged.off_de00,
        )
        shelf.trainees.save_answer(query.who, answer)
    return judged
