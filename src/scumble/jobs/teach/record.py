"""What was foretold and what was not: by kind, by tube and by the error behind it, for one trainee or for all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TypeVar

from scumble.jobs.teach.boxes import Boxed
from scumble.jobs.teach.desk import QuestionDesk, desk_of
from scumble.jobs.teach.keep import past_of
from scumble.jobs.teach.practice import boxes_of
from scumble.jobs.teach.round_query import RoundQuery
from scumble.jobs.teach.share_right import FEW, ShareRight, share_right
from scumble.paint.question.ask import THEME_KINDS, Theme
from scumble.paint.question.question import KIND_WORDS, Kind
from scumble.store.shelf import Shelf
from scumble.store.trainee import Answer, Trainee

MOST_ROWS = 12

Group = TypeVar("Group", bound=Hashable)

KEPT = (
    "Kept of a trainee: this name or these initials, which question was answered when, whether rightly, and the error "
    "behind a wrong answer. Nothing else is asked, and nothing leaves this computer but in the exports and backups "
    "that you make of the shelf."
)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a record.

    Parameters
    ----------
    words : str
        A kind of question, or a tube.
    share : ShareRight
        How many were foretold.
    address : str
        Where it can be practised, empty where it cannot.
    """

    words: str
    share: ShareRight
    address: str = ""


@dataclass(frozen=True, slots=True)
class Revisit:
    """Something that comes again.

    Parameters
    ----------
    words, tube : str
        What is asked, of which tube.
    box : int
        Where it lies, 1 to 5.
    due : str
        When it comes, in words.
    """

    words: str
    tube: str
    box: int
    due: str


@dataclass(frozen=True, slots=True)
class Record:
    """What was foretold.

    Parameters
    ----------
    whole : ShareRight
        All answers.
    kinds, tubes : tuple of Row
        By kind and by tube, those most often mispredicted first, as sure as that is.
    slips : tuple of (str, int)
        Errors by how often they were made, the most frequent first.
    off_de00 : float or None [dE00]
        Middle distance of colours pointed out.
    """

    whole: ShareRight
    kinds: tuple[Row, ...]
    tubes: tuple[Row, ...]
    slips: tuple[tuple[str, int], ...]
    off_de00: float | None


@dataclass(frozen=True, slots=True)
class RecordPage:
    """One trainee's record.

    Parameters
    ----------
    trainee : Trainee
        Who.
    record : Record
        What was foretold.
    revisits : tuple of Revisit
        What comes again, the soonest first.
    due : int
        How many of them are due now.
    again : str
        Address of a round.
    """

    trainee: Trainee
    record: Record
    revisits: tuple[Revisit, ...]
    due: int
    again: str


@dataclass(frozen=True, slots=True)
class TeacherPage:
    """The record of all trainees.

    Parameters
    ----------
    record : Record
        Of all together.
    trainees : tuple of (Trainee, ShareRight, int)
        Each with their share and how many things are due.
    """

    record: Record
    trainees: tuple[tuple[Trainee, ShareRight, int], ...]


def show_record(shelf: Shelf, number: int, *, now: datetime | None = None) -> RecordPage:
    """One trainee's record.

    Raises
    ------
    InputError
        If there is no such trainee.
    """
    moment = now or datetime.now(UTC)
    trainee, desk = shelf.trainees.load(number), desk_of(shelf)
    answers = shelf.trainees.load_answers(number).get(number, ())
    boxes = boxes_of(past_of(answers))
    revisits = sorted(boxes.items(), key=lambda each: (each[1].due, each[0]))
    return RecordPage(
        trainee=trainee,
        record=record_of(answers, desk, who=number),
        revisits=tuple(
            Revisit(KIND_WORDS[kind], desk.label(key), boxed.box, say_due(boxed, moment))
            for (kind, key), boxed in revisits[:MOST_ROWS]
        ),
        due=sum(boxed.due <= moment for boxed in boxes.values()),
        again=RoundQuery(who=number).address(),
    )


def show_teacher(shelf: Shelf, *, now: datetime | None = None) -> TeacherPage:
    """The record of all trainees together, and of each in a line."""
    moment = now or datetime.now(UTC)
    several, desk = shelf.trainees.load_answers(), desk_of(shelf)
    together = [answer for own in several.values() for answer in own]
    lines = []
    for trainee in shelf.trainees.load_all():
        own = several.get(trainee.number, ())
        due = sum(boxed.due <= moment for boxed in boxes_of(past_of(own)).values())
        lines.append((trainee, share_right(sum(each.right for each in own), len(own)), due))
    return TeacherPage(record_of(together, desk), tuple(lines))


def record_of(answers: Sequence[Answer], desk: QuestionDesk, *, who: int = 0) -> Record:
    """Sum answers up.

    Parameters
    ----------
    answers : sequence of Answer
        Of one trainee or of several.
    desk : QuestionDesk
        Knows what tubes are called.
    who : int
        For whom a round is offered beside each kind.
    """
    known = [each for each in answers if each.kind in {kind.value for kind in Kind}]
    kinds = _shares(known, lambda answer: (Kind(answer.kind),))
    tubes = _shares(known, lambda answer: answer.paints)
    slips = Counter(each.slip for each in known if each.slip and not each.right)
    off = sorted(each.off_de00 for each in known if each.off_de00 is not None)
    return Record(
        whole=share_right(sum(each.right for each in known), len(known)),
        kinds=tuple(
            Row(KIND_WORDS[kind], share, RoundQuery(who=who, theme=_theme_of(kind).value).address())
            for kind, share in kinds
        ),
        tubes=tuple(Row(desk.label(key), share) for key, share in tubes[:MOST_ROWS]),
        slips=tuple(slips.most_common(MOST_ROWS)),
        off_de00=off[len(off) // 2] if off else None,
    )


def _shares(
    answers: Sequence[Answer], groups: Callable[[Answer], Sequence[Group]]
) -> list[tuple[Group, ShareRight]]:
    """Shares by group: first what is surely mispredicted most, then what was asked too seldom to say."""
    right: Counter[Group] = Counter()
    asked: Counter[Group] = Counter()
    for each in answers:
        for group in groups(each):
            asked[group] += 1
            right[group] += each.right
    shares = [(group, share_right(right[group], count)) for group, count in asked.items()]
    return sorted(shares, key=lambda each: (each[1].asked < FEW, each[1].high, -each[1].asked, str(each[0])))


def _theme_of(kind: Kind) -> Theme:
    return next(theme for theme, kinds in THEME_KINDS.items() if kind in kinds)


def say_due(boxed: Boxed, now: datetime) -> str:
    """When something comes again, in words.

    Examples
    --------
    >>> monday = datetime(2026, 1, 5, tzinfo=UTC)
    >>> [say_due(Boxed(2, monday + timedelta(days=days)), monday) for days in (-1, 0.5, 1.2, 8)]
    ['now', 'within a day', 'tomorrow', 'in 8 days']
    """
    if boxed.due <= now:
        return "now"
    days = (boxed.due - now) / timedelta(days=1)
    return "within a day" if days < 1 else "tomorrow" if days < 1.5 else f"in {days:.0f} days"
