"""What a PDF says of its colours: the profile they are written in, as its output intent and for every page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.pdfbase import pdfdoc

from scumble.chart.profile import Profile

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

PROFILE_NAME = "ScumbleProfile"

DEVICE_SPACES = {"RGB": "DeviceRGB", "CMYK": "DeviceCMYK"}
DEFAULT_SPACES = {"RGB": "DefaultRGB", "CMYK": "DefaultCMYK"}


class Written(pdfdoc.PDFObject):  # type: ignore[misc]
    """A piece of a PDF that is written out already; reportlab's own way of writing one takes ten times as long.

    Parameters
    ----------
    code : str
        As it stands in the file.
    """

    def __init__(self, code: str) -> None:
        self.code = code.encode("latin-1")

    def format(self, _document: object) -> bytes:
        """The piece itself, as reportlab asks for it."""
        return self.code


def carry_profile(canvas: Canvas, profile: Profile) -> None:
    """Put a profile into the file, and name it as what the file is made for.

    Parameters
    ----------
    canvas : Canvas
        Of a file just begun.
    profile : Profile
        What its colours are written in.

    Notes
    -----
    *Source:* ISO 32000-1:2008, 14.11.5 (output intents) and 8.6.5.6 (default colour spaces); the subtype is that of
    ISO 19005-1:2005, 6.2.2, since the file is no exchange with a printing house.
    """
    stream = pdfdoc.PDFStream(content=profile.content, filters=[pdfdoc.PDFZCompress])
    stream.dictionary["N"] = profile.channels
    stream.dictionary["Alternate"] = pdfdoc.PDFName(DEVICE_SPACES[profile.space])
    document: Any = canvas._doc
    reference = document.Reference(stream, PROFILE_NAME)
    intent = pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("OutputIntent"),
            "S": pdfdoc.PDFName("GTS_PDFA1"),
            "OutputConditionIdentifier": pdfdoc.PDFString(profile.name),
            "Info": pdfdoc.PDFString(profile.name),
            "DestOutputProfile": reference,
        }
    )
    document.Catalog.__NoDefault__ = [*document.Catalog.__NoDefault__, "OutputIntents"]
    document.Catalog.OutputIntents = pdfdoc.PDFArray([intent])
    name = DEFAULT_SPACES[profile.space]
    document.Reference(pdfdoc.PDFArray([pdfdoc.PDFName("ICCBased"), reference]), name)


def use_profile(canvas: Canvas, profile: Profile) -> None:
    """Let the plain colours of a page be understood in the profile that the file carries."""
    name = DEFAULT_SPACES[profile.space]
    canvas._colorsUsed[name] = name
