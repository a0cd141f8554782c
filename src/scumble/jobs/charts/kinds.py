"""Charts as a person asks for them: one request for every kind, and the file that answers it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from scumble.chart.profile import Profile
from scumble.errors import InputError
from scumble.jobs.charts.press import open_profile
from scumble.jobs.charts.print_chart import Chart, Progress, check_format, save_chart
from scumble.jobs.files import shelf_path
from scumble.store.shelf import Shelf, open_shelf

LONGEST_TITLE = 90


@dataclass(frozen=True, slots=True)
class ChartRequest:
    """What a person wants printed; whatever is left empty is as the kind has it by itself.

    Parameters
    ----------
    kind : str
        One of :data:`KINDS`.
    keys : tuple of str
        Short names of paints.
    page, order, find, over, parts, labels, title : str
        As the kinds take them; ``over`` with commas, ``parts`` as ``3:1``.
    coats : float, optional [coat]
        Thickness of one glaze, or of the films of a mixing grid or a triangle.
    steps : int, optional
        Parts in a triangle's mixtures.
    white_parts : float
        Parts of white to one of a triangle's mixtures.
    start : int
        First label, counted from 1.
    scale : float, optional
        How large the strips of a wall chart hang; as large as one page allows when left out.
    ladder : str
        Parts of white under each mixture of a grid, with colons between, or ``none``.
    profile : bytes
        ICC file of the printer and its paper; sRGB when left empty.
    intent : str
        How colours that the printer cannot reach are brought in; relative when left empty.
    outlines, blank : bool
        Outlines around labels; films left to be painted by hand.
    """

    kind: str
    keys: tuple[str, ...] = ()
    page: str = ""
    order: str = ""
    find: str = ""
    over: str = ""
    coats: float | None = None
    parts: str = ""
    ladder: str = ""
    scale: float | None = None
    steps: int | None = None
    white_parts: float = 0.0
    labels: str = ""
    start: int = 1
    outlines: bool = False
    blank: bool = False
    title: str = ""
    profile: bytes = b""
    intent: str = ""


def print_to_file(
    request: ChartRequest, shelf: Path | None, out: Path | None, *, progress: Progress | None = None
) -> dict[str, Any]:
    """Draw a chart and write it.

    Parameters
    ----------
    request : ChartRequest
        What is wanted.
    shelf : Path, optional
        The shelf's file; the person's own by default.
    out : Path, optional
        PDF or SVG; a PDF with a name of its own by default.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Returns
    -------
    dict
        What was drawn, and the ``files`` written.

    Raises
    ------
    InputError, StoreError
        For anything that cannot be drawn, read or written.
    """
    tell = progress or (lambda _words, _share: None)
    path = out or Path(f"{request.kind}{'-blank' if request.blank else ''}.pdf")
    check_kind(request.kind)
    check_format(path)
    with open_shelf(shelf_path(shelf)) as opened:
        chart = print_kind(opened, request, progress=tell)
    tell("writing the file", 0.8)
    files = save_chart(chart, path, progress=lambda share: tell("writing the file", 0.8 + 0.19 * share))
    return {**chart.as_data(), "files": [str(file) for file in files]}


def print_kind(shelf: Shelf, request: ChartRequest, *, progress: Progress | None = None) -> Chart:
    """Draw a chart of the kind a request names.

    Raises
    ------
    InputError
        For an unknown kind, something the kind does not take, or anything that cannot be drawn.
    """
    check_kind(request.kind)
    draw, takes = KINDS[request.kind]
    _check_taken(request, takes)
    if len(request.title) > LONGEST_TITLE or not request.title.isprintable():
        raise InputError("title", request.title, f"one line of at most {LONGEST_TITLE} characters")
    return draw(shelf, request, open_profile(request.profile, request.intent), progress or _tell_nobody)


def _tell_nobody(_words: str, _share: float) -> None:
    """Progress that nobody waits for."""


def check_kind(kind: str) -> None:
    """See that there is a kind of chart of that name.

    Raises
    ------
    InputError
        If there is none.
    """
    if kind not in KINDS:
        raise InputError("kind", kind, ", ".join(KINDS))


def load_profile(path: Path | None) -> bytes:
    """The ICC file that a person names, nothing where they name none.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    if path is None:
        return b""
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError("profile", str(path), "an ICC file that can be read", str(error)) from None


def split_parts(text: str) -> tuple[float, float]:
    """Two amounts written with a colon.

    Raises
    ------
    InputError
        If it is anything else.

    Examples
    --------
    >>> split_parts("3:1")
    (3.0, 1.0)
    """
    found = re.fullmatch(r"\s*(\d{1,4}(?:\.\d{1,3})?)\s*:\s*(\d{1,4}(?:\.\d{1,3})?)\s*", text)
    if not found:
        raise InputError("parts", text, "two numbers with a colon between, such as 3:1")
    return float(found[1]), float(found[2])


def split_ladder(text: str) -> tuple[float, ...]:
    """Parts of white written with colons, or none of them.

    Raises
    ------
    InputError
        If it is anything else.

    Examples
    --------
    >>> split_ladder("1:4:9"), split_ladder("none")
    ((1.0, 4.0, 9.0), ())
    """
    if text.strip().casefold() == "none":
        return ()
    if not re.fullmatch(r"\s*\d{1,4}(\.\d{1,3})?(\s*:\s*\d{1,4}(\.\d{1,3})?)*\s*", text):
        raise InputError("ladder", text, "parts of white with colons between, such as 1:4:9, or none")
    return tuple(float(part) for part in text.split(":"))


