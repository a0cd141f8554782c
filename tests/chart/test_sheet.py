"""Plain shapes on paper: the PDF is true to scale, its fonts are its own, and the SVG shows the same."""

import io
import xml.etree.ElementTree as ET

import numpy as np
import pypdf
import pypdfium2
import pytest

from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.pictogram import draw_bare, draw_drops, draw_stroke
from scumble.chart.sheet import BLACK, Line, Polygon, Rectangle, Sheet, Text, grey
from scumble.chart.sheet_pdf import draw_pdf
from scumble.chart.sheet_svg import draw_svg

RED = (0.8, 0.1, 0.2)
SQUARE = ((10.0, 30.0), (20.0, 30.0), (20.0, 40.0), (10.0, 40.0))
HOLE = ((12.0, 32.0), (18.0, 32.0), (18.0, 38.0), (12.0, 38.0))
PAGE = Sheet(
    60.0,
    50.0,
    (
        Rectangle(5.0, 10.0, 20.0, 10.0, fill=RED),
        Polygon((SQUARE, HOLE), fill=BLACK),
        Line(((30.0, 5.0), (30.0, 45.0)), BLACK, 1.0),
        Line(((40.0, 5.0), (40.0, 45.0)), BLACK, 1.0, dash_mm=(2.0, 2.0)),
        Text(45.0, 25.0, "Undertone & <masstone>", 3.0),
    ),
)
PX_PER_MM = 10.0


def raster(content, px_per_mm=PX_PER_MM):
    document = pypdfium2.PdfDocument(content)
    try:
        return document[0].render(scale=px_per_mm * 25.4 / 72).to_numpy()[..., 2::-1].astype(int)
    finally:
        document.close()


@pytest.fixture(scope="module")
def content():
    return draw_pdf([PAGE], title="A title", subject="A subject")


@pytest.fixture(scope="module")
def picture(content):
    return raster(content)


def at(picture, x_mm, y_mm):
    return picture[int(y_mm * PX_PER_MM), int(x_mm * PX_PER_MM)].tolist()


def test_a_millimetre_is_a_millimetre(picture):
    np.testing.assert_allclose(picture.shape[:2], (500, 600), atol=1)
    red = np.argwhere((picture[..., 0] > 150) & (picture[..., 1] < 100))
    np.testing.assert_allclose(red.min(axis=0) / PX_PER_MM, [10.0, 5.0], atol=0.1)
    np.testing.assert_allclose((red.max(axis=0) + 1) / PX_PER_MM, [20.0, 25.0], atol=0.1)


def test_colours_come_out_as_asked(picture):
    assert at(picture, 15, 15) == [round(255 * part) for part in RED]
    assert at(picture, 11, 31) == [0, 0, 0]


def test_a_ring_in_a_ring_is_a_hole(picture):
    assert at(picture, 15, 35) == [255, 255, 255]


def test_lines_are_as_wide_as_asked_and_dashes_have_gaps(picture):
    solid = picture[:, 250:350, 0] < 128
    assert solid[250].sum() == pytest.approx(10, abs=1)
    dashed = picture[50:450, 400, 0] < 128
    assert dashed.mean() == pytest.approx(0.5, abs=0.03)


def test_the_file_says_what_it_is_and_embeds_its_fonts(content):
    reader = pypdf.PdfReader(io.BytesIO(content))
    assert (reader.metadata.title, reader.metadata.subject) == ("A title", "A subject")
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    fonts = reader.pages[0]["/Resources"]["/Font"].values()
    descriptors = [font.get_object()["/FontDescriptor"] for font in fonts]
    assert descriptors
    assert all("/FontFile2" in descriptor for descriptor in descriptors)
    assert "Undertone & <masstone>" in reader.pages[0].extract_text()


def test_the_same_sheet_gives_the_same_bytes(content):
    assert draw_pdf([PAGE], title="A title", subject="A subject") == content


def test_several_sheets_are_several_pages():
    content = draw_pdf([PAGE, Sheet(20.0, 30.0, ())], title="Two")
    sizes = [page.mediabox[2:] for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    np.testing.assert_allclose(np.array(sizes, float) * 25.4 / 72, [[60, 50], [20, 30]], atol=0.01)


def test_svg_has_the_same_shapes_in_millimetres():
    root = ET.fromstring(draw_svg(PAGE, title="Shapes & words"))
    assert (root.get("width"), root.get("viewBox")) == ("60mm", "0 0 60 50")
    kinds = [child.tag.split("}")[1] for child in root]
    assert kinds == ["title", "rect", "path", "polyline", "polyline", "text"]
    assert root[0].text == "Shapes & words"
    assert root[1].get("fill") == "#cc1a33"
    assert root[2].get("fill-rule") == "evenodd"
    assert root[4].get("stroke-dasharray") == "2 2"
    assert root[5].text == "Undertone & <masstone>"
    assert float(root[5].get("textLength")) == pytest.approx(
        text_width_mm("Undertone & <masstone>", size_mm=3.0), abs=1e-3
    )


def test_an_unknown_shape_is_refused():
    with pytest.raises(TypeError, match="cannot draw"):
        draw_svg(Sheet(1.0, 1.0, ("a circle",)), title="")
    with pytest.raises(TypeError, match="cannot draw"):
        draw_pdf([Sheet(1.0, 1.0, ("a circle",))], title="")


def test_lines_break_where_they_no_longer_fit():
    words = "one even stroke from the first square to the last"
    lines = break_lines(words, width_mm=30.0, size_mm=3.0)
    assert " ".join(lines) == words
    assert all(text_width_mm(line, size_mm=3.0) <= 30.0 for line in lines)
    assert break_lines("transparency", width_mm=1.0, size_mm=3.0) == ("transparency",)


def test_bold_is_wider():
    assert text_width_mm("paint", size_mm=3.0, face="bold") > text_width_mm("paint", size_mm=3.0)


@pytest.mark.parametrize("white", [1, 4, 19])
def test_drops_are_counted(white):
    drops = draw_drops(0.0, 0.0, 16.0, white=white)
    assert sum(drop.fill is None for drop in drops) == white
    assert sum(drop.fill is not None for drop in drops) == 1


@pytest.mark.parametrize(
    "shapes",
    [
        draw_drops(2.0, 3.0, 16.0, white=4),
        draw_stroke(2.0, 3.0, 16.0, strength=1.0),
        draw_stroke(2.0, 3.0, 16.0, strength=0.1),
        draw_bare(2.0, 3.0, 16.0),
    ],
)
def test_pictograms_stay_in_their_square_and_are_grey(shapes):
    picture = raster(draw_pdf([Sheet(30.0, 30.0, shapes)], title=""))
    inked = np.argwhere(picture.min(axis=-1) < 250) / PX_PER_MM
    assert inked.min(axis=0) == pytest.approx([3.0, 2.0], abs=4.0)
    assert (inked.min(axis=0) >= [2.8, 1.8]).all()
    assert (inked.max(axis=0) <= [19.2, 18.2]).all()
    assert np.ptp(picture, axis=-1).max() <= 1


def test_a_thinner_stroke_is_drawn_paler_and_thinner():
    full, thin = (draw_stroke(0.0, 0.0, 16.0, strength=strength) for strength in (1.0, 0.1))
    assert thin[0].fill > full[0].fill
    assert thin[1].height_mm < full[1].height_mm


def test_grey_is_neutral():
    assert grey(0.5) == (0.5, 0.5, 0.5)
