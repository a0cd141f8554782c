"""What each route leaves in doubt: a scan is told from a photograph, and what a file says counts."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from scumble.card.find.fiducials import FoundTag
from scumble.card.find.placement import place_card
from scumble.card.light.lighting import read_lighting
from scumble.card.light.route_doubt import KNOWN_SPACE, SCAN, SCAN_EVEN, UNKNOWN_CAMERA, is_scan, usual_doubt
from scumble.card.picture.points import PROFILE_DOUBT, Picture
from scumble.card.picture.profile import Encoding, srgb_encoding
from scumble.card.sheet.geometry import card_geometry

LINEAR = Encoding("linear", np.tile(np.linspace(0, 1, 65536), (3, 1)), srgb_encoding().rgb_to_xyz)


def card(*, lean=0.0, fall=0.0):
    """A bare card of 4 points a millimetre that leans away at its top, in light that falls off to the right."""
    tags = []
    for fiducial in card_geometry("full").fiducials:
        corners = np.array(fiducial.box.corners_mm)
        away = 1.0 + lean * (1.0 - corners[:, 1:] / 297.0)
        tags.append(FoundTag(fiducial.number, 4.0 * (corners - [105.0, 148.5]) / away + [420.0, 594.0]))
    light = np.broadcast_to(0.8 - fall * np.linspace(0.0, 0.8, 840)[:, None], (1188, 840, 3))
    picture = Picture(np.rint(65535 * light).astype(np.uint16), LINEAR, ())
    placement = place_card(tags, size_px=picture.size_px)
    return picture, placement, read_lighting(picture, placement)


@pytest.mark.parametrize(
    ("lean", "fall", "expected"),
    [(0.0, 0.0, SCAN), (0.0, 0.03, SCAN), (0.0, 0.2, KNOWN_SPACE), (0.05, 0.0, KNOWN_SPACE)],
)
def test_flat_and_evenly_lit_is_a_scan(lean, fall, expected):
    picture, placement, lighting = card(lean=lean, fall=fall)
    assert usual_doubt(picture, placement, lighting) == expected
    assert is_scan(placement, lighting) == (expected is SCAN)


def test_without_a_word_in_the_file_even_a_scan_is_doubted():
    picture, placement, lighting = card()
    assert usual_doubt(replace(picture, notes=("No profile.",)), placement, lighting) == UNKNOWN_CAMERA


def test_who_says_more_is_doubted_less():
    assert SCAN_EVEN < 1.1
    order = [PROFILE_DOUBT, SCAN, KNOWN_SPACE]
    for less, more in pairwise(order):
        assert (less.sensor, less.tone) <= (more.sensor, more.tone)
    assert KNOWN_SPACE.tone < UNKNOWN_CAMERA.tone
    assert KNOWN_SPACE.chroma < UNKNOWN_CAMERA.chroma
