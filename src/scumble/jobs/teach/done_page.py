"""The end of a round: what was foretold, what was not, and what to look at again."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.jobs.teach.desk import desk_of
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.teach.share_right import ShareRight, share_right
from scumble.paint.question.question import KIND_WORDS
from scumble.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Done:
    """One question of a round that is over.

    Parameters
    ----------
    topic, asks : str
        What it was about, and the question.
    right : bool
        Whether it was foretold.
    why : str
        The sentence that goes with it.
    address : str
        Where it can be tried again, nothing kept.
    """

    topic: str
    asks: str
    right: bool
    why: str
    address: str


@dataclass(frozen=True, slots=True)
class DonePage:
    """A round that is over.

    Parameters
    ----------
    query : RoundQuery
        The round.
    done : tuple of Done
        Its questions.
    share : ShareRight
        How many were foretold.
    again : str
        Address of another round of the same kind.
    """

    query: RoundQuery
    done: tuple[Done, ...]
    share: ShareRight
    again: str


def show_done(shelf: Shelf, query: RoundQuery) -> DonePage:
    """What became of a round.

    Raises
    ------
    InputError
        If its address names no questions.
    """
    desk = desk_of(shelf)
    found = []
    for asked, right in zip(query.asked_so_far(), query.so, strict=False):
        question = desk.question(asked)
        if question is None:
            continue
        once = RoundQuery(seed=asked.seed, of=1, manner=query.manner).address(ask=str(asked))
        found.append(Done(KIND_WORDS[asked.kind], question.asks, right == "1", question.why, once))
    again = RoundQuery(who=query.who, theme=query.theme, manner=query.manner, of=query.of)
    return DonePage(
        query, tuple(found), share_right(sum(each.right for each in found), len(found)), again.address()
    )
