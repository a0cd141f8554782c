"""A hand-painted chart as its owner marked it up: boxes over its picture, and what lies in each."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from scumble.card.marked.boxes import PAPER, MarkedBox
from scumble.card.marked.read_marked import Progress, read_marked
from scumble.card.photographed import PhotographedCard
from scumble.colour import lab_to_xyz, white_point
from scumble.errors import InputError
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest, colour_options
from scumble.jobs.layering_request import parse_model
from scumble.paint.reading import BARE, CardReadings
from scumble.store.picture import Picture

Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^#\x00-\x1f][^\x00-\x1f]*$")]
Length = Annotated[float, Field(allow_inf_nan=False, ge=0.0, le=200_000.0)]
Parts = Annotated[float, Field(gt=0.0, le=1000.0, allow_inf_nan=False)]

WHAT = {
    "bare": "nothing painted",
    "masstone": "full strength, covering as well as it can",
    "thin": "a thin film",
    "tint": "mixed with white",
}
"""What can lie in a box, and what that means."""

MOST_MARKS_BYTES = 1_000_000


class BoxMark(BaseModel):
    """One box.

    Attributes
    ----------
    box_px : four numbers [px]
        Left, top, width, height in the upright picture.
    what : str
        One of :data:`WHAT`.
    over : str
        The ground: ``white`` is the paper, ``black`` a black that lies under it; or any other that is marked bare.
    white_parts : float
        Of a tint: parts of white to one of paint.
    stroke : str
        Of thin films: boxes of one stroke are of one thickness, whatever they lie over.
    name : str
        Made up when left out.
    """

    model_config = ConfigDict(extra="forbid")

    box_px: tuple[Length, Length, Length, Length]
    what: Literal["bare", "masstone", "thin", "tint"]
    over: Name = PAPER
    white_parts: Parts | None = None
    stroke: Name = "thin"
    name: Annotated[str, Field(max_length=60)] = ""


class MarkUp(BaseModel):
    """A whole chart.

    Attributes
    ----------
    boxes : list of BoxMark
        At least one of bare paper and one painted.
    paper_lab : three numbers, optional
        L*a*b* of the bare paper under D65, 2 degrees, where it was measured.
    """

    model_config = ConfigDict(extra="forbid")

    boxes: Annotated[list[BoxMark], Field(min_length=1, max_length=200)]
    paper_lab: tuple[float, float, float] | None = None


def read_chart(
    picture: Path | bytes, marks: MarkUp, *, progress: Progress | None = None, **colour: Any
) -> PhotographedCard:
    """Read a marked chart the way a printed card is read.

    Parameters
    ----------
    picture : path or bytes
        Its photograph or scan.
    marks : MarkUp
        What lies where.
    progress : callable, optional
        Told what is being done and the share done.
    colour
        Target, profile and paper, as `scumble.jobs.colour_request.colour_options` gives them.

    Raises
    ------
    CardError, InputError
        If the picture, the boxes or what leads the colours cannot be used.
    """
    paper = _paper(marks)
    if paper is not None and "paper_xyz" in colour:
        raise InputError("paper", "measured twice", "one colour of the paper, in the marks or beside them")
    options = colour if paper is None else {**colour, "paper_xyz": paper}
    return read_marked(picture, marked_boxes(marks), progress=progress, **options)


def load_chart(
    path: Path, marks: MarkUp, colour: ColourRequest = PLAIN_COLOUR
) -> tuple[CardReadings, Picture, tuple[str, ...]]:
    """Readings of a marked chart, its picture with the boxes, and remarks.

    Raises
    ------
    CardError, InputError, StoreError
        If the picture, the boxes or what leads the colours cannot be used.
    """
    from scumble.jobs.cards.card_file import picture_type

    seen = read_chart(path, marks, **colour_options(colour))
    media_type = picture_type(path)
    assert media_type is not None, "what was read as a picture has a kind"
    return seen.readings, Picture(path.read_bytes(), media_type, seen.outlines), seen.remarks


def marked_boxes(marks: MarkUp) -> tuple[MarkedBox, ...]:
    """The boxes as the card room takes them, each with a name of its own.

    Examples
    --------
    >>> marks = MarkUp.model_validate({"boxes": [
    ...     {"box_px": [0, 0, 50, 50], "what": "bare"},
    ...     {"box_px": [60, 0, 50, 50], "what": "tint", "white_parts": 4},
    ...     {"box_px": [120, 0, 50, 50], "what": "thin"}]})
    >>> [(box.name, box.film, box.white_parts) for box in marked_boxes(marks)]
    [('white', 'bare', 0.0), ('tint 1:4 over white', 'tint4', 4.0), ('thin over white', 'thin', 0.0)]
    """
    taken: set[str] = set()
    boxes = []
    for mark in marks.boxes:
        name = _free_name(mark.name.strip() or _usual_name(mark), taken)
        taken.add(name)
        left, top, width, height = mark.box_px
        boxes.append(
            MarkedBox(
                name,
                (left, top),
                (width, height),
                film=_film(mark),
                ground=mark.over,
                white_parts=(mark.white_parts or 1.0) if mark.what == "tint" else 0.0,
            )
        )
    return tuple(boxes)


def load_mark_up(path: Path) -> MarkUp:
    """Read marks from a JSON file.

    Raises
    ------
    InputError
        If it is no such file; the message says where.
    """
    try:
        content = path.read_bytes()[: MOST_MARKS_BYTES + 1]
        if len(content) > MOST_MARKS_BYTES:
            raise InputError("marks", path.name, f"at most {MOST_MARKS_BYTES / 1e6:g} MB")
        return parse_model(MarkUp, json.loads(content), field="marks")
    except OSError as error:
        raise InputError("marks", str(path), "a file that can be read", error.strerror or "") from None
    except (ValueError, RecursionError) as error:
        raise InputError("marks", path.name, "a JSON file", str(error)[:100]) from None


def _film(mark: BoxMark) -> str:
    if mark.what == "bare":
        return BARE
    if mark.what == "masstone":
        return "full"
    return mark.stroke if mark.what == "thin" else f"tint{mark.white_parts or 1.0:g}"


def _usual_name(mark: BoxMark) -> str:
    if mark.what == "bare":
        return mark.over
    film = f"tint 1:{mark.white_parts or 1.0:g}" if mark.what == "tint" else mark.what
    return f"{mark.stroke if mark.what == 'thin' else film} over {mark.over}"


def _free_name(name: str, taken: set[str]) -> str:
    """The name, with a number behind it where it is taken."""
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name} {number}"
    return free


def _paper(marks: MarkUp) -> np.ndarray[tuple[int], np.dtype[np.float64]] | None:
    if marks.paper_lab is None:
        return None
    if not (40.0 <= marks.paper_lab[0] <= 100.0 and max(map(abs, marks.paper_lab[1:])) <= 40.0):
        raise InputError("paper_lab", list(marks.paper_lab), "L* from 40 to 100, a* and b* within 40")
    return np.asarray(lab_to_xyz(np.array(marks.paper_lab), white_point("D65", 2)))
