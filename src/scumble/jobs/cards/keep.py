"""Fit a card from the desk as the tube that a person says it is, and put it on the shelf as a new version."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from scumble.errors import InputError
from scumble.jobs.cards.area_words import choice_words
from scumble.jobs.cards.beside import area_words
from scumble.jobs.cards.card_file import provenance_of
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.read_card import Tube, fit_tube
from scumble.jobs.cards.together import combine, say_together
from scumble.jobs.cards.tray import Choice, TubeWords
from scumble.jobs.remember import Remembered
from scumble.paint import Binder, CardReadings, Optics, Paint
from scumble.solve.fit.one_card import Fit
from scumble.store.drawers.save_version import same_paint
from scumble.store.shelf import Shelf

LONGEST_LABEL = 120

BEGINS: dict[Choice, str] = {"leave out": "You left out", "accept": "You accepted", "retake": "Retaken"}
"""How it is said what a person decided of areas."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A card that was fitted.

    Parameters
    ----------
    readings : CardReadings
        As chosen.
    fit : Fit
        Of them.
    said : tuple of str
        What the fit is worth.
    white : Paint, optional
        What its tints were mixed with.
    """

    readings: CardReadings
    fit: Fit
    said: tuple[str, ...]
    white: Paint | None


@dataclass(frozen=True, slots=True)
class Kept:
    """A card on the shelf.

    Parameters
    ----------
    paint : Paint
        As saved.
    version : int
        Its number.
    """

    paint: Paint
    version: int


def tube_of(shelf: Shelf, words: TubeWords) -> Tube:
    """The tube that a person means: one of the shelf by its name or short name, else a new one.

    Raises
    ------
    InputError
        If the binder is not known or the name is none.
    """
    if words.binder not in {known.value for known in Binder}:
        raise InputError("binder", words.binder, ", ".join(known.value for known in Binder))
    label = " ".join(words.label.split())[:LONGEST_LABEL]
    known = next(
        (each for each in shelf.load_entries() if label.casefold() in (each.label.casefold(), each.key)), None
    )
    return Tube(
        known.label if known else label,
        words.pigments or (known.pigments if known else ()),
        Binder(words.binder),
        words.is_white,
        known.key if known else None,
    )


def fit_card(desk: CardDesk, key: str) -> Fitted:
    """Fit a card as it stands; the same question is answered from memory.

    Raises
    ------
    InputError
        If it is not read, or nothing is left to fit.
    """
    card = desk.tray.find(key)
    again = desk.retake_of(key)
    tube = tube_of(desk.shelf, card.tube)
    white = None if tube.is_white else _white(desk.shelf, card.tube, tube)
    asked = (
        desk.stands(key).stamp,
        again.stamp if again else "",
        [each.stamp for each in desk.joined(key)],
        sorted(card.choices.items()),
        tube.binder.value,
        tube.is_white,
        "" if white is None else (white.key, hash(white.optics.absorption.tobytes())),
    )

    def work() -> Fitted:
        readings = desk.chosen(key)
        optics: Optics | None = None if white is None else white.optics
        fit, said = fit_tube(readings, tube, optics)
        return Fitted(readings, fit, said, white)

    return _fits.recall(repr(asked), work)


def keep_card(desk: CardDesk, key: str) -> Kept:
    """Fit a card and save it with its picture; whatever stood under that name stays as an older version.

    A card that was photographed again leaves both pictures on the shelf, the first with the version before. One that
    stands there already just so is not saved again.

    Raises
    ------
    InputError, StoreError
        If it cannot be fitted or saved; then the shelf is as it was.
    """
    with desk.keeping:
        return _keep(desk, key)


def _keep(desk: CardDesk, key: str) -> Kept:
    card = desk.tray.find(key)
    if not card.tube.label.strip():
        raise InputError("label", "nothing", "a name for the tube", "Say which tube it is.")
    tube = tube_of(desk.shelf, card.tube)
    fitted = fit_card(desk, key)
    remarks = desk.stands(key).read
    together = combine(desk, key)
    said = (
        *fitted.said,
        *_words_of(fitted.readings, card.choices),
        *(say_together(desk, key, together) if together else ()),
        *(remarks.remarks if remarks else ()),
    )
    paint = Paint(
        tube.key,
        tube.label,
        fitted.fit.optics,
        provenance_of(fitted.readings),
        tube.pigments,
        tube.binder,
        said,
    )
    if card.kept_as == paint.key and same_paint(
        desk.shelf.load_paint(paint.key, version=card.version), paint
    ):
        return Kept(paint, card.version)
    pictures = desk.pictures(key) or (None,)
    for picture in pictures:
        version = desk.shelf.save_paint(paint, readings=fitted.readings, picture=picture)
    desk.tray.change(key, kept_as=paint.key, version=version)
    for later in desk.tray.cards():
        if later.retakes == key and later.is_open:
            desk.tray.change(later.key, kept_as=paint.key, version=version)
    return Kept(paint, version)


def _words_of(readings: CardReadings, choices: Mapping[str, Choice]) -> tuple[str, ...]:
    """What a person decided of the areas, to be said wherever the optics are shown."""
    said = []
    for choice in dict.fromkeys(choices.values()):
        places = [area_words(each) for each in readings.readings if choices.get(each.area) == choice]
        begin = BEGINS.get(choice) or f"You read {choice_words(choice)}"
        said += [f"{begin}: {', '.join(places)}."] if places else []
    return tuple(said)


def take_back(desk: CardDesk, key: str) -> None:
    """Undo `keep_card`: the version before is the current one again, and the card is back on the tray.

    Where it lies on the tray already, nothing changes.

    Raises
    ------
    InputError
        If there is no such card.
    """
    with desk.keeping:
        _take_back(desk, key)


def _take_back(desk: CardDesk, key: str) -> None:
    card = desk.tray.find(key)
    if not card.kept_as:
        return
    before = card.version - max(1, len(desk.pictures(key)))
    if before >= 1:
        desk.shelf.choose_version(card.kept_as, before)
    else:
        desk.shelf.delete_paint(card.kept_as)
    desk.put_back(key)


def read_again(desk: CardDesk, paint_key: str) -> str:
    """Put the picture of a paint of the shelf on the tray once more; key of the card.

    Raises
    ------
    InputError
        If there is no such paint, or no picture of its card.
    """
    paint = desk.shelf.load_paint(paint_key)
    picture = desk.shelf.load_picture(paint.key)
    if picture is None:
        raise InputError("paint", paint.label, "a paint whose card was read from a picture")
    words = TubeWords(
        label=paint.label,
        pigments=paint.pigments,
        binder=paint.binder.value,
        is_white=bool(paint.pigments) and all(name.upper().startswith("PW") for name in paint.pigments),
    )
    stood = desk.shelf.load_readings(paint.key)
    card = desk.tray.add(
        picture.content,
        f"{paint.label}, its card",
        picture.media_type,
        tube=words,
        colour=desk.aids.chosen(),
        trusted={each.area: each.weight for each in stood.readings} if stood else {},
    )
    desk.read(card.key)
    return card.key


def _white(shelf: Shelf, words: TubeWords, tube: Tube) -> Paint | None:
    """The white that was named, or the shelf's own."""
    from scumble.jobs.white import white_for

    if words.white:
        return shelf.load_paint(words.white)
    return white_for(tube, shelf.load_paints())


_fits: Remembered[Fitted] = Remembered()
