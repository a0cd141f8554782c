"""Colours of a sheet as a PDF writes them: in sRGB, or in what a printer is sent through its profile."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from scumble.chart.profile import SRGB_NAME, Profile, printed_colours, sent_colours, srgb_profile
from scumble.chart.sheet import Colour, Line, Shape, Sheet, Text, Wash


class Inks:
    """The colours of some sheets, each as the numbers that go into the file.

    Parameters
    ----------
    sheets : sequence of Sheet
        Everything that will be drawn.
    profile : Profile or None
        Of the printer; ``None`` writes sRGB as it is.

    Notes
    -----
    Grey words and lines go to the black ink alone where there is one, so that they keep one sharp edge. *Common
    practice, no source.*
    """

    def __init__(self, sheets: Sequence[Sheet], profile: Profile | None) -> None:
        self.profile = profile or srgb_profile()
        self.space = self.profile.space
        self._numbers: dict[tuple[Colour, bool], str] = {}
        if profile is not None and profile.name != SRGB_NAME:
            wanted = list(dict.fromkeys(_colours(sheets)))
            for colour, sent in zip(wanted, sent_colours(profile, wanted), strict=True):
                self._numbers[colour, False] = _write(sent)

    def numbers(self, colour: Colour, *, is_line: bool = False) -> str:
        """A colour's numbers in the file, with blanks between them."""
        alone = is_line and self.space == "CMYK" and len(set(colour)) == 1
        key = (colour, alone)
        if key not in self._numbers:
            self._numbers[key] = _write((0.0, 0.0, 0.0, 1.0 - colour[0])) if alone else _write(colour)
        return self._numbers[key]

    def fill(self, colour: Colour, *, is_line: bool = False) -> str:
        """What makes a colour that of the insides to come."""
        return f"{self.numbers(colour, is_line=is_line)} {'k' if self.space == 'CMYK' else 'rg'}"

    def stroke(self, colour: Colour) -> str:
        """What makes a colour that of the lines to come."""
        return f"{self.numbers(colour, is_line=True)} {'K' if self.space == 'CMYK' else 'RG'}"


def _write(parts: Sequence[float]) -> str:
    return " ".join(f"{part:.4f}".rstrip("0").rstrip(".") or "0" for part in parts)


def _colours(sheets: Sequence[Sheet]) -> Iterator[Colour]:
    for sheet in sheets:
        for shape in sheet.shapes:
            if isinstance(shape, Wash):
                yield from (colour for _, colour in shape.stops)
            elif isinstance(shape, Line):
                yield shape.stroke
            elif isinstance(shape, Text):
                yield shape.fill
            else:
                yield from (each for each in (shape.fill, shape.stroke) if each is not None)


def proof_sheet(sheet: Sheet, profile: Profile) -> Sheet:
    """A sheet in the colours that a printer is able to give it, for a look before it is printed.

    Parameters
    ----------
    sheet : Sheet
        As it was drawn.
    profile : Profile
        Of the printer.
    """
    wanted = list(dict.fromkeys(_colours([sheet])))
    shown = dict(zip(wanted, printed_colours(profile, wanted), strict=True))
    return replace(sheet, shapes=tuple(_recoloured(shape, shown) for shape in sheet.shapes))


def _recoloured(shape: Shape, shown: Mapping[Colour, Colour]) -> Shape:
    if isinstance(shape, Wash):
        return replace(shape, stops=tuple((share, shown[colour]) for share, colour in shape.stops))
    if isinstance(shape, Line):
        return replace(shape, stroke=shown[shape.stroke])
    if isinstance(shape, Text):
        return replace(shape, fill=shown[shape.fill])
    return replace(
        shape,
        fill=None if shape.fill is None else shown[shape.fill],
        stroke=None if shape.stroke is None else shown[shape.stroke],
    )
