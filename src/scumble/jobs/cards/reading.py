"""Read one dropped card, whatever it came in: a picture, a marked chart, or the file of an instrument."""

from __future__ import annotations

from dataclasses import dataclass, replace

from scumble.card.photographed import AreaSeen, PhotographedCard
from scumble.errors import CardError
from scumble.jobs.cards.colour_aids import ColourAids
from scumble.jobs.cards.instrument_card import SampleRequest, load_instrument_card
from scumble.jobs.cards.kind import is_white_card
from scumble.jobs.cards.mark_up import read_chart
from scumble.jobs.cards.route import ColourRoute, tell_route
from scumble.jobs.cards.tray import CardTray, TrayCard
from scumble.jobs.files import write_whole
from scumble.jobs.task import Progress
from scumble.paint import CardReadings

PREVIEW_SHARE = 0.2
"""Share of the work that goes into the small copies, which are drawn first."""

THUMB_PX = 420
"""Longer side of the very small copy."""

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
    route : ColourRoute, optional
        How the colours of a picture were found.
    seen : PhotographedCard, optional
        All that was read of a printed card's photograph.
    """

    readings: CardReadings
    areas: tuple[AreaSeen, ...] = ()
    size_px: tuple[int, int] = (0, 0)
    layout: str = ""
    remarks: tuple[str, ...] = ()
    route: ColourRoute | None = None
    seen: PhotographedCard | None = None


def read_dropped(tray: CardTray, aids: ColourAids, key: str, progress: Progress) -> CardRead:
    """Read a card that lies on the tray.

    Parameters
    ----------
    tray, aids : CardTray, ColourAids
        Where it lies, and what its colours may be found by.
    key : str
        Which card.
    progress : callable
        Told the share done and what is being done.

    Raises
    ------
    CardError, InputError
        If it cannot be read; the message says what to do.
    """
    card = tray.find(key)
    if not card.is_picture:
        return _read_file(tray, card, progress)

    def tell(words: str, share: float) -> None:
        progress(PREVIEW_SHARE + (1.0 - PREVIEW_SHARE) * share, words)

    try:
        _draw_copies(tray, card, progress)
        path = tray.path(key)
        colour = aids.options(card.colour)
        if card.marks is not None:
            seen = read_chart(path, card.marks, progress=tell, **colour)
        else:
            from scumble.card.read import read_photograph

            seen = read_photograph(path, progress=tell, **colour)
    except MemoryError:
        raise CardError(f"{card.name} is too large for this computer.", "Save a smaller copy.") from None
    return _of_picture(card, seen, _route(seen, card, aids))


def _of_picture(card: TrayCard, seen: PhotographedCard, route: ColourRoute) -> CardRead:
    """What is to be said of the picture as a whole; what is wrong with an area stands beside it."""
    told = set(route.found)
    remarks = tuple(said for said in (*seen.warnings, *seen.assumptions) if said not in told)
    printed = seen if card.marks is None else None
    layout = seen.layout if printed else ""
    return CardRead(seen.readings, seen.areas, seen.size_px, layout, remarks, route, printed)


def _route(seen: PhotographedCard, card: TrayCard, aids: ColourAids) -> ColourRoute:
    words = card.colour
    target = aids.find(words.target).name if words.target else ""
    profile = aids.find(words.profile).name if words.profile else ""
    return tell_route(seen, is_raw=card.media_type == RAW, target=target, profile=profile)


def _draw_copies(tray: CardTray, card: TrayCard, progress: Progress) -> None:
    from scumble.card.picture.preview import draw_preview

    paths = (tray.preview_path(card.key), tray.thumb_path(card.key))
    if card.size_px is not None and all(path.exists() for path in paths):
        return
    progress(0.02, "opening the picture")
    content, size_px = draw_preview(tray.path(card.key))
    write_whole(paths[0], content)
    write_whole(paths[1], _thumb_of(content))
    tray.change(card.key, size_px=size_px)


def _thumb_of(content: bytes) -> bytes:
    """The very small copy of a small one; of a long strip that would become too narrow, the small one itself."""
    from scumble.card.picture.preview import draw_preview

    try:
        return draw_preview(content, longest_px=THUMB_PX)[0]
    except CardError:
        return content


def _read_file(tray: CardTray, card: TrayCard, progress: Progress) -> CardRead:
    progress(0.1, "reading the instrument's file")
    words = card.samples
    said = tuple(f"{at + 1}={area}" for at, area in sorted(words.areas.items()))
    request = SampleRequest(layout=words.layout, said=said, condition=words.condition)
    file = load_instrument_card(tray.path(card.key), request)
    readings = file.readings
    if words.condition and not readings.condition:
        readings = replace(readings, condition=words.condition)
    if words.backing:
        readings = replace(readings, backing=words.backing)
    layout = words.layout or ("white" if is_white_card(readings) else "")
    return CardRead(readings, layout=layout, remarks=file.doubts)