def _check_taken(request: ChartRequest, takes: frozenset[str]) -> None:
    """See that nothing was asked for that the kind would leave unheard."""
    plain = ChartRequest(request.kind)
    for name in (
        "order",
        "find",
        "over",
        "coats",
        "parts",
        "ladder",
        "scale",
        "steps",
        "white_parts",
        "labels",
        "start",
    ):
        _refuse(request, plain, name, takes)
    for name in ("outlines", "blank", "title"):
        _refuse(request, plain, name, takes)


def _refuse(request: ChartRequest, plain: ChartRequest, name: str, takes: frozenset[str]) -> None:
    given = getattr(request, name)
    if given != getattr(plain, name) and name not in takes:
        kinds = ", ".join(kind for kind, (_, taken) in KINDS.items() if name in taken)
        raise InputError(
            name, given, f"this option with {kinds}", f"A {request.kind} chart has no use for it."
        )


def _given(**options: Any) -> dict[str, Any]:
    """The options that were given at all."""
    return {name: value for name, value in options.items() if value not in ("", None)}


def _wall(shelf: Shelf, request: ChartRequest, profile: Profile | None, progress: Progress) -> Chart:
    from scumble.jobs.charts.wall import print_chart_wall

    options = _given(
        page=request.page,
        order=request.order,
        find=request.find,
        scale=request.scale,
        title=request.title,
    )
    return print_chart_wall(
        shelf, keys=request.keys, blank=request.blank, profile=profile, progress=progress, **options
    )


def _labels(shelf: Shelf, request: ChartRequest, profile: Profile | None, progress: Progress) -> Chart:
    from scumble.jobs.charts.labels import print_chart_labels

    options = _given(page=request.page, order=request.order, find=request.find, labels=request.labels)
    return print_chart_labels(
        shelf,
        keys=request.keys,
        start=request.start,
        outlines=request.outlines,
        profile=profile,
        progress=progress,
        **options,
    )


def _handout(shelf: Shelf, request: ChartRequest, profile: Profile | None, progress: Progress) -> Chart:
    from scumble.jobs.charts.handout import print_chart_handout

    if len(request.keys) != 1:
        raise InputError(
            "paints", ", ".join(request.keys) or "none", "one paint", "Name it by its short name."
        )
    progress("working out how it behaves", 0.1)
    return print_chart_handout(
        shelf,
        request.keys[0],
        blank=request.blank,
        profile=profile,
        **_given(page=request.page, title=request.title),
    )


def _compare(shelf: Shelf, request: ChartRequest, profile: Profile | None, progress: Progress) -> Chart:
    from scumble.jobs.charts.compare import print_chart_compare

    progress("working out how they behave", 0.1)
    return print_chart_compare(
        shelf, request.keys, profile=profile, **_given(page=request.page, title=request.title)
    )


def _mix(shelf: Shelf, request: ChartRequest, profile: Profile | None, _progress: Progress) -> Chart:
    from scumble.jobs.charts.mix import print_chart_mix

    parts = split_parts(request.parts) if request.parts else None
    ladder = split_ladder(request.ladder) if request.ladder else None
    options = _given(page=request.page, parts=parts, ladder=ladder, coats=request.coats, title=request.title)
    return print_chart_mix(shelf, request.keys, blank=request.blank, profile=profile, **options)


def _glaze(shelf: Shelf, request: ChartRequest, profile: Profile | None, _progress: Progress) -> Chart:
    from scumble.jobs.charts.glaze import print_chart_glaze

    over = tuple(name.strip() for name in request.over.split(",")) if request.over else None
    options = _given(page=request.page, over=over, coats=request.coats, title=request.title)
    return print_chart_glaze(shelf, request.keys, blank=request.blank, profile=profile, **options)


def _triangle(shelf: Shelf, request: ChartRequest, profile: Profile | None, _progress: Progress) -> Chart:
    from scumble.jobs.charts.triangle import print_chart_triangle

    options = _given(page=request.page, steps=request.steps, coats=request.coats, title=request.title)
    return print_chart_triangle(
        shelf,
        request.keys,
        white_parts=request.white_parts,
        blank=request.blank,
        profile=profile,
        **options,
    )


Draw = Callable[[Shelf, ChartRequest, Profile | None, Progress], Chart]

KINDS: dict[str, tuple[Draw, frozenset[str]]] = {
    "wall": (_wall, frozenset({"order", "find", "scale", "blank", "title"})),
    "handout": (_handout, frozenset({"blank", "title"})),
    "labels": (_labels, frozenset({"order", "find", "labels", "start", "outlines"})),
    "mix": (_mix, frozenset({"parts", "ladder", "coats", "blank", "title"})),
    "glaze": (_glaze, frozenset({"over", "coats", "blank", "title"})),
    "triangle": (_triangle, frozenset({"steps", "white_parts", "coats", "blank", "title"})),
    "compare": (_compare, frozenset({"title"})),
}
"""What can be printed, and which options each kind takes besides its paints and its page."""
