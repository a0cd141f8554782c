"""The printed card: fetched from Scumble's command line as from any other program, and seen as printed grounds."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from numpy.typing import NDArray

from demo.inks import GROUNDS

GROUND_NAMES: tuple[str, ...] = tuple(GROUNDS)
"""Names of the printed grounds, in the order of the numbers that `Sheet.ground` holds."""


@dataclass(frozen=True)
class Sheet:
    """A card as it comes out of the printer.

    Parameters
    ----------
    card_map : dict
        The card's map as Scumble prints it: page, areas, fiducials, grounds; millimetres from the top left.
    px_per_mm : float
        Raster points per millimetre.
    ground : array of uint8, shape (height, width)
        Index into `GROUND_NAMES` of what is printed at each point.
    coverage : array of float32, shape (height, width)
        Share of black ink over paper where the ground is white (text, rules, softened edges) [0-1].
    notes_mm : dict
        Where one writes after a printed word such as ``Tube``: millimetres across and down to the baseline.
    """

    card_map: dict[str, Any]
    px_per_mm: float
    ground: NDArray[np.uint8]
    coverage: NDArray[np.float32]
    notes_mm: dict[str, tuple[float, float]]


NOTES = ("Tube", "Pigments", "Binder")
"""Printed words after which the tube is noted by hand."""


SERIAL = "03NQK8NG"
"""Printed on a card where no other is asked for, so that the same card is printed every time."""

_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_ALL = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def serial_of(number: int) -> str:
    """A serial for a card of this number: seven signs and a check character, ISO/IEC 7064 MOD 37,36 (from memory)."""
    rest, body = number * 7919 % len(_SIGNS) ** 7, ""
    for _ in range(7):
        rest, sign = divmod(rest, len(_SIGNS))
        body = _SIGNS[sign] + body
    carried = 36
    for sign in body:
        carried = (carried + _ALL.index(sign)) % 36 or 36
        carried = carried * 2 % 37
    check = _ALL[(37 - carried) % 36]
    # I, L and O are never printed: they are too like 1 and 0.
    return serial_of(number + 100_003) if check in "ILO" else body + check


def fetch_sheet(layout: str, *, px_per_mm: float = 12.0, serial: str = SERIAL) -> Sheet:
    """Ask `scumble card` for the printable page and its map, and rasterise the page (12 / mm is 305 dpi)."""
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder, "card.pdf")
        asked = ("--layout", layout, "--count", "1", "--serial", serial, "--out", str(pdf), "--json")
        card_map = json.loads(_scumble("card", *asked))
        return print_sheet(pdf, card_map, px_per_mm=px_per_mm)


def fetch_proof_sheet(
    shelf: Path, *, px_per_mm: float = 12.0, proofs: tuple[str, ...] = ()
) -> tuple[Sheet, dict[str, Any]]:
    """Ask `scumble proof print` for a sheet of proofs: as it comes out of the printer, and what its boxes ask for."""
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder, "proofs.pdf")
        asked = ("print", *proofs, "--shelf", str(shelf), "--out", str(pdf), "--json")
        told = json.loads(_scumble("proof", *asked))[0]
        return print_sheet(pdf, told, px_per_mm=px_per_mm), told


def print_sheet(pdf: Path, card_map: dict[str, Any], *, px_per_mm: float) -> Sheet:
    """Rasterise the first page of a PDF, and say which ink lies where."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        # The page is stretched to a whole number of points, rounded up: a hair less keeps the scale true.
        scale = px_per_mm * 25.4 / 72 * (1 - 1e-5)
        picture = document[0].render(scale=scale).to_numpy()[..., 2::-1]
        notes_mm = _find_notes(document[0])
    finally:
        document.close()
    ground, coverage = sort_inks(picture, card_map)
    for step in card_map.get("steps", ()):
        print_step(step, coverage, px_per_mm)
    return Sheet(card_map, px_per_mm, ground, coverage, notes_mm)


