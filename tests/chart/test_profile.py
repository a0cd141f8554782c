"""Profiles of printers: read, refused, and what is written into the file through them."""

from __future__ import annotations

import io

import numpy as np
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.chart.profiles import four_ink_profile, muted_profile
from tests.jobs.printed import colour_at, render

from scumble.chart.box import Box
from scumble.chart.profile import printed_colours, read_profile, sent_colours, srgb_profile
from scumble.chart.sheet import Sheet, Text, Wash
from scumble.chart.sheet_pdf import draw_pdf
from scumble.errors import InputError, ScumbleError

PLAIN = ((0.0, 0.0, 0.0), (1.0, 1.0, 1.0), (0.5, 0.5, 0.5), (0.9, 0.1, 0.1), (0.2, 0.6, 0.9))


def sheet() -> Sheet:
    swatches = [Box(10.0 + 20.0 * at, 10.0, 18.0, 18.0).drawn(fill=colour) for at, colour in enumerate(PLAIN)]
    ring = ((10.0, 40.0), (110.0, 40.0), (110.0, 60.0), (10.0, 60.0))
    wash = Wash((ring,), (10.0, 40.0), (110.0, 40.0), ((0.0, PLAIN[3]), (0.4, PLAIN[2]), (1.0, PLAIN[4])))
    return Sheet(120.0, 90.0, (*swatches, wash, Text(10.0, 80.0, "words in grey", fill=(0.35, 0.35, 0.35))))


def intent_of(content: bytes) -> tuple[str, bytes]:
    (intent,) = pypdf.PdfReader(io.BytesIO(content)).trailer["/Root"]["/OutputIntents"]
    own = intent.get_object()
    assert own["/S"] == "/GTS_PDFA1"
    return own["/OutputConditionIdentifier"], own["/DestOutputProfile"].get_object().get_data()


def test_a_file_says_that_its_colours_are_srgb_and_carries_the_profile() -> None:
    content = draw_pdf([sheet()], title="x")
    name, profile = intent_of(content)
    assert name == "sRGB IEC61966-2.1" and profile == srgb_profile().content
    page = pypdf.PdfReader(io.BytesIO(content)).pages[0]
    assert page["/Resources"]["/ColorSpace"]["/DefaultRGB"].get_object()[0] == "/ICCBased"
    assert content == draw_pdf([sheet()], title="x")


def test_colours_of_a_plain_file_are_the_ones_asked_for() -> None:
    picture = render(draw_pdf([sheet()], title="x"))
    for at, colour in enumerate(PLAIN):
        np.testing.assert_allclose(colour_at(picture, 19.0 + 20.0 * at, 19.0), colour, atol=1.01 / 255)
    np.testing.assert_allclose(colour_at(picture, 30.0, 50.0), np.mean(PLAIN[2:4], axis=0), atol=3 / 255)


def test_srgb_goes_through_its_own_profile_unchanged() -> None:
    own = read_profile(srgb_profile().content, intent="absolute")
    np.testing.assert_allclose(sent_colours(own, PLAIN), PLAIN, atol=1.01 / 255)


@pytest.mark.parametrize("intent", ["perceptual", "relative", "saturation", "absolute"])
def test_four_inks_are_written_as_four_inks(intent: str) -> None:
    profile = read_profile(four_ink_profile(), intent=intent)
    assert (profile.space, profile.name, profile.channels) == ("CMYK", "Invented press of four inks", 4)
    content = draw_pdf([sheet()], title="x", profile=profile)
    name, carried = intent_of(content)
    assert name == profile.name and carried == profile.content
    code = pypdf.PdfReader(io.BytesIO(content)).pages[0].get_contents().get_data().decode("latin-1")
    assert " rg" not in code and " RG" not in code
    assert "0 0 0 0.65 k" in code, "grey words are black ink alone"
    for sent in sent_colours(profile, PLAIN):
        written = " ".join(f"{part:.4f}".rstrip("0").rstrip(".") or "0" for part in sent)
        assert f"{written} k" in code


def test_red_asks_for_magenta_and_yellow_ink_and_white_for_none() -> None:
    profile = read_profile(four_ink_profile())
    red, white = sent_colours(profile, [(0.9, 0.1, 0.1), (1.0, 1.0, 1.0)])
    assert red[0] < 0.2 and red[1] > 0.7 and red[2] > 0.6
    assert max(white) < 0.03


def test_a_muted_printer_reaches_greys_but_no_full_colour() -> None:
    profile = read_profile(muted_profile())
    back = printed_colours(profile, PLAIN)
    np.testing.assert_allclose(back[2], PLAIN[2], atol=4 / 255)
    assert np.abs(np.subtract(back[3], PLAIN[3])).max() > 0.2


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "profile: saw '0 bytes'; allowed is an ICC profile of a printer and its paper"),
        (b"%PDF-1.7" + bytes(400), "allowed is an ICC profile of a printer"),
        (bytes(36) + b"acsp" + bytes(400), "allowed is one to print or show through, in RGB or CMYK"),
        (bytes(8_000_001), "at most 8 MB"),
        (srgb_profile().content[:200], "allowed is an ICC profile of a printer"),
        (srgb_profile().content.replace(b"RGB XYZ", b"GRAYXYZ"), "GRAY"),
        (srgb_profile().content.replace(b"mntrRGB", b"scnrRGB"), "a 'scnr' profile in 'RGB'"),
    ],
    ids=lambda given: "" if isinstance(given, bytes) else given[:30],
)
def test_what_is_no_profile_to_print_through_is_said(content: bytes, said: str) -> None:
    with pytest.raises(InputError, match=said.replace("(", r"\(").replace(")", r"\)")):
        read_profile(content)


@given(st.data())
def test_a_damaged_profile_is_read_or_refused_but_never_breaks(data: st.DataObject) -> None:
    whole = bytearray(data.draw(st.sampled_from([muted_profile(), srgb_profile().content])))
    for _ in range(data.draw(st.integers(1, 12))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    try:
        profile = read_profile(bytes(whole[: data.draw(st.integers(0, len(whole)))]))
    except ScumbleError:
        return
    assert all(0.0 <= part <= 1.0 for sent in sent_colours(profile, PLAIN) for part in sent)
