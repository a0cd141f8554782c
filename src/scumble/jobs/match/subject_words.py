"""A subject painted two ways, in lines and sentences that prefer neither."""

from __future__ import annotations

from collections.abc import Callable

from scumble.jobs.match.subject_value import REACHED, Subject, Tally

TITLES = {"cover": "covered", "glaze": "glazed"}

ROWS: tuple[tuple[str, Callable[[Tally], str]], ...] = (
    (f"colours within dE00 {REACHED:g}", lambda each: str(each.reached)),
    ("off by on average, dE00", lambda each: _number(each.difference, 1)),
    ("brightness, L*", lambda each: _number(each.brightness, 1)),
    ("chroma, C*", lambda each: _number(each.chroma, 1)),
    ("different tubes", lambda each: str(each.tubes)),
    ("mixtures to stir", lambda each: str(each.mixtures)),
    ("coats on one place, mean", lambda each: _number(each.coats, 1)),
    ("coats where it takes most", lambda each: str(each.most_coats)),
    ("waits for drying", lambda each: str(max(each.most_coats - 1, 0))),
    ("paint on one place, coats", lambda each: _number(each.paint, 2)),
    ("corrections to reckon with", lambda each: str(each.slips)),
    ("a fifth more or less, dE00", lambda each: _number(each.unevenness, 1)),
    ("wet to dry, dE00", lambda each: _number(each.wet_shift, 1)),
    ("predicted within, dE00", lambda each: _number(each.interval, 1)),
)
"""What is counted, and how each number is written."""


def table_of_subject(subject: Subject) -> tuple[tuple[str, ...], ...]:
    """What is counted, and the number of each way, as rows of words; the first is the head."""
    head = ("counted", *(TITLES[each.way] for each in subject.tallies))
    return (head, *((words, *(write(each) for each in subject.tallies)) for words, write in ROWS))


def sentences_of_subject(subject: Subject) -> tuple[str, ...]:
    """What the numbers come to."""
    cover, glaze = subject.tallies
    count = len(subject.colours)
    lines = [
        f"Of {count} {'colour' if count == 1 else 'colours'}, {cover.reached} come within dE00 {REACHED:g} "
        f"covered and {glaze.reached} glazed."
    ]
    if cover.brightness is not None and glaze.brightness is not None:
        lines.append(
            f"The subject is L* {subject.brightness:.1f} and C* {subject.chroma:.1f} on average; covered it comes out "
            f"at L* {cover.brightness:.1f} and C* {cover.chroma:.1f}, glazed at L* {glaze.brightness:.1f} and "
            f"C* {glaze.chroma:.1f}."
        )
    lines += [
        f"Covering takes {_count(cover.mixtures, 'mixture')} and up to {_count(cover.most_coats, 'coat')} on one "
        f"place; glazing {_count(glaze.mixtures, 'mixture')} and up to {_count(glaze.most_coats, 'coat')}.",
        f"A tenth more or less of something measured or laid shows in {cover.slips} "
        f"{'place' if cover.slips == 1 else 'places'} covered and in {glaze.slips} glazed.",
        "What is covered can be painted over; a glaze can be made deeper but not lighter.",
    ]
    return tuple(lines)


def say_subject(subject: Subject) -> list[str]:
    """A subject in lines for a terminal."""
    rows = table_of_subject(subject)
    wide = max(len(row[0]) for row in rows)
    lines = [f"One subject, two ways: {subject.source}, over {subject.ground}.", ""]
    lines += [f"  {row[0]:<{wide}}" + "".join(f"  {cell:>8}" for cell in row[1:]) for row in rows]
    lines += ["", *sentences_of_subject(subject)]
    for colour in subject.colours:
        lines += ["", f"{colour.label}, {colour.share:.0%}"]
        for way, title in TITLES.items():
            passage = colour.ways.get(way)
            if passage is None:
                lines.append(f"  {title}: no film of this shelf does it")
                continue
            lines.append(f"  {title} (dE00 {passage.difference:.1f}): {'; then '.join(passage.films)}")
    if subject.cautions:
        lines += ["", "Take care", *(f"  {caution}" for caution in subject.cautions)]
        lines.append("  The safety data sheet and local rules come before this list.")
    if subject.illustrative:
        lines += [
            "",
            "Illustrative paints are argued, not measured: paint a sample card of a tube to know it.",
        ]
    return lines


def _number(value: float | None, digits: int) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
