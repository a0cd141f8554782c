"""The printed card: true to scale, tags where the map says, flat colours, everything in words."""

import io

import cv2
import numpy as np
import pypdf
import pypdfium2
import pytest

from scumble.card.sheet.geometry import LAYOUTS, card_geometry, cards_on, pages_of
from scumble.card.sheet.layouts import GROUNDS
from scumble.card.sheet.serial import CardCode, new_serial, read_code
from scumble.card.sheet.tone_steps import FINE_MM
from scumble.card.sheet.words import CAUTIONS, FIELDS, HEADINGS, INSTRUCTIONS, caption
from scumble.errors import InputError
from scumble.jobs.cards.print_card import card_map, picture_card, print_card

PX_PER_MM = 8.0
SERIALS = [new_serial(2026), new_serial(31)]
EVERY = [(layout, page) for layout in LAYOUTS for page in pages_of(layout)]


@pytest.fixture(scope="module", params=EVERY, ids=["-".join(each) for each in EVERY])
def printed(request):
    layout, page = request.param
    content = print_card(layout=layout, page=page, serials=SERIALS[:1])
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
    left = round((ruler.x_mm - 2) * PX_PER_MM)
    dark = np.flatnonzero(row[left : left + round(103 * PX_PER_MM)])
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


def test_the_code_is_read_and_says_which_card_this_is(printed):
    geometry, _, picture = printed
    assert read_code(picture[..., 1]) == CardCode(geometry.layout, SERIALS[0])


def test_tone_steps_are_as_black_as_they_say(printed):
    """Means over whole squares at eight points a millimetre: black over white by the drawn share."""
    geometry, content, _ = printed
    document = pypdfium2.PdfDocument(content)
    try:
        # Eight points a fine square, so that edges fall between points.
        scale = 8 / FINE_MM
        picture = document[0].render(scale=scale * 25.4 / 72, grayscale=True).to_numpy()
    finally:
        document.close()
    for step in geometry.steps:
        top, left = round(step.box.y_mm * scale) + 16, round(step.box.x_mm * scale) + 16
        inside = picture[top : top + 256, left : left + 256]
        assert 1 - inside.mean() / 255 == pytest.approx(step.black_share, abs=0.012), step.name


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
    expected += [*FIELDS, *INSTRUCTIONS[geometry.layout], CAUTIONS[geometry.layout], "100 mm"]
    assert not [each for each in expected if each not in words]


def test_words_stay_on_the_card(printed):
    geometry, _, picture = printed
    inked = np.argwhere(picture.min(axis=-1) < 200) / PX_PER_MM
    block = geometry.block
    on_card = inked[inked[:, 0] < block.y_mm + block.height_mm + 3]
    assert on_card[:, 1].min() >= block.x_mm - 6.0
    assert on_card[:, 1].max() <= block.x_mm + block.width_mm + 0.2


def test_the_same_card_is_printed_every_time():
    first, second = (print_card(layout="quick", serials=SERIALS) for _ in range(2))
    assert first == second
    assert print_card(layout="quick") != print_card(layout="quick")


def test_the_picture_for_the_screen_shows_the_same_areas():
    picture = picture_card(layout="quick")
    assert picture.count("<text") > 20
    for word in ("Leave bare", "thin on yellow", "#ffeb00"):
        assert word in picture


@pytest.mark.parametrize("ask", [print_card, card_map, picture_card])
def test_unknown_cards_are_named(ask):
    with pytest.raises(InputError, match="layout: saw 'tall'; allowed is full, quick or white"):
        ask(layout="tall")
    with pytest.raises(InputError, match="page: saw 'A0'; allowed is A4 or Letter"):
        ask(page="A0")


def test_half_cards_come_in_pairs_each_with_its_own_serial():
    document = pypdfium2.PdfDocument(print_card(layout="quick", count=3, serials=SERIALS))
    try:
        assert len(document) == 2
        picture = document[0].render(scale=PX_PER_MM * 25.4 / 72).to_numpy()[..., 1]
    finally:
        document.close()
    middle = picture.shape[0] // 2
    halves = (picture[:middle], picture[middle:])
    assert [read_code(half) for half in halves] == [CardCode("quick", serial) for serial in SERIALS]
    assert cards_on("quick", "A4") == 2


def test_serials_and_counts_are_checked():
    with pytest.raises(InputError, match="serial: saw '03NQ-K8NH'; allowed is the eight characters"):
        print_card(serials=["03NQ-K8NH"])
    with pytest.raises(InputError, match="count: saw '0'; allowed is 1 to 200 cards"):
        print_card(count=0)
