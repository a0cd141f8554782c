"""Read many cards in one go, one after the other, so that memory stays what one of them takes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from scumble.errors import InputError, ScumbleError
from scumble.jobs.files import shelf_path
from scumble.jobs.read_card import Progress, Tube, read_card
from scumble.jobs.read_to_shelf import result_as_data
from scumble.paint import Binder
from scumble.store.shelf import open_shelf


def read_many(
    cards: Sequence[Path],
    shelf: Path | None,
    *,
    binder: str = "acrylic",
    white_key: str | None = None,
    progress: Progress | None = None,
) -> list[dict[str, Any]]:
    """Read every file as a card of its own, and keep its paint under the name of the file.

    Parameters
    ----------
    cards : sequence of Path
        Photographs, scans or readings files.
    shelf : Path, optional
        The shelf's file; the person's own by default.
    binder : str
        Of all tubes.
    white_key : str, optional
        The white all tints were mixed with; the shelf's own by default.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Returns
    -------
    list of dict
        For each file ``file`` and either what `read_to_shelf` reports, or ``error``: one that cannot be read stops
        none of the others.

    Raises
    ------
    InputError
        If two files would go by the same name, or the binder is not known.
    """
    if binder not in {known.value for known in Binder}:
        raise InputError("binder", binder, ", ".join(known.value for known in Binder))
    tubes = [Tube(name_of(path), binder=Binder(binder)) for path in cards]
    _check_names(cards, tubes)
    tell = progress or (lambda _words, _share: None)
    reports = []
    with open_shelf(shelf_path(shelf)) as opened:
        for number, (path, tube) in enumerate(zip(cards, tubes, strict=True)):
            start = number / len(cards)

            def tell_one(words: str, share: float, number: int = number, start: float = start) -> None:
                tell(f"{number + 1} of {len(cards)}: {words}", start + share / len(cards))

            try:
                result = read_card(path, tube, opened, white_key=white_key, progress=tell_one)
            except ScumbleError as error:
                reports.append({"file": path.name, "error": str(error)})
            else:
                reports.append({"file": path.name, **result_as_data(result)})
    return reports


def name_of(path: Path) -> str:
    """What a tube is called after the file of its card.

    Examples
    --------
    >>> name_of(Path("photos/warm_earth-2.jpg"))
    'Warm earth 2'
    """
    words = " ".join(re.split(r"[\s_-]+", path.stem)).strip()
    return words[:1].upper() + words[1:]


def _check_names(cards: Sequence[Path], tubes: Sequence[Tube]) -> None:
    """Refuse files whose tubes would be one, before any is read."""
    taken: dict[str, Path] = {}
    for path, tube in zip(cards, tubes, strict=True):
        if tube.key in taken:
            hint = "Rename one, or read them by themselves with --label."
            raise InputError(
                "card", f"{taken[tube.key].name} and {path.name}", "files of different names", hint
            )
        taken[tube.key] = path
