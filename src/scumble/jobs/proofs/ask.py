"""Proofs for scripts and the terminal: asked by words, answered as plain data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from scumble.card.sheet.card_map import geometry_to_json
from scumble.card.sheet.geometry import card_geometry
from scumble.errors import InputError
from scumble.jobs.cards.card_file import picture_type
from scumble.jobs.cards.mark_up import load_mark_up
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest, colour_options
from scumble.jobs.files import shelf_path
from scumble.jobs.proofs.keep import keep_layering, keep_swatch
from scumble.jobs.proofs.read_back import TYPED_DOUBT, read_typed
from scumble.jobs.proofs.read_instrument import read_instrument
from scumble.jobs.proofs.read_sheet import read_marked_proofs, read_sheet
from scumble.jobs.proofs.record import Group, Proved, compare_reading, interval_parts, keep_record
from scumble.jobs.proofs.sharpen import blunt_paint, sharpen_paint
from scumble.jobs.proofs.sheet import can_be_printed, draw_sheet, print_sheets
from scumble.jobs.proofs.sheet_pages import LAYOUT
from scumble.jobs.proofs.suggest import suggest_next
from scumble.paint import interval_de00
from scumble.paint.proof import Comparison, say_shift
from scumble.store.file_text import load_bytes
from scumble.store.proof import KeptProof, ProofSheet
from scumble.store.shelf import Shelf, open_shelf


def keep(
    shelf: Path | None,
    *,
    data: object = None,
    paint: str = "",
    swatch: str = "",
    label: str = "",
    again: bool = False,
) -> dict[str, Any]:
    """Keep a prediction to prove: a layering as JSON-ready data, or a swatch of a paint.

    Raises
    ------
    InputError, StoreError
        If neither or both are given, something in it cannot be used, or the shelf cannot be written.
    """
    if (data is None) == (not paint):
        raise InputError("proof", "neither or both", "a layering, or --paint with --swatch")
    with open_shelf(shelf_path(shelf)) as opened:
        if paint:
            proof = keep_swatch(opened, paint, swatch, again=again)
        else:
            proof = keep_layering(opened, data, label=label, again=again)
        return kept_as_data(opened.proofs.load(proof.key))


def list_proofs(shelf: Path | None, *, binned: bool = False) -> list[dict[str, Any]]:
    """Every proof of a shelf, oldest first."""
    with open_shelf(shelf_path(shelf)) as opened:
        return [kept_as_data(each) for each in opened.proofs.load_all(binned=binned)]


def print_proofs(
    shelf: Path | None, keys: Sequence[str] = (), *, page: str = "A4", sheet: str = ""
) -> tuple[bytes, list[dict[str, Any]]]:
    """Sheets to paint proofs on, and what lies where on each.

    Parameters
    ----------
    shelf : Path, optional
        The shelf's file; the person's own when left out.
    keys : sequence of str
        Of the proofs; all that wait and can be painted on a sheet when left out.
    page : str
        ``A4`` or ``Letter``.
    sheet : str
        Serial of a sheet that is to be printed again; nothing new is laid out then.

    Raises
    ------
    InputError, StoreError
        If there is nothing to print, or the shelf cannot be written.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        if sheet:
            known = {each.serial: each for each in opened.proofs.load_sheets()}
            sheets = tuple(each for serial, each in known.items() if serial == sheet.upper().replace("-", ""))
        else:
            waiting = [each.proof for each in opened.proofs.load_all() if each.reading is None]
            chosen = keys or [proof.key for proof in waiting if can_be_printed(proof)]
            sheets = print_sheets(opened, chosen, page=page)
        serials = [each.serial for each in sheets] or [sheet]
        content = draw_sheet(opened, serials[0], to=serials[-1])
        return content, [_sheet_as_data(opened, each) for each in sheets]


def _sheet_as_data(shelf: Shelf, sheet: ProofSheet) -> dict[str, Any]:
    boxes = {area: kept_as_data(shelf.proofs.load(key)) for area, key in sheet.boxes.items()}
    where = geometry_to_json(card_geometry(LAYOUT, sheet.page))
    return {"serial": sheet.serial, **where, "boxes": boxes}


def read_file(
    shelf: Path | None,
    path: Path,
    *,
    sheet: str = "",
    said: Sequence[str] = (),
    condition: str = "",
    colour: ColourRequest = PLAIN_COLOUR,
    marks: Path | None = None,
    progress: Callable[[str, float], None] | None = None,
) -> dict[str, Any]:
    """Read proofs from a photograph of their sheet or from an instrument's file."""
    media_type = picture_type(path)
    with open_shelf(shelf_path(shelf)) as opened:
        if media_type is None:
            found = read_instrument(opened, load_bytes(path), sheet=sheet, said=said, condition=condition)
        else:
            content, options = path.read_bytes(), colour_options(colour)
            if marks is not None:
                boxes = load_mark_up(marks)
                found = read_marked_proofs(
                    opened, content, media_type, boxes, colour=options, progress=progress
                )
            else:
                found = read_sheet(
                    opened, content, media_type, sheet=sheet, colour=options, progress=progress
                )
        return {
            "proofs": [kept_as_data(opened.proofs.load(each.key)) for each in found.read],
            "left_over": list(found.left_over),
            "said": list(found.said),
        }


