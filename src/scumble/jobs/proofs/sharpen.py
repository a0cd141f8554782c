"""Let proofs sharpen a paint: their readings go into its optics, as a new version that can be taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scumble.errors import InputError
from scumble.jobs.cards.refit import BY_PROOFS, film_differences
from scumble.jobs.proofs.promise import over_ground, promised_layering
from scumble.jobs.proofs.read_back import ground_spectrum
from scumble.jobs.proofs.record import Proved, TodaysOptics, proved_with
from scumble.jobs.white import is_white, white_for
from scumble.paint import Paint, Provenance
from scumble.solve.fit.sharpen import SURPRISE, PaintedProof, fit_sharper
from scumble.solve.fit.verdict import expected_interval
from scumble.store.proof import ProofUse, mark_of_optics
from scumble.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class TakenProof:
    """One proof that was taken.

    Parameters
    ----------
    key, label : str
        Which.
    said : str
        How it fitted in, in a sentence.
    """

    key: str
    label: str
    said: str


@dataclass(frozen=True, slots=True)
class SharpenedPaint:
    """What became of a paint.

    Parameters
    ----------
    key, label : str
        Which paint.
    version_before, version : int
        That counted, and that counts now.
    taken : tuple of TakenProof
        Proofs that went into it.
    differences : dict of str to float [dE00]
        Of some of its films, before against now.
    interval_before, interval_now : float [dE00]
        Mean 95 % interval over thin and full films on white and black.
    paint : Paint
        As it comes out.
    """

    key: str
    label: str
    version_before: int
    version: int
    taken: tuple[TakenProof, ...]
    differences: dict[str, float]
    interval_before: float
    interval_now: float
    paint: Paint

    @property
    def says(self) -> str:
        """The whole in words."""
        by = ", ".join(f"{name} by dE00 {amount:.2f}" for name, amount in self.differences.items())
        known = f"known to dE00 {self.interval_before:.1f} before, to {self.interval_now:.1f} now"
        return f"{self.label}: {_proofs(len(self.taken))} changed {by}; {known}."


def unused_proofs(shelf: Shelf, paint: Paint) -> tuple[Proved, ...]:
    """Proofs with a paint that were read and went into the current optics of none of their paints."""
    marks = TodaysOptics(shelf)
    return tuple(each for each in proved_with(shelf, paint.key) if marks.can_use(each))


def sharpen_paint(
    shelf: Shelf, paint: str, *, proofs: Sequence[str] = (), preview: bool = False
) -> SharpenedPaint:
    """Let proofs sharpen the optics of one paint; a new version, with the card and picture of the one before.

    Parameters
    ----------
    shelf : Shelf
        Open.
    paint : str
        Key or label.
    proofs : sequence of str
        Their keys; all with that paint that were not used yet when left out.
    preview : bool
        Only tell what would change.

    Raises
    ------
    InputError
        If the paint was not measured, or there is no proof to use.
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    before = shelf.load_paint(paint)
    if before.provenance is Provenance.ILLUSTRATIVE:
        hint = "Paint its card first: nothing measured is mixed with what is only argued."
        raise InputError("paint", before.label, "a paint that was measured", hint)
    chosen = _chosen(shelf, before, proofs)
    found = fit_sharper(before.key, [_painted(shelf, each) for each in chosen])
    taken = tuple(
        TakenProof(each.kept.proof.key, each.kept.proof.label, _say_fit(surprise, trust))
        for each, surprise, trust in zip(chosen, found.surprises, found.trusts, strict=True)
    )
    kept = tuple(sentence for sentence in before.status if not sentence.startswith(BY_PROOFS))
    earlier = used_proofs(shelf, before)
    labels = sorted({each.kept.proof.label for each in (*chosen, *earlier)})
    said = f"{BY_PROOFS}{'; '.join(labels[:6])}{' and more' if len(labels) > 6 else ''}."
    now = replace(before, optics=found.optics, status=(*kept, said))
    version_before = shelf.load_entries([before.key])[0].version
    version = version_before
    if not preview:
        # The uses come first: a version that nobody marked would count its own proofs as evidence.
        used = [(each.kept.proof.key, each.reading.number) for each in (*chosen, *earlier)]
        shelf.proofs.add_uses(used, ProofUse(before.key, mark_of_optics(now.optics)))
        version = shelf.save_refit(now)
    white = None if is_white(before) else white_for(before, shelf.load_paints())
    return SharpenedPaint(
        before.key,
        before.label,
        version_before,
        version,
        taken,
        film_differences(before, now, white),
        expected_interval(before.optics),
        expected_interval(now.optics),
        now,
    )


def blunt_paint(shelf: Shelf, paint: str) -> int:
    """Take the last sharpening of a paint back; the number of the version that counts again.

    Raises
    ------
    InputError
        If its current version was not sharpened by proofs.
    """
    now = shelf.load_paint(paint)
    entry = shelf.load_entries([now.key])[0]
    mark = mark_of_optics(now.optics)
    if not used_proofs(shelf, now):
        allowed = "a paint whose current version was sharpened by proofs"
        raise InputError("paint", now.label, allowed)
    for number in range(entry.version - 1, 0, -1):
        if mark_of_optics(shelf.load_paint(now.key, version=number).optics) != mark:
            shelf.choose_version(now.key, number)
            return number
    raise InputError("paint", now.label, "a paint with an older version")


def _chosen(shelf: Shelf, paint: Paint, keys: Sequence[str]) -> tuple[Proved, ...]:
    unused = unused_proofs(shelf, paint)
    if not keys:
        if not unused:
            hint = "Paint one and read it back; those that went into it already say nothing new."
            raise InputError("proofs", "none", f"a proof with {paint.label} that was read", hint)
        return unused
    by_key = {each.kept.proof.key: each for each in unused}
    wanted = [key.strip().lower() for key in keys]
    if missing := [key for key in wanted if key not in by_key]:
        allowed = f"proofs with {paint.label} that were read and not used yet: {', '.join(by_key) or 'none'}"
        raise InputError("proofs", ", ".join(missing), allowed)
    return tuple(by_key[key] for key in dict.fromkeys(wanted))


def used_proofs(shelf: Shelf, paint: Paint) -> tuple[Proved, ...]:
    """Proofs that are in the optics of a paint; they stay in what comes of them."""
    marks = TodaysOptics(shelf)
    return tuple(each for each in proved_with(shelf, paint.key) if marks.used(each, paint=paint.key))


def _painted(shelf: Shelf, each: Proved) -> PaintedProof:
    """A proof as the fit takes it, with the paints as they stand now."""
    reading = each.reading.reading
    layering = promised_layering(shelf, each.kept.proof, today=True)
    if reading.ground is not None:
        spectrum = ground_spectrum(reading.ground, reading.light, reading.observer)
        layering = over_ground(layering, spectrum)
    together = "" if reading.camera is None else f"{reading.sheet} {each.read_at.isoformat()}"
    return PaintedProof(
        layering,
        reading.quantity,
        reading.values,
        max(reading.noise, 1e-3),
        reading.light,
        reading.observer,
        reading.camera,
        reading.blind,
        together,
    )


def _say_fit(surprise: float, trust: float) -> str:
    if surprise > SURPRISE:
        return (
            f"contradicts what was known ({surprise**0.5:.1f} deviations); taken with {100 * trust:.0f} % of its"
            " weight. Was it painted as asked?"
        )
    return f"fits in ({surprise**0.5:.1f} deviations from what was expected)"


def _proofs(count: int) -> str:
    return "one proof" if count == 1 else f"{count} proofs"
