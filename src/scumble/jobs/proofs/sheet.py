"""Print sheets to paint proofs on: boxes over printed grounds, and a page that says what goes into each.

Nothing on them shows what was promised, so that nobody mixes towards it.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping, Sequence
from itertools import count
from typing import Final

from scumble.card.sheet.geometry import card_geometry, pages_of
from scumble.card.sheet.serial import SERIALS, new_serial
from scumble.chart.sheet_pdf import draw_pdf
from scumble.errors import InputError
from scumble.jobs.proofs.sheet_pages import LAYOUT, SENTENCES, TITLE, list_pages, sheet_page
from scumble.store.proof import Proof, ProofSheet
from scumble.store.shelf import Shelf

MOST_SHEETS: Final = 20

GROUND_OF: Final[Mapping[str, str]] = {
    "white paper": "white",
    "black paper": "black",
    "grey paper": "grey",
    "flat yellow": "yellow",
    "flat red": "red",
    "flat grey": "grey",
}
"""Printed ground on which a proof over some ground is painted; its promise is then foretold over what was printed."""


def print_sheets(shelf: Shelf, proofs: Sequence[str], *, page: str = "A4") -> tuple[ProofSheet, ...]:
    """Lay proofs out on as many sheets as they need, and keep which is painted where.

    Sheets that are asked for again before anything was read from them are the same ones.

    Parameters
    ----------
    shelf : Shelf
        Open.
    proofs : sequence of str
        Their keys.
    page : str
        ``A4`` or ``Letter``.

    Raises
    ------
    InputError
        If there is no such proof or page, or one lies over a ground that the sheet has not.
    """
    if page not in pages_of(LAYOUT):
        raise InputError("page", page, " or ".join(pages_of(LAYOUT)))
    chosen = [shelf.proofs.load(key).proof for key in dict.fromkeys(proofs)]
    if not chosen:
        raise InputError("proofs", "none", "at least one to paint")
    known = shelf.proofs.load_sheets()[::-1]
    laid = lay_out(chosen, page=page)
    sheets = tuple(_unread(shelf, known, page, boxes) or _new(page, boxes) for boxes in laid)
    shelf.proofs.save_sheets(sheets)
    return sheets


def _new(page: str, boxes: Mapping[str, str]) -> ProofSheet:
    return ProofSheet(new_serial(secrets.randbelow(SERIALS)), page, boxes)


def _unread(
    shelf: Shelf, known: Sequence[ProofSheet], page: str, boxes: Mapping[str, str]
) -> ProofSheet | None:
    """A sheet with the same proofs in the same boxes that nothing was read from yet."""
    for sheet in known:
        if sheet.page == page and dict(sheet.boxes) == dict(boxes):
            unread = all(not shelf.proofs.load(key).readings for key in boxes.values())
            return sheet if unread else None
    return None


def lay_out(proofs: Iterable[Proof], *, page: str = "A4") -> list[dict[str, str]]:
    """Which proof goes into which box, sheet after sheet; each box is over the ground that its proof asks for.

    Raises
    ------
    InputError
        If one lies over a ground that the sheet has not, or there are too many.
    """
    boxes = [area for area in card_geometry(LAYOUT, page).areas if not area.is_bare]
    sheets: list[dict[str, str]] = []
    for proof in proofs:
        ground = printed_ground(proof)
        for at in count():
            if at == len(sheets):
                if at == MOST_SHEETS:
                    raise InputError("proofs", "too many", f"as many as fit on {MOST_SHEETS} sheets")
                sheets.append({})
            free = next((a.name for a in boxes if a.ground == ground and a.name not in sheets[at]), None)
            if free is not None:
                sheets[at][free] = proof.key
                break
    order = {area.name: place for place, area in enumerate(boxes)}
    return [dict(sorted(sheet.items(), key=lambda box: order[box[0]])) for sheet in sheets]


def printed_ground(proof: Proof) -> str:
    """The printed ground that a proof is painted over.

    Raises
    ------
    InputError
        If the sheet has none like it.
    """
    if proof.ground not in GROUND_OF:
        hint = "Paint it on the ground itself, and type in what was measured."
        raise InputError(f"proof {proof.key}", f"over {proof.ground}", ", ".join(GROUND_OF), hint)
    return GROUND_OF[proof.ground]


def can_be_printed(proof: Proof) -> bool:
    """Whether the sheet has a ground for it."""
    return proof.ground in GROUND_OF


def draw_sheet(shelf: Shelf, serial: str, *, to: str = "") -> bytes:
    """Draw a sheet that was laid out, or a run of them.

    Parameters
    ----------
    shelf : Shelf
        Open.
    serial : str
        Of the sheet.
    to : str
        Of the last one, where several were laid out together.

    Returns
    -------
    bytes
        A PDF, true to scale: each sheet and behind it what to paint.

    Raises
    ------
    InputError
        If this shelf printed no such sheet.
    """
    known = shelf.proofs.load_sheets()
    serials = [sheet.serial for sheet in known]
    wanted = ["".join(each.upper().split()).replace("-", "") for each in (serial, to or serial)]
    if missing := [each for each in wanted if each not in serials]:
        raise InputError("sheet", missing[0], "the serial of a sheet that this shelf printed")
    first, last = (serials.index(each) for each in wanted)
    pages = []
    for sheet in known[first : min(last, first + MOST_SHEETS - 1) + 1]:
        pages += [sheet_page(sheet), *list_pages(shelf, sheet)]
    return draw_pdf(pages, title=f"{TITLE}, {wanted[0]}", subject=SENTENCES[1])