def type_in(
    shelf: Path | None,
    key: str,
    lab: str,
    *,
    ground: str = "",
    light: str = "",
    observer: int | None = None,
    doubt: float = TYPED_DOUBT,
) -> dict[str, Any]:
    """Take down the colour of a painted proof; see :func:`read_typed`."""
    with open_shelf(shelf_path(shelf)) as opened:
        read_typed(opened, key, lab, ground=ground, light=light, observer=observer, doubt=doubt)
        return kept_as_data(opened.proofs.load(key))


def tell_record(shelf: Path | None, *, paint: str = "", kind: str = "") -> dict[str, Any]:
    """The track record of a shelf; see :func:`keep_record`."""
    with open_shelf(shelf_path(shelf)) as opened:
        record = keep_record(opened, paint=paint, kind=kind)
        return {
            "all": group_as_data(record.all),
            "kinds": [group_as_data(each) for each in record.kinds],
            "paints": [group_as_data(each) for each in record.paints],
            "today": group_as_data(record.today) | {"used": record.used},
            "proofs": [_proved_as_data(each) for each in record.proved],
            "illustrative": [_proved_as_data(each) for each in record.illustrative],
            "waiting": [kept_as_data(each) for each in record.waiting],
            "next": [each.says for each in suggest_next(opened, record)] if not (paint or kind) else [],
        }


def sharpen(
    shelf: Path | None, paint: str, *, proofs: Sequence[str] = (), preview: bool = False, back: bool = False
) -> dict[str, Any]:
    """Let proofs sharpen a paint, or take the last sharpening back."""
    with open_shelf(shelf_path(shelf)) as opened:
        if back:
            return {"paint": opened.load_paint(paint).key, "version": blunt_paint(opened, paint)}
        done = sharpen_paint(opened, paint, proofs=proofs, preview=preview)
        names = (*(name for name in done.__slots__ if name not in ("taken", "paint")), "says")
        return {name: getattr(done, name) for name in names} | {
            "taken": [asdict(each) for each in done.taken]
        }


def move(shelf: Path | None, key: str, *, binned: bool) -> None:
    """Put a proof into the bin, or fetch it back."""
    with open_shelf(shelf_path(shelf)) as opened:
        opened.proofs.move(key, binned=binned)


def kept_as_data(kept: KeptProof) -> dict[str, Any]:
    """A proof as JSON-ready data, with the reading that counts."""
    proof, promise = kept.proof, kept.proof.promise
    lab, optics, hand = (np.array(each) for each in (promise.lab, promise.optics, promise.hand))
    told = {
        "proof": proof.key,
        "label": proof.label,
        "kind": proof.kind,
        "kept_at": kept.kept_at.isoformat(timespec="seconds"),
        "ground": proof.ground,
        "layering": dict(proof.layering),
        "paints": [asdict(paint) for paint in proof.paints],
        "light": proof.light,
        "observer": proof.observer,
        "lab": [round(value, 3) for value in promise.lab],
        "interval_de00": round(interval_de00(lab, optics + hand), 3),
        "optics_de00": round(interval_de00(lab, optics), 3),
        "illustrative": proof.is_illustrative,
        "notes": proof.notes,
        "read": None,
    }
    if kept.reading is not None:
        reading = kept.reading.reading
        parts = interval_parts(kept.reading)
        told["read"] = comparison_as_data(compare_reading(kept.reading)) | {
            **{f"{name}_de00": round(value, 3) for name, value in parts.items()},
            "source": reading.source.value,
            "read_at": kept.reading.read_at.isoformat(timespec="seconds"),
            "light": reading.light,
            "observer": reading.observer,
            "sheet": reading.sheet,
            "area": reading.area,
            "said": list(reading.said),
            "used": [asdict(use) for use in kept.reading.uses],
        }
    return told


def comparison_as_data(found: Comparison) -> dict[str, Any]:
    """A painted swatch beside its promise as JSON-ready data."""
    names = ("difference_de00", "interval_de00")
    return {
        "expected": [round(value, 3) for value in found.expected.tolist()],
        "painted": [round(value, 3) for value in found.painted.tolist()],
        **{name: round(getattr(found, name), 3) for name in names},
        "within": found.is_within,
        "direction": say_shift(found.expected, found.painted),
    }


def group_as_data(group: Group) -> dict[str, Any]:
    """What some proofs say together as JSON-ready data."""
    tally = group.tally
    return {
        "name": group.name,
        "count": tally.count,
        "mean_de00": round(tally.mean_de00, 3),
        "worst_de00": round(tally.worst_de00, 3),
        "percentile_95_de00": tally.percentile_95_de00,
        "inside": tally.inside,
        "share_low": round(tally.share_low, 4),
        "share_high": round(tally.share_high, 4),
        "bias": [round(value, 3) for value in tally.bias.tolist()],
        "promise": group.promise,
        "direction": group.bias,
    }


def _proved_as_data(each: Proved) -> dict[str, Any]:
    return kept_as_data(each.kept)
