"""Every kind of chart: its page, its fonts, nothing beyond it, the same bytes, the colours that were predicted."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.chart.profiles import four_ink_profile, muted_profile
from tests.jobs.printed import (
    PX_PER_MM,
    bounds,
    colour_at,
    dark_run_mm,
    fonts_embedded,
    page_sizes_mm,
    render,
    words_of,
)
from tests.jobs.shelves import illustrative_shelf

from scumble.chart.frame import SHOWS_RELATIONS, Frame
from scumble.chart.page import Page
from scumble.chart.profile import srgb_profile
from scumble.errors import InputError
from scumble.jobs.charts.kinds import ChartRequest, print_kind, print_to_file
from scumble.jobs.charts.order import choose_strips
from scumble.jobs.charts.print_chart import chart_pdf, chart_svg
from scumble.jobs.charts.wall import hang_paints
from scumble.jobs.grounds import chart_ground
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.paint import Binder, Film, Layering, predict_look
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import Shelf, open_shelf
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts

WHITE = "titanium-white"
TRIO = ("arylide-yellow-medium", "quinacridone-rose", "phthalo-blue-green-shade")
FOUR = (*TRIO, "burnt-sienna")

REQUESTS = {
    "wall": ChartRequest("wall", page="A3-landscape"),
    "wall-blank": ChartRequest("wall", page="A4", find="yellow", blank=True),
    "wall-small": ChartRequest("wall", page="A5-landscape", order="opacity", find="blue"),
    "handout": ChartRequest("handout", ("cobalt-blue",)),
    "handout-a5": ChartRequest("handout", ("quinacridone-gold",), page="A5"),
    "handout-white": ChartRequest("handout", (WHITE,), page="Letter"),
    "handout-blank": ChartRequest("handout", ("cobalt-blue",), blank=True),
    "mix": ChartRequest("mix", FOUR),
    "mix-blank": ChartRequest("mix", FOUR, parts="2:1", blank=True),
    "mix-thin": ChartRequest("mix", FOUR[:2], ladder="2:8", coats=0.5),
    "mix-plain": ChartRequest("mix", FOUR[:2], ladder="none"),
    "glaze": ChartRequest("glaze", FOUR, over="white,blue,black,cadmium-red", coats=0.15),
    "glaze-blank": ChartRequest("glaze", FOUR, blank=True),
    "triangle": ChartRequest("triangle", TRIO, steps=4),
    "triangle-blank": ChartRequest("triangle", TRIO, steps=7, blank=True, page="A3"),
    "compare": ChartRequest("compare", ("cadmium-red", "pyrrole-red")),
    "labels": ChartRequest("labels", labels="70x37", start=4, find="red"),
}


@pytest.fixture(scope="module")
def shelf_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return illustrative_shelf(tmp_path_factory.mktemp("shelf") / "shelf.sqlite")


@pytest.fixture(scope="module")
def shelf(shelf_path: Path) -> Iterator[Shelf]:
    with open_shelf(shelf_path) as opened:
        yield opened


@pytest.fixture(scope="module")
def charts(shelf: Shelf):
    return {name: print_kind(shelf, request) for name, request in REQUESTS.items()}


@pytest.fixture(scope="module")
def files(charts):
    return {name: chart_pdf(chart) for name, chart in charts.items()}


@pytest.mark.parametrize("name", REQUESTS)
def test_pages_have_their_size_and_fonts_are_embedded(charts, files, name: str) -> None:
    chart = charts[name]
    sizes = page_sizes_mm(files[name])
    assert len(sizes) == len(chart.sheets) == chart.as_data()["pages"]
    np.testing.assert_allclose(sizes, [chart.as_data()["page_mm"]] * len(sizes), atol=0.01)
    embedded = fonts_embedded(files[name])
    assert embedded and all(embedded)


@pytest.mark.parametrize("name", REQUESTS)
def test_nothing_is_drawn_beyond_the_page_or_into_its_margin(charts, name: str) -> None:
    chart = charts[name]
    quiet = 0.5 if name == "labels" else Frame(chart.page, "x", "").margin_mm - 1.0
    for sheet in chart.sheets:
        left, right, top, bottom = bounds(sheet)
        assert left >= quiet and top >= quiet
        assert right <= sheet.width_mm - quiet and bottom <= sheet.height_mm - quiet


@pytest.mark.parametrize("name", ["wall-small", "handout", "glaze"])
def test_the_same_shelf_gives_the_same_bytes(shelf: Shelf, files, name: str) -> None:
    assert chart_pdf(print_kind(shelf, REQUESTS[name])) == files[name]


@pytest.mark.parametrize("name", [name for name in REQUESTS if name != "labels"])
def test_every_chart_says_what_a_print_can_show_and_has_a_ruler_of_50_mm(charts, files, name: str) -> None:
    said = " ".join(words_of(files[name]).split())
    assert SHOWS_RELATIONS in said
    page = charts[name].page
    frame = Frame(page, "x", "")
    picture = render(files[name])
    base = page.height_mm - frame.margin_mm
    length = dark_run_mm(picture, base, frame.margin_mm - 3.0, frame.margin_mm + 51.0)
    assert length == pytest.approx(50.0, abs=0.4)


@pytest.mark.parametrize("name", ["mix", "glaze", "handout", "compare"])
def test_printed_swatches_are_the_colours_that_were_told(charts, files, name: str) -> None:
    picture = render(files[name])
    told = charts[name].told.get("squares") or charts[name].told["swatches"]
    assert len(told) >= 12
    for swatch in told:
        x, y, width, height = swatch["box_mm"]
        seen = colour_at(picture, x + width / 2, y + height / 2)
        np.testing.assert_allclose(seen, swatch["srgb"], atol=1.01 / 255)


def test_triangle_swatches_are_the_colours_that_were_told(charts, files) -> None:
    picture = render(files["triangle"])
    told = charts["triangle"].told
    assert len(told["swatches"]) == 15
    for swatch in told["swatches"]:
        x, y = swatch["centre_mm"]
        # Beside the words in the middle.
        seen = colour_at(picture, x, y - 0.5 * told["radius_mm"])
        np.testing.assert_allclose(seen, swatch["srgb"], atol=1.01 / 255)
        assert sum(swatch["parts"].values()) == 4


def test_mixtures_are_predicted_as_the_film_of_their_parts(shelf: Shelf, charts) -> None:
    told = charts["mix"].told["squares"]
    assert len(told) == 4 * 4 * 4
    for square in told[::3]:
        parts = {key: amount / sum(square["parts"].values()) for key, amount in square["parts"].items()}
        stirred = [(shelf.load_paint(key), amount) for key, amount in parts.items()]
        if square["white_parts"]:
            stirred.append((shelf.load_paint(WHITE), square["white_parts"]))
        look = predict_look(Layering(chart_ground("white"), (Film(tuple(stirred), 1.0),)))
        np.testing.assert_allclose(square["srgb"], look.srgb, atol=6e-4)
        assert square["beyond_screen"] is not look.in_gamut


def test_ladder_and_coats_of_a_grid_are_those_asked_for(shelf: Shelf, charts) -> None:
    told = charts["mix-thin"].told["squares"]
    assert sorted({square["white_parts"] for square in told}) == [0.0, 2.0, 8.0]
    for square in told:
        total = sum(square["parts"].values())
        stirred = [(shelf.load_paint(key), amount / total) for key, amount in square["parts"].items()]
        if square["white_parts"]:
            stirred.append((shelf.load_paint(WHITE), square["white_parts"]))
        look = predict_look(Layering(chart_ground("white"), (Film(tuple(stirred), 0.5),)))
        np.testing.assert_allclose(square["srgb"], look.srgb, atol=6e-4)
    assert {square["white_parts"] for square in charts["mix-plain"].told["squares"]} == {0.0}


def test_a_triangle_can_be_laid_thin(shelf: Shelf) -> None:
    told = print_kind(shelf, ChartRequest("triangle", TRIO, steps=2, coats=0.2)).told
    for swatch in told["swatches"]:
        parts = tuple((shelf.load_paint(key), float(amount)) for key, amount in swatch["parts"].items())
        look = predict_look(Layering(chart_ground("white"), (Film(parts, 0.2),)))
        np.testing.assert_allclose(swatch["srgb"], look.srgb, atol=6e-4)


def test_a_blank_wall_has_grounds_and_amounts_but_no_paint(charts, files) -> None:
    said = words_of(files["wall-blank"])
    assert "1 : 49" in said and "Measure the steps out by volume" in " ".join(said.split())
    told = charts["wall-blank"].told["paints"]
    assert len(told) >= 3 and not any(paint["beyond_screen"] for paint in told)
    x, y, width, _ = told[0]["box_mm"]
    picture = render(files["wall-blank"])
    scale = 2.6
    while 22.0 * scale > width:
        scale -= 0.02
    left = x + (width - 22.0 * scale) / 2
    # Between the bar and the stripes the place of the stroke is as bare as the paper beside it.
    inside, beside = (colour_at(picture, left + across * scale, y + 14.0 * scale) for across in (7.0, 14.2))
    np.testing.assert_allclose(inside, beside, atol=1e-9)
    assert colour_at(picture, left + 7.0 * scale, y + 7.0 * scale).max() < 0.3, "the bar"


def test_glazes_are_predicted_as_layerings(shelf: Shelf, charts) -> None:
    told = charts["glaze"].told["squares"]
    assert len(told) == 4 * 4 * 2
    for square in told:
        glaze = Film(((shelf.load_paint(square["paint"]), 1.0),), 0.15 * square["glazes"])
        if square["over"] == "cadmium-red":
            dry = Film(((shelf.load_paint("cadmium-red"), 1.0),), 1.0)
            layering = Layering(chart_ground("white"), (dry, glaze))
        else:
            layering = Layering(chart_ground(square["over"]), (glaze,))
        np.testing.assert_allclose(square["srgb"], predict_look(layering).srgb, atol=1.5e-3)


def test_triangle_mixtures_are_predicted_as_films(shelf: Shelf, charts) -> None:
    for swatch in charts["triangle"].told["swatches"]:
        parts = tuple((shelf.load_paint(key), float(amount)) for key, amount in swatch["parts"].items())
        look = predict_look(Layering(chart_ground("white"), (Film(parts, 1.0),)))
        np.testing.assert_allclose(swatch["srgb"], look.srgb, atol=6e-4)


def test_handout_films_are_predicted_as_layerings(shelf: Shelf, charts) -> None:
    paint = shelf.load_paint("cobalt-blue")
    told = charts["handout"].told["swatches"]
    assert [swatch["over"] for swatch in told[::2]] == ["white", "yellow", "red", "green", "blue", "black"]
    for swatch in told:
        film = Film(((paint, 1.0),), swatch["coats"])
        look = predict_look(Layering(chart_ground(swatch["over"]), (film,)))
        np.testing.assert_allclose(swatch["srgb"], look.srgb, atol=6e-4)


@pytest.mark.parametrize("name", ["mix-blank", "glaze-blank", "triangle-blank"])
def test_blank_charts_show_no_paint_but_say_amounts(charts, files, name: str) -> None:
    told = charts[name].told
    assert told["blank"] is True
    assert {swatch["srgb"] for swatch in told.get("squares") or told["swatches"]} == {None}
    said = words_of(files[name])
    expected = {"mix-blank": "2 : 1", "glaze-blank": "2 ×", "triangle-blank": "5 : 1 : 1"}[name]
    assert expected in said
    picture = render(files[name]).astype(float)
    coloured = np.ptp(picture, axis=-1) > 12
    if name == "glaze-blank":
        assert coloured.any(), "the grounds are printed"
    else:
        assert not coloured.any()


def test_a_blank_handout_keeps_its_printed_grounds(charts, files) -> None:
    picture = render(files["handout-blank"])
    x, y, width, height = charts["handout-blank"].told["strip_mm"]
    assert colour_at(picture, x + 0.3, y + 0.6 * height).max() < 0.3, "the bar"
    assert colour_at(picture, x + width / 2, y + 0.3 * height).min() == 1.0, "bare paper"
    assert "What I see" in words_of(files["handout-blank"])


def test_handout_says_how_it_behaves_and_defers_to_the_data_sheet(files) -> None:
    said = " ".join(words_of(files["handout"]).split())
    for words in (
        "How it behaves",
        "contrast ratio",
        "Holds cobalt",
        "safety data sheet",
        "local rules",
        "PB28",
    ):
        assert words in said


def test_wall_chart_shows_every_paint_once_on_bars_that_join(charts, files) -> None:
    chart = charts["wall"]
    told = chart.told["paints"]
    assert len({paint["key"] for paint in told}) == len(told) >= 50
    said = " ".join(" ".join(words_of(files["wall"], page).split()) for page in range(len(chart.sheets)))
    for paint in told[:10]:
        assert paint["label"].split()[0] in said
    picture = render(files["wall"])
    first, second = told[0]["box_mm"], told[1]["box_mm"]
    edge, scale = second[0], first[2] / 22.0
    assert colour_at(picture, edge, first[1] + 7.5 * scale).max() < 0.3
    assert colour_at(picture, edge, first[1] + 2.0 * scale).min() > 0.85


def test_wall_chart_is_hung_in_the_order_asked_for(shelf: Shelf, charts) -> None:
    marks = [paint["mark"] for paint in charts["wall-small"].told["paints"]]
    order = ["transparent", "semi-transparent", "semi-opaque", "opaque"]
    assert marks == sorted(marks, key=order.index)
    names = [
        paint["label"]
        for paint in print_kind(shelf, ChartRequest("wall", order="name", find="yellow")).told["paints"]
    ]
    assert names == sorted(names, key=str.casefold)


@pytest.mark.parametrize("order", ["hue", "opacity", "strength", "name"])
def test_a_chart_hangs_paints_as_the_shelf_does(shelf: Shelf, order: str) -> None:
    hung = show_shelf(shelf, order=order).strips
    chosen = choose_strips(shelf, order=order, find="")
    assert [strip.key for strip in chosen] == [strip.key for strip in hung]
    assert [strip.mark for strip in chosen] == [strip.mark for strip in hung]
    found = choose_strips(shelf, order=order, find="blue", keys=("cobalt-blue", "raw-umber"))
    assert [strip.key for strip in found] == ["cobalt-blue"]


def test_wall_chart_marks_what_is_beyond_the_screen(charts) -> None:
    beyond = {paint["key"]: paint["beyond_screen"] for paint in charts["wall"].told["paints"]}
    assert beyond["phthalo-blue-green-shade"] and not beyond["titanium-white"] and not beyond["raw-umber"]


def test_masstone_on_the_wall_is_the_predicted_one(shelf: Shelf, charts, files) -> None:
    """A cadmium hides its ridges, so the drawn film has one colour where it is a full coat."""
    place = next(paint for paint in charts["wall"].told["paints"] if paint["key"] == "cadmium-red")
    x, y, width, _ = place["box_mm"]
    scale = charts["wall"].told["paints"][0]["box_mm"][2] / 22.0
    picture = render(files["wall"], place["page"] - 1)
    left = x + (width - 22.0 * scale) / 2
    film = Film(((shelf.load_paint("cadmium-red"), 1.0),), 1.0)
    look = predict_look(Layering(chart_ground("white"), (film,)))
    np.testing.assert_allclose(
        colour_at(picture, left + 7.0 * scale, y + 3.5 * scale), look.srgb, atol=6.0 / 255
    )


def test_labels_lie_where_the_sheet_has_them_and_used_up_places_stay_empty(charts, files) -> None:
    told = charts["labels"].told
    assert told["per_page"] == 24 and told["start"] == 4
    boxes = [paint["box_mm"] for paint in told["paints"]]
    assert boxes[0] == [0.0, 37.5, 70.0, 37.0]
    assert boxes[1] == [70.0, 37.5, 70.0, 37.0]
    picture = render(files["labels"])
    top = round(37.5 * PX_PER_MM)
    assert picture[:top].min() == 255
    assert picture[top:].min() < 80


def test_comparison_says_in_words_what_differs(charts) -> None:
    said = charts["compare"].told["sentences"]
    assert any(re.search(r"(Cadmium red|They).*cover", sentence) for sentence in said)
    assert len(said) >= 7
    assert "Nothing on the shelf says which lasts better in light" in said[-1]


def test_svg_has_the_size_of_the_page_and_the_same_shapes(charts) -> None:
    drawn = ET.fromstring(chart_svg(charts["wall-small"], number=2))
    assert (drawn.get("width"), drawn.get("height"), drawn.get("viewBox")) == (
        "210mm",
        "148mm",
        "0 0 210 148",
    )
    texts = [node.text for node in drawn.iter("{http://www.w3.org/2000/svg}text")]
    assert f"2 of {len(charts['wall-small'].sheets)}" in texts
    with pytest.raises(InputError, match="number: saw '9'; allowed is a page from 1 to"):
        chart_svg(charts["wall-small"], number=9)


def test_files_are_written_and_told(shelf_path: Path, tmp_path: Path) -> None:
    request = ChartRequest("wall", page="A5", find="blue")
    told = print_to_file(request, shelf_path, tmp_path / "blues.svg")
    assert told["pages"] == len(told["files"]) >= 1
    assert all(Path(file).read_text().startswith("<svg") for file in told["files"])
    if told["pages"] > 1:
        assert told["files"][0].endswith("blues-1.svg")
    told = print_to_file(ChartRequest("triangle", TRIO), shelf_path, tmp_path / "three.pdf")
    assert Path(told["files"][0]).read_bytes().startswith(b"%PDF")


def test_progress_is_told_from_nothing_to_nearly_all(shelf_path: Path, tmp_path: Path) -> None:
    heard: list[float] = []
    print_to_file(
        ChartRequest("wall", find="red"),
        shelf_path,
        tmp_path / "x.pdf",
        progress=lambda _, share: heard.append(share),
    )
    assert heard == sorted(heard) and heard[0] == 0.0 and heard[-1] >= 0.8


BAD = [
    (ChartRequest("pie"), "kind: saw 'pie'; allowed is wall, handout, labels"),
    (ChartRequest("wall", page="A9"), "page: saw 'A9'; allowed is A5, A4"),
    (ChartRequest("wall", page="10x10"), "from 90 to 1200 mm"),
    (ChartRequest("wall", page="200x90"), "a page with 51 mm of room. Take a larger one."),
    (ChartRequest("wall", page="1..5x200"), "page: saw"),
    (ChartRequest("wall", order="taste"), "order: saw 'taste'; allowed is hue, opacity, strength, name"),
    (ChartRequest("wall", find="chartreusevelvet"), "words that some paint of the shelf answers to"),
    (ChartRequest("wall", ("no-such-paint",)), "no-such-paint"),
    (ChartRequest("labels", blank=True), "A labels chart has no use for it"),
    (ChartRequest("wall", title="two\nlines"), r"title: saw 'two\nlines'; allowed is one line of at most 90"),
    (ChartRequest("handout"), "paints: saw 'none'; allowed is one paint"),
    (ChartRequest("handout", ("cobalt-blue",), page="90x90"), "page: saw '90x90'; allowed is a larger page"),
    (ChartRequest("compare", TRIO), "allowed is 2 paints"),
    (ChartRequest("compare", ("cobalt-blue", "cobalt-blue")), "each paint once"),
    (ChartRequest("mix", ("cobalt-blue",)), "allowed is 2 to 14 paints"),
    (ChartRequest("mix", TRIO, parts="3-1"), "two numbers with a colon between"),
    (ChartRequest("mix", TRIO, parts="0:1"), "parts: saw '0:1'; allowed is numbers above 0"),
    (
        ChartRequest("compare", TRIO[:2], coats=0.1),
        "coats: saw '0.1'; allowed is this option with mix, glaze",
    ),
    (ChartRequest("mix", TRIO, coats=9.0), "coats: saw '9'; allowed is 0.005 to 8 coats"),
    (
        ChartRequest("mix", TRIO, ladder="1-4"),
        "ladder: saw '1-4'; allowed is parts of white with colons between",
    ),
    (ChartRequest("mix", TRIO, ladder="1:2:3:4:5:6:7"), "allowed is at most 6 steps"),
    (ChartRequest("triangle", TRIO, coats=0.0), "coats: saw '0'"),
    (
        ChartRequest("triangle", TRIO, profile=b"no profile at all"),
        "profile: saw '17 bytes'; allowed is an ICC",
    ),
    (
        ChartRequest("triangle", TRIO, profile=srgb_profile().content, intent="vivid"),
        "intent: saw 'vivid'; allowed is perceptual, relative, saturation, absolute",
    ),
    (ChartRequest("glaze", TRIO, over="velvet"), "over: saw 'velvet'; allowed is white, cream"),
    (ChartRequest("glaze", TRIO, over="red,red"), "each once"),
    (ChartRequest("glaze", TRIO, coats=5.0), "coats: saw '5'; allowed is 0.005 to 1 coat"),
    (ChartRequest("triangle", TRIO[:2]), "allowed is 3 paints"),
    (ChartRequest("triangle", TRIO, steps=40), "a whole number from 2 to 12"),
    (ChartRequest("triangle", TRIO, white_parts=-1.0), "a number from 0 to 1000"),
    (ChartRequest("labels", labels="70"), "labels: saw '70'; allowed is 70x37"),
    (ChartRequest("labels", labels="4x8:70x37"), "These take 280 x 296 mm"),
    (ChartRequest("labels", start=25), "start: saw '25'; allowed is a whole number from 1 to 24"),
]


@pytest.mark.parametrize(("request_", "said"), BAD, ids=[said[:30] for _, said in BAD])
def test_what_cannot_be_drawn_is_said(shelf: Shelf, request_: ChartRequest, said: str) -> None:
    with pytest.raises(InputError, match=re.escape(said)):
        print_kind(shelf, request_)


def test_lightfastness_is_shown_with_who_says_so(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        own.save_paints([paint for paint in starter_shelf() if paint.key in ("cobalt-blue", WHITE)])
        plain = words_of(chart_pdf(print_kind(own, ChartRequest("wall", page="A5"))))
        assert "ASTM" not in plain
        assert "nobody has put a rating" in " ".join(
            words_of(chart_pdf(print_kind(own, ChartRequest("handout", ("cobalt-blue",))))).split()
        )
        own.tubes.save(
            "cobalt-blue", TubeFacts(lightfastness=(Lightfastness(LightScale.ASTM, "I", "the label"),))
        )
        wall = " ".join(words_of(chart_pdf(print_kind(own, ChartRequest("wall", page="A5")))).split())
        assert "illustrative · ASTM I" in wall and "ASTM D4303 from I" in wall
        labels = words_of(chart_pdf(print_kind(own, ChartRequest("labels"))))
        assert "illustrative · ASTM I" in labels
        handout = words_of(chart_pdf(print_kind(own, ChartRequest("handout", ("cobalt-blue",)))))
        assert "Lightfastness ASTM D4303 I, says the label." in " ".join(handout.split())


def test_oils_and_acrylics_hang_side_by_side_but_are_not_mixed(tmp_path: Path) -> None:
    chosen = [paint for paint in starter_shelf() if paint.key in ("cobalt-blue", WHITE)]
    oils = [replace(paint, key=f"{paint.key}-oil", binder=Binder.OIL) for paint in chosen]
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        own.save_paints([*chosen, *oils])
        strips = show_shelf(own, order="name").strips
        hung = {strip.key: paint for strip, paint in zip(strips, hang_paints(own, strips), strict=True)}
        assert len(hung["cobalt-blue-oil"].colours.tints) == len(hung["cobalt-blue"].colours.tints) == 6
        for key in ("cobalt-blue", "cobalt-blue-oil"):
            film = Film(((own.load_paint(key), 1.0),), 1.0)
            look = predict_look(Layering(chart_ground("white"), (film,)))
            np.testing.assert_allclose(hung[key].colours.paper[1, 0], look.srgb, atol=1e-6)
        assert len(print_kind(own, ChartRequest("labels")).told["paints"]) == 4
        with pytest.raises(InputError, match="paints: saw 'acrylic, oil'; allowed is paints of one binder"):
            print_kind(own, ChartRequest("mix", ("cobalt-blue", "cobalt-blue-oil")))
        with pytest.raises(InputError, match="paints of one binder"):
            print_kind(own, ChartRequest("glaze", ("cobalt-blue",), over="titanium-white-oil"))


@pytest.mark.slow
def test_300_paints_hang_on_one_page(tmp_path: Path) -> None:
    paints = [
        replace(paint, key=f"{paint.key}-{copy}", label=f"{paint.label} {copy}")
        for copy in range(6)
        for paint in starter_shelf()
    ][:300]
    with open_shelf(tmp_path / "shelf.sqlite") as own:
        own.save_paints(paints)
        chart = print_kind(own, ChartRequest("wall", page="A1-landscape"))
        content = chart_pdf(chart)
    assert len(chart.told["paints"]) == 300 and len(chart.sheets) == 1
    assert len(content) < 5_000_000


def test_an_empty_shelf_is_said(tmp_path: Path) -> None:
    with (
        open_shelf(tmp_path / "shelf.sqlite") as empty,
        pytest.raises(InputError, match="paints: saw 'an empty shelf'"),
    ):
        print_kind(empty, ChartRequest("wall"))


def test_another_ending_is_said_before_anything_is_drawn(shelf_path: Path, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"a file that ends in \.pdf or \.svg"):
        print_to_file(ChartRequest("wall"), shelf_path, tmp_path / "wall.png")
    assert not list(tmp_path.iterdir())


def test_frames_leave_room_for_their_words() -> None:
    for side in (90.0, 148.0, 210.0, 594.0):
        frame = Frame(
            Page("x", side, side * 1.4),
            "A very long title that goes on and on " * 3,
            "under it",
            ("note " * 60,),
        )
        assert frame.inner.width_mm > 0.7 * side
        left, right, top, bottom = bounds(frame.draw(()))
        assert left >= 0.0 and right <= side and top >= 0.0 and bottom <= side * 1.4


def test_a_chart_for_a_muted_printer_marks_what_it_cannot_reach_and_says_so(shelf: Shelf) -> None:
    plain = print_kind(shelf, ChartRequest("mix", TRIO)).as_data()
    chart = print_kind(shelf, ChartRequest("mix", TRIO, profile=muted_profile(), intent="perceptual"))
    told = chart.as_data()
    assert plain["profile"] is None and told["profile"] == "Invented muted printer"
    beyond = [sum(square["beyond_screen"] for square in each["squares"]) for each in (plain, told)]
    assert beyond[1] > beyond[0] + 5
    said = " ".join(words_of(chart_pdf(chart)).split())
    assert "Written for Invented muted printer (RGB, perceptual intent)" in said


@pytest.mark.parametrize("kind", ["wall", "handout", "glaze", "triangle", "compare", "labels"])
def test_every_kind_can_be_written_for_four_inks(shelf: Shelf, kind: str) -> None:
    keys = {"handout": TRIO[:1], "compare": TRIO[:2], "wall": (), "labels": ()}.get(kind, TRIO)
    find = "yellow" if kind in ("wall", "labels") else ""
    chart = print_kind(shelf, ChartRequest(kind, keys, find=find, profile=four_ink_profile()))
    content = chart_pdf(chart)
    assert all(fonts_embedded(content))
    assert b"/DefaultCMYK" in content
