"""Rounds and records for who asks at the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.teach.desk import desk_of
from scumble.jobs.teach.keep import keep_answer, next_address
from scumble.jobs.teach.record import Record, show_record, show_teacher
from scumble.jobs.teach.round_page import RoundPage, begin_round, fetch_question, show_question
from scumble.jobs.teach.round_query import RoundQuery, read_address
from scumble.jobs.teach.share_right import ShareRight, share_right
from scumble.paint.question.question import Question
from scumble.store.shelf import Shelf, open_shelf

END = "/teach/done"

Ask = Callable[[RoundPage], str]
Tell = Callable[[RoundPage], None]


def play_round(query: RoundQuery, shelf: Path | None, *, name: str, ask: Ask, tell: Tell) -> ShareRight:
    """Ask a round of questions one after the other.

    Parameters
    ----------
    query : RoundQuery
        Theme, manner, number of questions and seed.
    shelf : Path, optional
        The shelf's file; the person's own by default.
    name : str
        Of the trainee; empty keeps nothing. A new name begins a record.
    ask : callable
        Shows a question and returns the answer; an empty one ends the round.
    tell : callable
        Shows what became of it.

    Raises
    ------
    InputError, StoreError
        For an unknown theme, an answer that is none, or a shelf that has nothing to ask.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        who = _number_of(opened, name) if name else 0
        query = read_address(begin_round(query.model_copy(update={"who": who})))
        while not (address := next_address(opened, query)).startswith(END):
            query = read_address(address)
            said = ask(show_question(opened, query))
            if not said:
                break
            answered = query.model_copy(update={"said": said})
            keep_answer(opened, answered)
            page = show_question(opened, answered)
            tell(page)
            assert page.reveal is not None
            query = read_address(page.reveal.onward)
    return share_right(query.so.count("1"), len(query.so))


def _number_of(shelf: Shelf, name: str) -> int:
    try:
        return shelf.trainees.find(name).number
    except InputError:
        return shelf.trainees.add(name).number


def questions_as_data(query: RoundQuery, shelf: Path | None) -> list[dict[str, Any]]:
    """The questions of a round with their truths, as plain data; nothing is kept.

    Raises
    ------
    InputError, StoreError
        For an unknown theme, or a shelf that has nothing to ask.
    """
    found = []
    with open_shelf(shelf_path(shelf)) as opened:
        query = read_address(begin_round(query))
        while not (address := next_address(opened, query)).startswith(END):
            query = read_address(address)
            found.append(_question_data(query.ask, fetch_question(desk_of(opened), query.ask)))
            had = ",".join(part for part in (query.had, query.ask) if part)
            query = query.model_copy(update={"had": had, "so": f"{query.so}1", "ask": ""})
    return found


def _question_data(name: str, question: Question) -> dict[str, Any]:
    return {
        "question": name,
        "kind": question.kind.value,
        "paints": list(question.paints),
        "asks": question.asks,
        "choices": [
            {"words": each.words, "lab": each.lab, "slip": each.slip or None} for each in question.choices
        ],
        "right": question.right + 1,
        "difficulty": round(question.difficulty, 3),
        "number": question.number,
        "why": question.why,
        "wanted_lab": question.wanted,
        "interval_de00": round(question.interval_de00, 3),
    }


def tell_record(shelf: Path | None, name: str) -> dict[str, Any]:
    """What was foretold, as plain data: of one trainee, or of all where no name is given.

    Raises
    ------
    InputError, StoreError
        If there is no such trainee.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        if not name:
            page = show_teacher(opened)
            lines = [
                {"name": each.name, **_share_data(share), "due": due} for each, share, due in page.trainees
            ]
            return {**_record_data(page.record), "trainees": lines}
        own = show_record(opened, opened.trainees.find(name).number)
        comes = [
            {"kind": each.words, "tube": each.tube, "box": each.box, "due": each.due} for each in own.revisits
        ]
        return {"name": own.trainee.name, **_record_data(own.record), "comes_again": comes}


def _record_data(record: Record) -> dict[str, Any]:
    return {
        **_share_data(record.whole),
        "kinds": [{"kind": row.words, **_share_data(row.share)} for row in record.kinds],
        "tubes": [{"tube": row.words, **_share_data(row.share)} for row in record.tubes],
        "errors": [{"error": words, "count": count} for words, count in record.slips],
        "pointed_off_de00": record.off_de00,
    }


def _share_data(share: ShareRight) -> dict[str, Any]:
    return {
        "right": share.right,
        "asked": share.asked,
        "share_95": [round(share.low, 4), round(share.high, 4)],
        "said": str(share),
    }


def erase_trainee(shelf: Path | None, name: str) -> str:
    """Erase a trainee with all answers, for good; the name as it was kept.

    Raises
    ------
    InputError, StoreError
        If there is no such trainee, or the shelf cannot be written.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        return opened.trainees.erase(opened.trainees.find(name).number).name
