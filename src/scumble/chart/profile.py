"""Colour profiles of printers and papers: read, checked, and used to turn sRGB into what the printer is sent."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from scumble.chart.sheet import Colour
from scumble.errors import InputError

if TYPE_CHECKING:
    from PIL.ImageCms import ImageCmsProfile

Numbers = tuple[float, ...]

INTENTS: Final = {"perceptual": 0, "relative": 1, "saturation": 2, "absolute": 3}
"""Rendering intents by the words of the standard. *Source:* ISO 15076-1:2010, 7.2.15."""

CHANNELS: Final = {"RGB": 3, "CMYK": 4}
"""Colour spaces of profiles that charts can be written in."""

MOST_BYTES: Final = 8_000_000
"""Largest profile that is read."""

SRGB_NAME: Final = "sRGB IEC61966-2.1"

MADE: Final = bytes([0x07, 0xE0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0])
"""The date that is written into the profile of sRGB, so that the same chart gives the same bytes: 2016-01-01."""


@dataclass(frozen=True, slots=True)
class Profile:
    """What is known of a printer on its paper, and how colours that it cannot reach are brought in.

    Parameters
    ----------
    content : bytes
        The ICC file.
    name : str
        What it calls itself.
    space : str
        ``RGB`` or ``CMYK``.
    intent : str
        One of :data:`INTENTS`.
    """

    content: bytes
    name: str
    space: str
    intent: str = "relative"

    @property
    def channels(self) -> int:
        """Numbers that a colour has in it."""
        return CHANNELS[self.space]


@cache
def srgb_profile() -> Profile:
    """SRGB itself, which charts are written in unless something else is asked for."""
    from PIL import ImageCms

    content = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    content[24:36] = MADE
    return Profile(bytes(content), SRGB_NAME, "RGB")


def read_profile(content: bytes, *, intent: str = "relative") -> Profile:
    """Read the profile of a printer and its paper.

    Parameters
    ----------
    content : bytes
        An ICC file.
    intent : str
        How colours that the printer cannot reach are brought in, one of :data:`INTENTS`.

    Raises
    ------
    InputError
        If it is no profile, or none that something can be printed through.

    Examples
    --------
    >>> read_profile(srgb_profile().content, intent="perceptual").space
    'RGB'
    """
    if intent not in INTENTS:
        raise InputError("intent", intent, ", ".join(INTENTS))
    seen = f"{len(content)} bytes"
    if len(content) > MOST_BYTES:
        raise InputError("profile", seen, f"an ICC profile of at most {MOST_BYTES // 1_000_000} MB")
    if len(content) < 132 or content[36:40] != b"acsp":
        raise InputError("profile", seen, "an ICC profile of a printer and its paper (.icc or .icm)")
    name = _name_of(content)
    # Fields of the header: ISO 15076-1:2010, 7.2.5 and 7.2.6.
    kind, space = (content[at : at + 4].decode("latin-1").strip() for at in (12, 16))
    if space not in CHANNELS or kind not in ("prtr", "mntr", "spac"):
        raise InputError(
            "profile", f"a {kind!a} profile in {space!a}", "one to print or show through, in RGB or CMYK"
        )
    found = Profile(content, name, space, intent)
    sent_colours(found, [(0.5, 0.5, 0.5)])
    return found


def sent_colours(profile: Profile, colours: Sequence[Colour]) -> tuple[Numbers, ...]:
    """What the printer is sent for colours of the screen.

    Parameters
    ----------
    profile : Profile
        Of the printer.
    colours : sequence of Colour
        sRGB 0-1.

    Returns
    -------
    tuple of tuple of float
        Device numbers 0-1, as many as the profile has channels.

    Raises
    ------
    InputError
        If nothing can be printed through the profile.

    Examples
    --------
    >>> sent_colours(read_profile(srgb_profile().content), [(1.0, 0.5, 0.0)])[0][0]
    1.0
    """
    sent = _through(srgb_profile(), profile, _as_bytes(colours, 3), profile.intent)
    width = profile.channels
    return tuple(tuple(part / 255 for part in sent[at : at + width]) for at in range(0, len(sent), width))


def printed_colours(profile: Profile, colours: Sequence[Colour]) -> tuple[Colour, ...]:
    """What colours of the screen come to look like on the paper, its white taken as white.

    Parameters
    ----------
    profile : Profile
        Of the printer.
    colours : sequence of Colour
        sRGB 0-1.

    Returns
    -------
    tuple of Colour
        sRGB 0-1 after the way there and back, both colorimetric: a colour that the printer reaches comes back as it
        was.
    """
    there = _through(srgb_profile(), profile, _as_bytes(colours, 3), "relative", keeps_black=True)
    back = _through(profile, srgb_profile(), there, "relative", keeps_black=True)
    parts = [part / 255 for part in back]
    return tuple((parts[at], parts[at + 1], parts[at + 2]) for at in range(0, len(parts), 3))


def _name_of(content: bytes) -> str:
    """What a profile calls itself, on one line of letters that every font has."""
    opened = _opened(content)
    try:
        said = opened.profile.profile_description or ""
    except ValueError:
        said = ""
    plain = "".join(sign if sign.isprintable() and sign.isascii() else " " for sign in said)
    return " ".join(plain.split())[:80] or "a profile without a name"


def _as_bytes(colours: Sequence[Sequence[float]], channels: int) -> bytes:
    return bytes(round(255 * min(max(part, 0.0), 1.0)) for colour in colours for part in colour[:channels])


def _through(start: Profile, end: Profile, pixels: bytes, intent: str, *, keeps_black: bool = False) -> bytes:
    """Pixels of one profile in another, 8 bits a channel."""
    from PIL import Image, ImageCms

    wide = len(pixels) // start.channels
    if wide == 0:
        return b""
    flags = ImageCms.Flags.NONE if keeps_black else ImageCms.Flags.BLACKPOINTCOMPENSATION
    try:
        turn = ImageCms.buildTransform(
            _opened(start.content),
            _opened(end.content),
            start.space,
            end.space,
            renderingIntent=ImageCms.Intent(INTENTS[intent]),
            flags=flags,
        )
        image: Any = ImageCms.applyTransform(Image.frombytes(start.space, (wide, 1), pixels), turn)
    except (ImageCms.PyCMSError, OSError, ValueError) as error:
        raise InputError("profile", end.name, "a profile to print through", str(error)) from None
    return bytes(image.tobytes())


def _opened(content: bytes) -> ImageCmsProfile:
    from PIL import ImageCms

    try:
        return ImageCms.ImageCmsProfile(io.BytesIO(content))
    except (ImageCms.PyCMSError, OSError, SyntaxError, ValueError):
        raise InputError(
            "profile", f"{len(content)} bytes", "an ICC profile of a printer and its paper (.icc or .icm)"
        ) from None
