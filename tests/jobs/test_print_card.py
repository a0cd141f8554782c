"""The printed card: true to scale, tags where the map says, flat colours, everything in words."""

import io

import cv2
import numpy as np
import pypdf
import pypdfium2
import pytest

from scumble.card.geometry import LAYOUTS, card_geometry
from scumble.card.layouts import GROUNDS, PAGES_MM
from scumble.card.words import CAUTION, FIELDS, HEADINGS, INSTRUCTIONS, caption
from scumble.errors import InputError
from scumble.jobs.print_card import card_map, picture_card, print_card

PX_PER_MM = 8.0
EVERY = [(layout, page) for layout in LAYOUTS for page in PAGES_MM]


@pytest.fixture(scope="module", params=EVERY, ids=["-".join(each) for each in EVERY])
def printed(request):
    layout, page = request.param
    content = print_card(layout=layout, page=page)
    document = pypdfium2.PdfDocument(content)
    try:
        assert len(document) == 1
        picture = document[0].render(scale=PX_PER_MM * 25.4 / 72).to_numpy()[..., 2::-1]
    finally:
        document.close()
    return card_geometry(layout, page), content, np.ascontiguousarray(picture)


def window(box, inset_mm=0.5):
    inner = box.shrunk(inset_mm)
    (left, top), _, (right, bottom), _ = inner.corners_mm
    return slice(round(top * PX_PER_MM), round(bottom * PX_PER_MM)), slice(
        round(left * PX_PER_MM), round(right * PX_PER_MM)
    )


def test_the_page_has_its_size(printed):
    geometry, content, _ = printed
    size = np.array(pypdf.PdfReader(io.BytesIO(content)).pages[0].mediabox[2:], float) * 25.4 / 72
    np.testing.assert_allclose(size, geometry.page_mm, atol=0.01)


def test_the_ruler_is_100_millimetres(printed):
    geometry, _, picture = printed
    ruler = geometry.ruler
    base = round((ruler.y_mm + ruler.height_mm - 2.0) * PX_PER_MM)
    row = picture[base - 2 : base + 3, :, 0].min(axis=0) < 128
    left = round((ruler.x_mm - 5) * PX_PER_MM)
    dark = np.flatnonzero(row[left : left + round(106 * PX_PER_MM)])
    assert np.ptp(dark) / PX_PER_MM == pytest.approx(100.0, abs=0.3)


def test_tags_are_found_where_the_map_says(printed):
    geometry, _, picture = printed
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11))
    squares, numbers, _ = detector.detectMarkers(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
    expected = {
        each["id"]: each["corners_mm"]
        for each in card_map(layout=geometry.layout, page=geometry.page)["fiducials"]
    }
    assert sorted(numbers.ravel().tolist()) == sorted(expected)
    for number, square in zip(numbers.ravel().tolist(), squares, strict=True):
        np.testing.assert_allclose((square[0] + 0.5) / PX_PER_MM, expected[number], atol=0.3)


def test_areas_are_flat_and_of_the_colour_the_map_says(printed):
    geometry, _, picture = printed
    for area in geometry.areas:
        inside = picture[window(area.box)].reshape(-1, 3)
        colour = GROUNDS[area.ground] or (1.0, 1.0, 1.0)
        assert np.ptp(inside, axis=0).max() == 0
        np.testing.assert_allclose(inside[0] / 255, colour, atol=0.5 / 255 + 1e-9)


def test_paper_that_shows_the_light_is_not_printed_on(printed):
    geometry, _, picture = printed
    for box in geometry.bare_paper:
        assert picture[window(box, inset_mm=0.0)].min() == 255


def test_only_areas_have_colour(printed):
    """Words, pictures and marks are grey, so that they never tint what is read."""
    geometry, _, picture = printed
    grey = picture.astype(int)
    for area in geometry.areas:
        grey[window(area.box, inset_mm=-0.3)] = 255
    assert np.ptp(grey, axis=-1).max() <= 2


def test_everything_is_said_in_words(printed):
    geometry, content, _ = printed
    words = " ".join(pypdf.PdfReader(io.BytesIO(content)).pages[0].extract_text().split())
    expected = [caption(area.film, area.ground) for area in geometry.areas]
    expected += [heading for strip in geometry.strips for heading in [HEADINGS[strip.name].name]]
    expected += [*FIELDS, *INSTRUCTIONS[geometry.layout], CAUTION, "100 mm"]
    assert not [each for each in expected if each not in words]


def test_words_stay_on_the_card(printed):
    geometry, _, picture = printed
    inked = np.argwhere(picture.min(axis=-1) < 200) / PX_PER_MM
    block = geometry.block
    on_card = inked[inked[:, 0] < block.y_mm + block.height_mm + 3]
    assert on_card[:, 1].min() >= block.x_mm - 6.0
    assert on_card[:, 1].max() <= block.x_mm + block.width_mm + 0.2


def test_the_same_card_is_printed_every_time():
    assert print_card(layout="quick") == print_card(layout="quick")


def test_the_picture_for_the_screen_shows_the_same_areas():
    picture = picture_card(layout="quick")
    assert picture.count("<text") > 20
    for word in ("Leave bare", "thin on yellow", "#ffeb00"):
        assert word in picture


@pytest.mark.parametrize("ask", [print_card, card_map, picture_card])
def test_unknown_cards_are_named(ask):
    with pytest.raises(InputError, match="layout: saw 'tall'; allowed is full or quick"):
        ask(layout="tall")
    with pytest.raises(InputError, match="page: saw 'A0'; allowed is A4 or Letter"):
        ask(page="A0")
