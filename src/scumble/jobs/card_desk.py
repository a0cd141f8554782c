"""The desk where dropped cards are read one after the other, judged by a person, fitted and put on the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from threading import Lock

from scumble.card.marked import check_boxes
from scumble.card.photographed import AreaSeen, PhotographedCard
from scumble.card.picture_kinds import media_type_of
from scumble.errors import CardError, InputError
from scumble.jobs.card_file import LONGEST_START
from scumble.jobs.card_tray import CardTray, Choice, TrayCard, TubeWords
from scumble.jobs.instrument_card import SampleRequest, load_instrument_card
from scumble.jobs.mark_up import MarkUp, marked_boxes, read_chart
from scumble.jobs.task import Progress, State, Task, Tasks
from scumble.paint import CardReadings
from scumble.store.picture import Picture
from scumble.store.shelf import Shelf

PREVIEW_SHARE = 0.2
"""Share of the work that goes into the small copy, which is drawn first."""

RAW = "image/x-raw"
"""Media type of pictures whose first bytes do not say what they are: those of cameras."""


@dataclass(frozen=True, slots=True)
class CardRead:
    """What came of reading a card.

    Parameters
    ----------
    readings : CardReadings
        As the reader judged them.
    areas : tuple of AreaSeen
        As seen in the picture; empty for an instrument's file.
    size_px : (int, int) [px]
        Of the upright picture; zeros where there is none.
    layout : str
        Which card; empty if the file does not say.
    remarks : tuple of str
        What was doubtful and what was assumed.
    """

    readings: CardReadings
    areas: tuple[AreaSeen, ...] = ()
    size_px: tuple[int, int] = (0, 0)
    layout: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CardStands:
    """A card on the tray and how far it is.

    Parameters
    ----------
    card : TrayCard
        As written down.
    state : State
        Of its reading.
    share : float [1]
        How much of that is done.
    words : str
        What is being done.
    error : str
        Why it could not be read; empty if it could.
    read : CardRead, optional
        Once it is read.
    stamp : str
        Another whenever it was read anew.
    """

    card: TrayCard
    state: State
    share: float
    words: str
    error: str
    read: CardRead | None
    stamp: str = ""


class CardDesk:
    """Cards of one shelf on their way to it; threads may share it.

    Parameters
    ----------
    shelf : Shelf
        Where they go.
    tray : CardTray
        Where they lie until then; those that were waiting when the program ended are read anew.
    """

    def __init__(self, shelf: Shelf, tray: CardTray) -> None:
        self.shelf = shelf
        self.tray = tray
        # One hand of its own: a card takes a core and some hundred MB, and sixty of them shall hold up nobody else.
        self._tasks = Tasks(hands=1, most_kept=1000)
        self._task_of: dict[str, str] = {}
        self._lock = Lock()
        for card in tray.cards():
            if card.is_open:
                self.read(card.key)

    def close(self) -> None:
        """Stop reading."""
        self._tasks.close()

    def drop(self, content: bytes, name: str, media_type: str, *, retakes: str = "") -> TrayCard:
        """Put a file on the tray and begin to read it.

        Raises
        ------
        InputError
            If it cannot be put there.
        """
        tube = self.tray.find(retakes).tube if retakes else TubeWords()
        kind = media_type_of(content[:LONGEST_START]) or media_type
        card = self.tray.add(content, name, kind, retakes=retakes, tube=tube)
        self.read(card.key)
        return card

    def read(self, key: str) -> None:
        """Read a card, anew if it was read before."""
        card = self.tray.find(key)
        with self._lock:
            before = self._task_of.get(key)
            if before is not None:
                self._tasks.cancel(before)
            self._task_of[key] = self._tasks.start(card.name, lambda progress: self._read(key, progress))

    def stands(self, key: str) -> CardStands:
        """One card and how far it is.

        Raises
        ------
        InputError
            If it is not on the tray.
        """
        card = self.tray.find(key)
        with self._lock:
            task_key = self._task_of.get(key)
        if task_key is None:
            return CardStands(card, State.WAITING, 0.0, "put away", "", None)
        task: Task = self._tasks.find(task_key)
        return CardStands(card, task.state, task.share, task.words, task.error, task.result, task_key)

    def wait(self, key: str, *, timeout_s: float | None = None) -> CardStands:
        """One card once its reading is over."""
        with self._lock:
            task_key = self._task_of.get(key)
        if task_key is not None:
            self._tasks.wait(task_key, timeout_s=timeout_s)
        return self.stands(key)

    def all(self) -> tuple[CardStands, ...]:
        """Every card on the tray, in the order in which they were dropped."""
        return tuple(self.stands(card.key) for card in self.tray.cards())

    def take_off(self, key: str) -> None:
        """Take a card off the tray; `put_back` fetches it again."""
        with self._lock:
            task_key = self._task_of.pop(key, None)
        if task_key is not None:
            self._tasks.cancel(task_key)
        self.tray.change(key, taken_off=True)

    def put_back(self, key: str) -> None:
        """Fetch back a card that was taken off, or open one again that is on the shelf."""
        self.tray.change(key, taken_off=False, kept_as="", version=0)
        self.read(key)

    def size_px(self, key: str) -> tuple[int, int] | None:
        """Width and height of the upright picture of a card; None until its small copy is drawn."""
        return self.tray.find(key).size_px

    def check_marks(self, key: str, marks: MarkUp) -> None:
        """Refuse boxes that cannot be read over this picture.

        Raises
        ------
        InputError
            Naming the box.
        """
        check_boxes(marked_boxes(marks), self.size_px(key) or (1, 1))

    def retake_of(self, key: str) -> CardStands | None:
        """The newest readable picture that shall replace areas of a card."""
        later = [card for card in self.tray.cards() if card.retakes == key and not card.taken_off]
        read = [stands for card in later if (stands := self.stands(card.key)).read is not None]
        return read[-1] if read else None

    def chosen(self, key: str) -> CardReadings:
        """Readings of a card as a person decided, area by area.

        Raises
        ------
        InputError
            If it is not read.
        """
        stands = self.stands(key)
        if stands.read is None:
            raise InputError("card", stands.card.name, "a card that was read", stands.error)
        readings = choose(stands.read.readings, stands.card.choices)
        again = self.retake_of(key)
        if again is None or again.read is None:
            return readings
        return replace_areas(readings, again.read.readings, stands.card.choices)

    def pictures(self, key: str) -> tuple[Picture, ...]:
        """The picture of a card, and after it the one that was taken again; as they came."""
        found = [self.stands(key)] + ([again] if (again := self.retake_of(key)) else [])
        return tuple(
            Picture(
                self.tray.path(each.card.key).read_bytes(),
                each.card.media_type if each.card.media_type.startswith("image/") else RAW,
                {area.reading.area: area.outline_px for area in each.read.areas},
            )
            for each in found
            if each.card.is_picture and each.read is not None
        )

    def _read(self, key: str, progress: Progress) -> CardRead:
        card = self.tray.find(key)

        def tell(words: str, share: float) -> None:
            progress(PREVIEW_SHARE + (1.0 - PREVIEW_SHARE) * share, words)

        if not card.is_picture:
            return self._read_file(card, progress)
        try:
            self._draw_preview(card, progress)
            seen = self._read_picture(card, tell)
        except MemoryError:
            raise CardError(f"{card.name} is too large for this computer.", "Save a smaller copy.") from None
        return CardRead(seen.readings, seen.areas, seen.size_px, seen.layout, _doubts(seen))

    def _read_picture(self, card: TrayCard, tell: object) -> PhotographedCard:
        from scumble.card.read import read_photograph

        path = self.tray.path(card.key)
        if card.marks is not None:
            return read_chart(path, card.marks, progress=tell)  # type: ignore[arg-type]
        return read_photograph(path, progress=tell)  # type: ignore[arg-type]

    def _draw_preview(self, card: TrayCard, progress: Progress) -> None:
        from scumble.card.preview import draw_preview
        from scumble.jobs.files import write_whole

        if card.size_px is not None and self.tray.preview_path(card.key).exists():
            return
        progress(0.02, "opening the picture")
        content, size_px = draw_preview(self.tray.path(card.key))
        write_whole(self.tray.preview_path(card.key), content)
        self.tray.change(card.key, size_px=size_px)

    def _read_file(self, card: TrayCard, progress: Progress) -> CardRead:
        progress(0.1, "reading the instrument's file")
        words = card.samples
        said = tuple(f"{at + 1}={area}" for at, area in sorted(words.areas.items()))
        request = SampleRequest(layout=words.layout, said=said, condition=words.condition)
        file = load_instrument_card(self.tray.path(card.key), request)
        readings = file.readings
        if words.condition and not readings.condition:
            readings = replace(readings, condition=words.condition)
        if words.backing:
            readings = replace(readings, backing=words.backing)
        return CardRead(readings, layout=words.layout, remarks=file.doubts)


def choose(readings: CardReadings, choices: Mapping[str, Choice]) -> CardReadings:
    """Readings with the weight that a person gives them: all for accepted areas, none for the others they named."""
    weights = {"accept": 1.0, "leave out": 0.0, "retake": 0.0}
    return replace(
        readings,
        readings=tuple(
            replace(each, weight=weights[choices[each.area]]) if each.area in choices else each
            for each in readings.readings
        ),
    )


def replace_areas(readings: CardReadings, again: CardReadings, choices: Mapping[str, Choice]) -> CardReadings:
    """Readings with the areas to be retaken from a second picture, where that shows them."""
    newer = {each.area: each for each in again.readings}
    return replace(
        readings,
        readings=tuple(
            newer[each.area] if choices.get(each.area) == "retake" and each.area in newer else each
            for each in readings.readings
        ),
        noise=max(readings.noise, again.noise),
    )


def _doubts(seen: PhotographedCard) -> tuple[str, ...]:
    """What is to be said of the picture as a whole; what is wrong with an area stands beside it."""
    return (*seen.warnings, *seen.assumptions)
