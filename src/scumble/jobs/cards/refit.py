"""Work out the optics of a shelf anew from the cards it keeps: whites first, then all that were mixed with each."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from scumble.colour import delta_e_2000
from scumble.errors import InputError, ScumbleError
from scumble.jobs.files import shelf_path
from scumble.jobs.white import is_white, white_for
from scumble.paint import CardReadings, Film, Layering, Optics, Paint, paper_ground, predict_look
from scumble.solve.fit.one_card import Fit, fit_optics, fit_white
from scumble.solve.fit.together import fit_together
from scumble.solve.fit.verdict import expected_interval, is_verdict, judge_fit
from scumble.store.shelf import Shelf, open_shelf

Progress = Callable[[str, float], None]

FILMS: Final = {"masstone": (1.0, 0), "thin": (0.15, 0), "tint": (1.0, 4)}
"""Coats and parts of white of the films over paper by which a change is told."""

UNCHANGED_DE00: Final = 0.01
"""Largest difference of all of them at which nothing is saved."""

FITTING: Final = 0.9
"""Share of the work that is fitting; the rest is saving."""

BY_PROOFS: Final = "Sharpened by painted proofs: "
"""How the sentence begins that is said of a paint which proofs went into; it is not true of its card alone."""

SHARPENED: Final = "The white was worked out together with the tints of {count} other cards."


@dataclass(frozen=True, slots=True)
class Refitted:
    """What became of one paint.

    Parameters
    ----------
    key, label : str
        Which paint.
    what : str
        ``changed``, ``same`` or ``refused``.
    said : str
        Why it was refused, in a sentence; else empty.
    version : int
        That counts now.
    differences : dict of str to float [dE00]
        Of each of :data:`FILMS`, before against now.
    interval_before, interval_now : float [dE00]
        Mean 95 % interval over thin and full films on white and black.
    """

    key: str
    label: str
    what: str
    said: str
    version: int
    differences: dict[str, float]
    interval_before: float
    interval_now: float


@dataclass(frozen=True, slots=True)
class _Waiting:
    """A paint with its card."""

    paint: Paint
    version: int
    card: CardReadings


@dataclass(frozen=True, slots=True)
class _New:
    """A paint as it was and as it comes out now; the fault stands instead of the fit."""

    waiting: _Waiting
    paint: Paint
    white: Paint | None
    fault: str = ""


def refit_shelf(
    shelf: Shelf,
    *,
    keys: Iterable[str] = (),
    white_key: str | None = None,
    together: bool | None = None,
    preview: bool = False,
    progress: Progress | None = None,
) -> tuple[Refitted, ...]:
    """Fit cards that the shelf keeps again, with the estimator of today.

    Each paint that comes out differently gets a new version with the same card and picture, or stays as it is; the
    version before can be chosen again. A progress that raises stops the work: until saving begins nothing is changed,
    and after that every paint is whole, new or old.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : iterable of str
        Only these paints; all that have a card when left out.
    white_key : str, optional
        The white that tints were mixed with; for each paint the shelf's own when left out.
    together : bool, optional
        Whether the cards that share a white are solved together, or each by itself; when left out, together if an
        instrument read them all (:func:`shares_no_camera`).
    preview : bool
        Only tell what would change.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Raises
    ------
    InputError
        If there is no such paint, or one that was named has no card.
    StoreError
        If the shelf cannot be written; paints saved before that stay saved.
    """
    tell = progress or (lambda _words, _share: None)
    tell("taking the cards from the shelf", 0.0)
    paints = {paint.key: paint for paint in shelf.load_paints()}
    waiting = _with_cards(shelf, paints, tuple(keys))
    if white_key is not None:
        shelf.load_paint(white_key)
    new = _fit_all(waiting, paints, white_key, together, tell)
    whites = {each.paint.key: each.paint for each in new if not each.fault}
    told = []
    for number, each in enumerate(new):
        tell(f"saving {each.paint.label}", FITTING + (1.0 - FITTING) * number / len(new))
        told.append(_save(shelf, each, whites, preview))
    tell("done", 1.0)
    return tuple(told)


def refit_file(
    shelf: Path | None,
    *,
    keys: Iterable[str] = (),
    white_key: str | None = None,
    together: bool | None = None,
    preview: bool = False,
    progress: Progress | None = None,
) -> tuple[Refitted, ...]:
    """The same of a shelf's file, the person's own when none is given; see :func:`refit_shelf`."""
    with open_shelf(shelf_path(shelf)) as opened:
        return refit_shelf(
            opened, keys=keys, white_key=white_key, together=together, preview=preview, progress=progress
        )


def shares_no_camera(cards: Iterable[CardReadings]) -> bool:
    """Whether the errors of some cards have nothing to do with each other.

    Photographs of one camera err alike, so that ten cards agree on a white that none of them shows: on the
    demo's ten photographs, solved together, films over films were predicted to dE00 2.2 instead of 1.8.
    """
    return all(card.camera is None for card in cards)


def _with_cards(shelf: Shelf, paints: dict[str, Paint], keys: tuple[str, ...]) -> list[_Waiting]:
    """Paints with their cards; those that were named must have one."""
    versions = {entry.key: entry.version for entry in shelf.load_entries()}
    waiting = []
    for key in [shelf.load_paint(key).key for key in keys] or paints:
        card = shelf.load_readings(key)
        if card is not None:
            waiting.append(_Waiting(paints[key], versions[key], card))
        elif keys:
            raise InputError("paint", key, "a paint whose card is on the shelf", "This one has no readings.")
    return waiting


def _fit_all(
    waiting: list[_Waiting],
    paints: dict[str, Paint],
    white_key: str | None,
    together: bool | None,
    tell: Progress,
) -> list[_New]:
    """Whites by themselves, then everything else by the white it was mixed with."""
    own = [each for each in waiting if is_white(each.paint)]
    new = []
    for number, each in enumerate(own):
        tell(f"fitting the white {each.paint.label}", FITTING * number / max(len(waiting), 1))
        new.append(_fit_white(each))
    known = paints | {each.paint.key: each.paint for each in new if not each.fault}
    groups: dict[str | None, list[_Waiting]] = {}
    for each in waiting:
        if each not in own:
            white = known[white_key] if white_key is not None else white_for(each.paint, known.values())
            groups.setdefault(None if white is None else white.key, []).append(each)
    done = len(own)
    for key, group in groups.items():
        white = None if key is None else known[key]
        start, part = FITTING * done / len(waiting), FITTING * len(group) / len(waiting)

        def heard(words: str, share: float, start: float = start, part: float = part) -> None:
            tell(words, start + part * share)

        fitted, sharper = _fit_group(group, white, together, heard)
        new += fitted
        if sharper is not None:
            new = [_with_optics(each, sharper, len(group)) if each.paint.key == key else each for each in new]
        done += len(group)
    return new


def _fit_white(each: _Waiting) -> _New:
    try:
        fit = fit_white(each.card, index=each.paint.binder.refractive_index)
    except ScumbleError as error:
        return _New(each, each.paint, None, str(error))
    return _New(each, _renewed(each, fit), None)


def _with_optics(white: _New, optics: Optics, count: int) -> _New:
    """A white that was sharpened by other cards."""
    said = tuple(sentence for sentence in white.paint.status if not sentence.startswith(SHARPENED[:30]))
    return replace(
        white, paint=replace(white.paint, optics=optics, status=(*said, SHARPENED.format(count=count)))
    )


def _fit_group(
    group: list[_Waiting], white: Paint | None, together: bool | None, tell: Progress
) -> tuple[list[_New], Optics | None]:
    """Fit cards that share a white, together if that can be done, and the white as they leave it."""
    index = group[0].paint.binder.refractive_index
    if together is None:
        together = shares_no_camera(each.card for each in group)
    if together and len(group) > 1:
        names = [each.paint.label for each in group]

        def heard(done: int, total: int) -> None:
            tell(f"fitting {names[done % len(names)]} with the others", done / total)

        try:
            found = fit_together(
                [each.card for each in group],
                white=None if white is None else white.optics,
                index=index,
                progress=heard,
            )
        except ScumbleError:
            # One card that cannot be used must not hold up the others; each is tried by itself.
            pass
        else:
            pairs = zip(group, found.fits, strict=True)
            sharper = None if white is None or not white.optics.covariance.any() else found.white
            return [_New(each, _renewed(each, fit), white) for each, fit in pairs], sharper
    new = []
    for number, each in enumerate(group):
        tell(f"fitting {each.paint.label}", number / len(group))
        try:
            fit = fit_optics(each.card, white=None if white is None else white.optics, index=index)
        except ScumbleError as error:
            new.append(_New(each, each.paint, white, str(error)))
        else:
            new.append(_New(each, _renewed(each, fit), white))
    return new, None


def _renewed(each: _Waiting, fit: Fit) -> Paint:
    """The paint with new optics; what was said of it by others than a fit stays said."""
    kept = tuple(
        sentence
        for sentence in each.paint.status
        if not (is_verdict(sentence) or sentence.startswith(BY_PROOFS))
    )
    return replace(each.paint, optics=fit.optics, status=(*judge_fit(fit, each.card), *kept))


def _save(shelf: Shelf, each: _New, whites: dict[str, Paint], preview: bool) -> Refitted:
    """Save one paint if it changed, and say by how much."""
    before = each.waiting.paint
    interval = expected_interval(before.optics)
    if each.fault:
        return Refitted(
            before.key, before.label, "refused", each.fault, each.waiting.version, {}, interval, interval
        )
    white = None if each.white is None else whites.get(each.white.key, each.white)
    differences = film_differences(before, each.paint, white)
    now = expected_interval(each.paint.optics)
    alike = max(*differences.values(), abs(now - interval)) <= UNCHANGED_DE00
    version = each.waiting.version if alike or preview else shelf.save_refit(each.paint)
    what = "same" if alike else "changed"
    return Refitted(before.key, before.label, what, "", version, differences, interval, now)


def film_differences(before: Paint, now: Paint, white: Paint | None) -> dict[str, float]:
    """Colour differences of the paint's films over paper, both mixed with the same white [dE00]."""
    found = {}
    for name, (coats, parts) in FILMS.items():
        if parts and white is None:
            continue
        looks = []
        for paint in (before, now):
            mixed = ((paint, 1.0), (white, float(parts))) if parts and white is not None else ((paint, 1.0),)
            looks.append(predict_look(Layering(paper_ground("white"), (Film(mixed, coats),))).lab)
        found[name] = float(delta_e_2000(looks[0], looks[1]))
    return found
