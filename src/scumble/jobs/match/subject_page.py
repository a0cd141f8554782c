"""A subject painted two ways as its page and its command ask for it, and the picture repainted in what each reaches."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, Field

from scumble.card.picture.preview import draw_blocks
from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.match.picture import group_picture
from scumble.jobs.match.subject import SubjectRequest, paint_subject
from scumble.jobs.match.subject_value import Subject
from scumble.jobs.match.subject_words import sentences_of_subject, table_of_subject
from scumble.jobs.match.wanted_colours import Wanted, choose_wanted, name_wanted
from scumble.jobs.paint_names import split_names
from scumble.jobs.shelf.page_shelf import PageShelf
from scumble.paint import Paint

Progress = Callable[[float, str], None]

SEEN = ("wanted", "cover", "glaze")
"""What a picture can be repainted as."""

UNPAINTED = "#808080"
"""What stands where a way has no film."""


class SubjectQuery(BaseModel):
    """What is asked for, as a form's words."""

    colours: str = Field(default="", max_length=20_000, description="the subject's colours, one a line")
    count: int = Field(default=10, description="colours taken from a picture")
    ground: str = Field(default="white", max_length=40)
    only: str = Field(default="", max_length=2000, description="tubes to use, with commas between")
    exclude: str = Field(default="", max_length=500, description="names, with commas between")
    lightfastness: str = Field(default="", max_length=40)
    unrated: str = Field(default="in", max_length=3)
    most_films: int = Field(default=2, description="glazes one over the other")


@dataclass(frozen=True, slots=True)
class SubjectFound:
    """What came of it.

    Parameters
    ----------
    subject : Subject
        Painted both ways.
    places : array of int, shape (height, width), optional
        Which colour each point of the picture has, where there is a picture.
    """

    subject: Subject
    places: NDArray[np.intp] | None = None

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The comparison as a table of words."""
        return table_of_subject(self.subject)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The comparison in sentences."""
        return sentences_of_subject(self.subject)

    def repaint(self, seen: str) -> bytes:
        """The picture in the colours wanted, or in those that a way reaches, as a PNG.

        Raises
        ------
        InputError
            If there is no picture, or it cannot be repainted as that.
        """
        if seen not in SEEN:
            raise InputError("seen", seen, ", ".join(SEEN))
        return draw_blocks(self._of_picture(), self._colours(seen))

    def _colours(self, seen: str) -> list[str]:
        """Screen colours of the subject as it is wanted, or as a way paints it."""
        if seen == "wanted":
            return [each.colour for each in self.subject.colours]
        return [each.ways[seen].colour if seen in each.ways else UNPAINTED for each in self.subject.colours]

    def board(self) -> bytes:
        """All of :data:`SEEN` side by side, as a PNG.

        Raises
        ------
        InputError
            If there is no picture.
        """
        places = self._of_picture()
        count = len(self.subject.colours)
        beside = np.hstack([places + at * count for at in range(len(SEEN))])
        return draw_blocks(
            beside, [colour for seen in SEEN for colour in self._colours(seen)], longest_px=1800
        )

    def _of_picture(self) -> NDArray[np.intp]:
        if self.places is None:
            raise InputError("picture", "none", "a subject that was taken from a picture")
        return self.places


@dataclass(frozen=True, slots=True)
class _Given:
    """The subject's colours, the share of each, and where they lie."""

    wanted: Wanted
    shares: NDArray[np.float64] | None = None
    places: NDArray[np.intp] | None = None


def begin_subject(
    shelf: PageShelf, query: SubjectQuery, picture: bytes = b"", picture_name: str = ""
) -> Callable[[Progress], SubjectFound]:
    """Check what is asked for, and make the work that answers it.

    Raises
    ------
    InputError
        If something in it cannot be used.
    CardError
        If the picture cannot be read.
    """
    paints = shelf.load_paints()
    if not paints:
        raise InputError("shelf", "no paints", "at least one paint", "Read a sample card first.")
    lines = query.colours.strip() or None
    given = _given(paints, picture or None, picture_name, lines, query.count)
    request = SubjectRequest(
        query.ground,
        split_names(query.only),
        split_names(query.exclude),
        query.lightfastness.strip(),
        query.unrated,
        most_films=query.most_films,
    )
    facts = shelf.tubes.load_all()

    def work(progress: Progress) -> SubjectFound:
        subject = paint_subject(
            request,
            given.wanted,
            paints,
            facts,
            shares=given.shares,
            progress=lambda words, share: progress(share, words),
        )
        return SubjectFound(subject, given.places)

    return work


def subject_from_shelf(
    request: SubjectRequest,
    shelf: Path | None,
    *,
    picture: Path | None = None,
    lines: str | None = None,
    count: int = 10,
    progress: Callable[[str, float], None] | None = None,
) -> SubjectFound:
    """Paint a subject both ways with the tubes of a shelf's file.

    Raises
    ------
    InputError, CardError, StoreError
        If something asked for cannot be used, or a file cannot be read.
    """
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes, facts = opened.load_paints(), opened.tubes.load_all()
    given = _given(tubes, picture, "", lines, count)
    found = paint_subject(request, given.wanted, tubes, facts, shares=given.shares, progress=progress)
    return SubjectFound(found, given.places)


def _given(
    paints: tuple[Paint, ...], picture: Path | bytes | None, name: str, lines: str | None, count: int
) -> _Given:
    if picture is None and lines is None:
        raise InputError("subject", "nothing", "a picture, or its colours one a line")
    if picture is None or lines is not None:
        return _Given(choose_wanted(paints, picture=picture, lines=lines))
    if not 2 <= count <= 40:
        raise InputError("colours", count, "2 to 40")
    grouped = group_picture(picture, count=count)
    said = name or (picture.name if isinstance(picture, Path) else "the picture")
    wanted = Wanted(grouped.labs, name_wanted(grouped.labs), f"the colours of {said}")
    return _Given(wanted, grouped.shares, grouped.places)
