"""Two or more photographs of one printed card that count together, by what each of them is worth."""

from __future__ import annotations

from scumble.card.combine import CombinedCard
from scumble.errors import CardError, InputError
from scumble.jobs.cards.choices import combine_reads
from scumble.jobs.cards.desk import CardDesk


def combine(desk: CardDesk, key: str) -> CombinedCard | None:
    """A card and the pictures that count together with it, as one; None where it stands by itself.

    Raises
    ------
    CardError
        If they show different cards.
    """
    pictures = (desk.stands(key), *desk.joined(key))
    return combine_reads([(each.card.name, each.read) for each in pictures if each.read is not None])


def join(desk: CardDesk, key: str, other: str) -> None:
    """Have another picture of the same card count together with it.

    Raises
    ------
    InputError
        If the two do not show one printed card.
    """
    before = desk.tray.find(other)
    allowed = "another photograph of the same card"
    if other == key or before.retakes not in ("", key):
        raise InputError("photograph", before.name, allowed)
    desk.tray.change(other, retakes=desk.tray.find(key).key, joined=True)
    try:
        together = combine(desk, key)
    except CardError as error:
        together, hint = None, str(error)
    else:
        hint = "Both must be photographs of a printed card that could be read."
    if together is None:
        desk.tray.change(other, retakes=before.retakes, joined=before.joined)
        raise InputError("photograph", before.name, allowed, hint)


def say_together(desk: CardDesk, key: str, together: CombinedCard) -> tuple[str, ...]:
    """Which pictures count for a card and by how much, and where they do not agree."""
    names = [each.card.name for each in (desk.stands(key), *desk.joined(key))]
    parts = ", ".join(f"{name} {100 * part:.0f} %" for name, part in zip(names, together.shares, strict=True))
    return (f"{len(names)} photographs count, each by what it is worth: {parts}.", *together.remarks)
