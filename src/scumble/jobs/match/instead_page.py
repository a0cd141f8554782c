"""What stands in for a tube, and what to add to a batch, as their pages ask for it."""

from __future__ import annotations

from collections.abc import Callable

from pydantic import BaseModel, Field

from scumble.errors import InputError
from scumble.jobs.match.adjust import Adjusted, AdjustRequest, adjust_batch
from scumble.jobs.match.substitute import SubstituteRequest, Substitutes, find_substitutes
from scumble.jobs.paint_names import paints_by_name, split_names
from scumble.jobs.shelf.page_shelf import PageShelf

Progress = Callable[[float, str], None]

ROWS = 5
"""Tubes of a batch that the form has room for."""


class InsteadQuery(BaseModel):
    """A tube to do without."""

    paint: str = Field(default="", max_length=200, description="short name or label")
    use: str = Field(default="all", max_length=12, description="glazing, covering, tints or all")
    blends: bool = Field(default=False, description="whether blends of two tubes count")
    exclude: str = Field(default="", max_length=500, description="names, with commas between")
    lightfastness: str = Field(default="", max_length=40)
    unrated: str = Field(default="in", max_length=3)


class BatchQuery(BaseModel):
    """A batch that was mixed, and what it should have been."""

    colour: str = Field(default="", max_length=4000, description="the wanted colour")
    read: str = Field(default="", max_length=4000, description="what the batch was read at")
    tube: list[str] = Field(default=[""] * ROWS, max_length=12, description="short names or labels")
    parts: list[str] = Field(default=[""] * ROWS, max_length=12, description="of each, or none of any")
    ground: str = Field(default="white", max_length=40)
    exclude: str = Field(default="", max_length=500, description="names, with commas between")
    ml: float | None = Field(default=None, description="how much of it there is")

    def rows(self) -> list[tuple[str, str]]:
        """Tubes and their parts, with room for as many as the form has."""
        count = max(ROWS, len(self.tube))
        tubes = self.tube + [""] * (count - len(self.tube))
        return list(zip(tubes, (self.parts + [""] * count)[:count], strict=True))


def begin_instead(shelf: PageShelf, query: InsteadQuery) -> Callable[[Progress], Substitutes]:
    """Check what is asked for, and make the work that answers it.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    paint = shelf.load_paint(query.paint)
    request = SubstituteRequest(
        paint.key,
        query.use,
        query.blends,
        split_names(query.exclude),
        query.lightfastness,
        query.unrated,
    )

    def work(progress: Progress) -> Substitutes:
        return find_substitutes(
            request,
            shelf.load_paints(),
            shelf.tubes.load_all(),
            progress=lambda words, share: progress(share, words),
        )

    return work


def begin_batch(shelf: PageShelf, query: BatchQuery) -> Callable[[Progress], Adjusted]:
    """Check what is asked for, and make the work that answers it.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    if not query.colour.strip():
        raise InputError("colour", "nothing", "a colour", "Name the colour that the batch should have been.")
    paints = shelf.load_paints()
    find_paint = paints_by_name(paints, field="tube")
    written = []
    for name, parts in query.rows():
        if name.strip():
            key = find_paint(name).key
            written.append(f"{key}={parts.strip()}" if parts.strip() else key)
    if not written:
        raise InputError("batch", "nothing", "the tubes in it", "Name at least one tube.")
    request = AdjustRequest(
        query.colour,
        tuple(written),
        query.read,
        query.ground,
        exclude=split_names(query.exclude),
        batch_ml=query.ml,
    )

    def work(progress: Progress) -> Adjusted:
        return adjust_batch(request, paints, progress=lambda words, share: progress(share, words))

    return work