def _scumble(*arguments: str) -> str:
    """Run Scumble's command line beside this Python; returns what it printed."""
    program = Path(sys.executable).with_name("scumble")
    done = subprocess.run([str(program), *arguments], capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"`scumble {' '.join(arguments)}` failed: {done.stderr.strip()}")
    return done.stdout


def _find_notes(page: pypdfium2.PdfPage) -> dict[str, tuple[float, float]]:
    """Where the printed words of `NOTES` end on a page."""
    text, height, found = page.get_textpage(), page.get_height(), {}
    for word in NOTES:
        match = text.search(word, match_case=True, match_whole_word=True).get_next()
        if match:
            _, bottom, right, _ = text.get_charbox(match[0] + match[1] - 1)
            found[word] = (right * 25.4 / 72, (height - bottom) * 25.4 / 72)
    return found


def sort_inks(
    picture: NDArray[np.uint8], card_map: dict[str, Any]
) -> tuple[NDArray[np.uint8], NDArray[np.float32]]:
    """Say for each raster point which ground is printed there, from the colours the map announces.

    Greys are black ink on paper in the share that gives their linear lightness (Murray-Davies).
    """
    colours = {
        name: np.array(value.get("srgb", (1, 1, 1)), float) for name, value in card_map["grounds"].items()
    }
    if max(colour.max() for colour in colours.values()) > 1:
        colours = {name: colour / 255 for name, colour in colours.items()}
    codes = picture.astype(np.float32) / 255
    spread = codes.max(axis=-1) - codes.min(axis=-1)
    ground = np.zeros(codes.shape[:2], np.uint8)
    nearest = np.full(codes.shape[:2], np.inf, np.float32)
    for name in colours:
        if name in ("white", "black", "grey"):
            continue
        distance = np.square(codes - colours[name].astype(np.float32)).sum(axis=-1)
        closer = (distance < nearest) & (spread > 0.15)
        ground[closer] = GROUND_NAMES.index(name)
        nearest = np.where(closer, distance, nearest)
    black = _linear(colours["black"].mean())
    lightness = _linear(codes.mean(axis=-1))
    coverage = np.clip((1 - lightness) / (1 - black), 0, 1).astype(np.float32)
    coverage[ground > 0] = 0
    return ground, coverage


def print_step(step: dict[str, Any], coverage: NDArray[np.float32], px_per_mm: float) -> None:
    """Print one tone step into a map of coverage, each raster point with its exact share of black.

    A renderer softens edges in code values, which would shift the shares; so the squares are drawn from the map.
    """
    x, y, width, height = step["box_mm"]
    top, bottom = int(y * px_per_mm), int(np.ceil((y + height) * px_per_mm))
    left, right = int(x * px_per_mm), int(np.ceil((x + width) * px_per_mm))
    down = [_black_lengths(top, bottom, px_per_mm, y, height, step["square_mm"], row) for row in (0, 1)]
    across = [
        _black_lengths(left, right, px_per_mm, x, width, step["square_mm"], column) for column in (0, 1)
    ]
    black = sum((np.outer(down[row], across[column]) for column, row in step["black_cells"]), np.zeros(()))
    inside = np.outer(sum(down), sum(across))
    window = (slice(top, bottom), slice(left, right))
    coverage[window] = coverage[window] * (1 - inside) + black


def _black_lengths(
    start: int, end: int, px_per_mm: float, origin_mm: float, length_mm: float, square_mm: float, place: int
) -> NDArray[np.float64]:
    """Share of each raster point along one side that lies in the squares of a place, 0 or 1, of the period."""
    edges = np.clip(np.arange(start, end + 1) / px_per_mm - origin_mm, 0, length_mm)
    periods, rest = np.divmod(edges, 2 * square_mm)
    covered = periods * square_mm + np.clip(rest - place * square_mm, 0, square_mm)
    return np.diff(covered) * px_per_mm


def _linear(code: Any) -> Any:
    """Linear light of an sRGB code value (IEC 61966-2-1)."""
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
