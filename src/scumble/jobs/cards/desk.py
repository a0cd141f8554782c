"""The desk where dropped cards are read one after the other, judged by a person, fitted and put on the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from threading import Lock

from scumble.card.marked.boxes import check_boxes
from scumble.card.picture.kinds import media_type_of
from scumble.errors import InputError
from scumble.jobs.cards.card_file import LONGEST_START
from scumble.jobs.cards.choices import choose, combine_reads, replace_areas, words_behind
from scumble.jobs.cards.colour_aids import ColourAids, ColourWords
from scumble.jobs.cards.mark_up import MarkUp, marked_boxes
from scumble.jobs.cards.reading import RAW, CardRead, read_dropped
from scumble.jobs.cards.tray import CardTray, TrayCard, TubeWords
from scumble.jobs.task import Progress, State, Task, Tasks
from scumble.paint import CardReadings
from scumble.store.picture import Picture
from scumble.store.shelf import Shelf


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
        self.aids = ColourAids(tray.folder / "aids")
        # One hand of its own: a card takes a core and some hundred MB, and sixty of them shall hold up nobody else.
        self._tasks = Tasks(hands=1, most_kept=1000)
        self._task_of: dict[str, str] = {}
        self._lock = Lock()
        self.keeping = Lock()
        for card in tray.cards():
            if card.is_open:
                self.read(card.key)

    def close(self) -> None:
        """Stop reading."""
        self._tasks.close()

    def drop(self, content: bytes, name: str, media_type: str, *, retakes: str = "") -> TrayCard:
        """Put a file on the tray and begin to read it; one that lies there already under that name is not put twice.

        Raises
        ------
        InputError
            If it cannot be put there.
        """
        same = self.tray.find_open(content, name, retakes=retakes)
        if same is not None:
            return same
        before = self.tray.find(retakes) if retakes else None
        tube = before.tube if before else TubeWords()
        colour = before.colour if before else self.aids.chosen()
        kind = media_type_of(content[:LONGEST_START]) or media_type
        # Where a target lies is another place in another picture.
        colour = colour.model_copy(update={"corners": ""})
        card = self.tray.add(content, name, kind, retakes=retakes, tube=tube, colour=colour)
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

    def joined(self, key: str) -> tuple[CardStands, ...]:
        """Other pictures that count together with a card, in the order in which they were dropped."""
        others = [
            card for card in self.tray.cards() if card.retakes == key and card.joined and not card.taken_off
        ]
        stands = (self.stands(card.key) for card in others)
        return tuple(each for each in stands if each.read is not None and each.read.seen is not None)

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
        pictures = [each for each in (stands, *self.joined(key)) if each.read is not None]
        together = combine_reads([(each.card.name, each.read) for each in pictures if each.read])
        readings = choose(together.readings if together else stands.read.readings, stands.card.choices)
        again = self.retake_of(key)
        if again is None or again.read is None:
            return readings
        return replace_areas(readings, again.read.readings, stands.card.choices)

    def pictures(self, key: str) -> tuple[Picture, ...]:
        """The picture of a card, and after it those that count with it or were taken again; as they came."""
        again = self.retake_of(key)
        found = [self.stands(key), *self.joined(key)]
        found += [again] if again is not None and not again.card.joined else []
        return tuple(
            Picture(
                self.tray.path(each.card.key).read_bytes(),
                each.card.media_type if each.card.media_type.startswith("image/") else RAW,
                {area.reading.area: area.outline_px for area in each.read.areas},
            )
            for each in found
            if each.card.is_picture and each.read is not None
        )

    def colour_by(self, key: str, words: ColourWords) -> None:
        """Have the colours of a card found by a target or a profile, or by neither, and read it so.

        Raises
        ------
        InputError
            If one is not kept here, or is of the other kind.
        """
        self.aids.check(words)
        self.tray.change(key, colour=words)
        self.read(key)

    def colour_all_by(self, words: ColourWords) -> int:
        """The same for every photograph that still lies on the tray; how many there are."""
        self.aids.check(words)
        plain = words.model_copy(update={"corners": ""})
        cards = [card for card in self.tray.cards() if card.is_open and card.is_picture]
        changed = [card for card in cards if card.colour.model_copy(update={"corners": ""}) != plain]
        for card in changed:
            self.colour_by(card.key, plain)
        return len(changed)

    def _read(self, key: str, progress: Progress) -> CardRead:
        read = read_dropped(self.tray, self.aids, key, progress)
        card = self.tray.find(key)
        if read.layout != card.layout:
            # The card itself says that it is the white's; a person's later word is not overruled by reading it anew.
            tube = card.tube.model_copy(update={"is_white": True}) if read.layout == "white" else card.tube
            self.tray.change(key, layout=read.layout, tube=tube)
        if card.trusted:
            self.tray.change(
                key, trusted={}, choices=card.choices or words_behind(read.readings, card.trusted)
            )
        return read
