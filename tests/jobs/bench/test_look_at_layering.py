"""The layer bench: one call of the engine says what single predictions say, and what is asked for comes back."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.jobs.shelves import read_shelf

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.jobs.bench.build import Tubes, own_ground
from scumble.jobs.bench.look_at_layering import PATH_COATS, ROW_COATS, Answer, Ask, look
from scumble.jobs.bench.looks import look_at
from scumble.jobs.bench.page import example_query, list_choices, move_saved, save_bench, show_bench
from scumble.jobs.bench.request import (
    LIGHTS,
    STATES,
    Bench,
    BenchFilm,
    BenchQuery,
    change,
    clean_address,
    parse_address,
    write_query,
)
from scumble.optics.face import Face
from scumble.paint import Film, Layering, Paint, paper_ground, predict_look
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import Shelf, open_shelf

PAINTS = {paint.key: paint for paint in starter_shelf()}
GROUNDS = tuple(paper_ground(name) for name in ("cream", "white", "black", "grey"))


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("bench") / "shelf.sqlite")


@pytest.fixture
def shelf(place: Path):  # type: ignore[no-untyped-def]
    with open_shelf(place) as opened:
        yield opened


def paint(name: str) -> Paint:
    return PAINTS[name]


ONE = (Film(((paint("ultramarine-blue"), 1.0),), 0.3),)
TWO = (
    Film(((paint("cadmium-red"), 1.0),), 0.5),
    Film(((paint("ultramarine-blue"), 1.0), (paint("titanium-white"), 2.0)), 0.3, 1.0, 1.0),
)
TWICE = (*TWO, Film(((paint("cadmium-red"), 1.0),), 0.1))


@pytest.mark.parametrize("films", [ONE, TWO, TWICE], ids=["one", "two", "one paint twice"])
@pytest.mark.parametrize("wet", [False, True])
@pytest.mark.parametrize("light", ["D65", "A"])
def test_all_grounds_at_once_are_each_ground_alone(films: tuple[Film, ...], wet: bool, light: str) -> None:
    layering = Layering(GROUNDS[0], films, Face.SATIN, wet)
    looks = look_at(layering, GROUNDS, light=light, coats=PATH_COATS)
    for at, ground in enumerate(GROUNDS):
        alone = predict_look(Layering(ground, films, Face.SATIN, wet), light=light)
        np.testing.assert_allclose(looks.on_grounds.lab[at], alone.lab, atol=1e-9)
        # Slopes to one side instead of both differ by half the step's curvature.
        assert looks.intervals[at] == pytest.approx(alone.interval_de00, rel=0.01)


def test_stages_and_thickening_are_layerings_of_their_own() -> None:
    looks = look_at(Layering(GROUNDS[0], TWO), GROUNDS, light="D65", coats=np.array([0.1, 2.0]))
    first = predict_look(Layering(GROUNDS[0], TWO[:1]))
    np.testing.assert_allclose(looks.stages.lab[0, 1], first.lab, atol=0.05)
    np.testing.assert_allclose(looks.stages.lab[1, 1], looks.on_grounds.lab[0], atol=1e-9)
    thick = Film(TWO[1].parts, 2.0, 1.0, 1.0)
    alone = predict_look(Layering(GROUNDS[0], (TWO[0], thick)))
    np.testing.assert_allclose(looks.thickening.lab[1], alone.lab, atol=1e-9)


def test_the_bare_ground_is_certain(shelf: Shelf) -> None:
    answer, _ = look(shelf, Tubes(shelf), Ask(layering=Bench(ground="grey")))
    assert answer.chosen.colour == answer.chosen.bare == answer.grey.colour
    assert answer.chosen.interval_de00 == 0
    assert answer.edges == [] and answer.row == []
    assert answer.contrast == "Nothing lies on the ground yet."


def test_a_thick_opaque_film_hides_and_a_glaze_does_not(shelf: Shelf) -> None:
    tubes = Tubes(shelf)
    opaque = Bench(films=(BenchFilm(paint="mars-black", coats=2),))
    clear = Bench(films=(BenchFilm(paint="nickel-azo-yellow", coats=0.2, medium=3),))
    assert look(shelf, tubes, Ask(layering=opaque))[0].contrast.startswith("Hides black")
    answer = look(shelf, tubes, Ask(layering=clear))[0]
    assert answer.contrast.startswith("Black shows through plainly")
    assert answer.contrast_ratio < 0.5
    assert len(answer.row) == len(ROW_COATS) and len(set(answer.row)) > 8


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("light", LIGHTS)
def test_lights_and_states_are_seen(shelf: Shelf, light: str, state: str) -> None:
    bench = Bench.model_validate(
        {"films": [{"paint": "ultramarine-blue", "coats": 0.6}], "light": light, "state": state}
    )
    answer = look(shelf, Tubes(shelf), Ask(layering=bench))[0]
    plain = look(shelf, Tubes(shelf), Ask(layering=bench.model_copy(update={"state": "glossy"})))[0]
    lighter = answer.chosen.lab[0] > plain.chosen.lab[0]
    assert lighter == (state in ("wet", "satin", "matte"))
    assert light in answer.words[-1]


def test_the_kept_one_is_seen_under_the_same_light(shelf: Shelf) -> None:
    kept = Bench(films=(BenchFilm(paint="viridian", coats=0.5),))
    now = kept.model_copy(update={"light": "A"})
    answer = look(shelf, Tubes(shelf), Ask(layering=now, kept=kept))[0]
    assert answer.kept is not None
    assert answer.kept.chosen == answer.chosen
    assert answer.kept.difference_de00 == 0
    other = kept.model_copy(update={"ground": "black"})
    answer = look(shelf, Tubes(shelf), Ask(layering=other, kept=kept))[0]
    assert answer.kept is not None
    apart = delta_e_2000(np.array(answer.kept.chosen.lab), np.array(answer.chosen.lab))
    assert answer.kept.difference_de00 == pytest.approx(float(apart), abs=0.05)
    assert "darker" in answer.kept.difference


films = st.builds(
    BenchFilm,
    paint=st.sampled_from(sorted(PAINTS)),
    coats=st.sampled_from([0.01, 0.25, 0.5, 1.5, 8.0]),
    parts=st.sampled_from([0.5, 1.0, 3.0]),
    white=st.sampled_from([0.0, 2.0]),
    second=st.sampled_from(["", "yellow-ochre"]),
    second_parts=st.sampled_from([0.0, 0.125]),
    medium=st.sampled_from([0.0, 4.0]),
    water=st.sampled_from([0.0, 1.0]),
)
benches = st.builds(
    Bench,
    ground=st.sampled_from(["white", "own", "shelf:panel"]),
    own=st.sampled_from(["", "#b08d57", "62, 8, -24"]),
    painted=st.booleans(),
    films=st.lists(films, max_size=4).map(tuple),
    light=st.sampled_from(LIGHTS),
    state=st.sampled_from(STATES),
)


@given(benches, st.one_of(st.just(""), benches.map(write_query)))
def test_an_address_holds_the_whole_layering(bench: Bench, kept: str) -> None:
    address = write_query(bench, kept=kept)
    assert parse_address(address) == bench
    assert clean_address(address) == address


def test_buttons_change_one_thing() -> None:
    start = Bench(films=(BenchFilm(paint="a"), BenchFilm(paint="b"), BenchFilm(paint="c")))

    def after(do: str, **more: str) -> str:
        bench, _ = change(start, BenchQuery(do=do, **more))  # type: ignore[arg-type]
        return "".join(film.paint for film in bench.films)

    assert after("up-1") == "bac" and after("down-3") == "acb"
    assert after("up-3") == "abc" and after("down-1") == "abc"
    assert after("remove-2") == "ac" and after("add", add="d") == "abcd"
    kept = change(start, BenchQuery(do="keep"))[1]
    assert parse_address(kept) == start
    empty = Bench(ground="black")
    assert change(empty, BenchQuery(do="swap", kept=kept)) == (start, write_query(empty))
    assert change(start, BenchQuery(do="drop", kept=kept)) == (start, "")


@pytest.mark.parametrize(
    ("query", "said"),
    [
        (BenchQuery(do="fly-1"), "do: saw 'fly-1'"),
        (BenchQuery(do="up-9", paint=["x"]), "do: saw 'up-9'"),
        (BenchQuery(do="add"), "add: saw 'nothing'; allowed is a paint of the shelf"),
        (BenchQuery(do="add", add="x", paint=["x"] * 12), "at most 12 films. Take one off first"),
    ],
)
def test_buttons_that_cannot_be_pressed_say_why(query: BenchQuery, said: str) -> None:
    bench = Bench(films=tuple(BenchFilm(paint=name) for name in query.paint))
    with pytest.raises(InputError, match=said):
        change(bench, query)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"paint": ["ultramarin"]}, "Did you mean ultramarine-blue"),
        ({"paint": ["viridian"], "coats": ["-1"]}, r"layering.films.0.coats: saw '-1'"),
        ({"paint": ["viridian"], "coats": ["nan"]}, "coats"),
        ({"paint": ["viridian"], "medium": ["1e9"]}, "less than or equal to 1000"),
        ({"ground": "moon"}, "ground: saw 'moon'; allowed is white, cream"),
        ({"ground": "own", "own": "blue"}, "own ground: saw 'blue'; allowed is #rrggbb"),
        ({"ground": "own"}, "own ground: saw 'nothing'"),
        ({"light": "moon"}, "layering.light"),
        ({"paint": ["viridian"] * 13}, "at most 12"),
    ],
)
def test_what_cannot_be_laid_is_said(shelf: Shelf, data: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        show_bench(shelf, BenchQuery.model_validate(data))


def test_own_grounds_come_as_colour_or_spectrum() -> None:
    spectrum = [0.1 + at / 100 for at in range(36)]
    assert own_ground(" ".join(map(str, spectrum))).reflectance.tolist() == spectrum
    by_hex = predict_look(Layering(own_ground("#b08d57")))
    np.testing.assert_allclose(by_hex.srgb * 255, [0xB0, 0x8D, 0x57], atol=0.5)
    by_lab = predict_look(Layering(own_ground("62; 8; −24")))
    np.testing.assert_allclose(by_lab.lab, [62, 8, -24], atol=0.05)


def test_the_list_of_paints_holds_every_tube(shelf: Shelf) -> None:
    choices = list_choices(shelf)
    assert {choice.key for choice in choices} == {entry.key for entry in shelf.load_entries()}
    blue = next(choice for choice in choices if choice.key == "class-blue")
    assert "pb15:3" in blue.words and blue.masstone != blue.thin


def test_the_example_lays_a_clear_film_over_an_opaque_one(shelf: Shelf) -> None:
    page = show_bench(shelf, BenchQuery.model_validate(dict_of(example_query(shelf))))
    assert len(page.answer.edges) == 2
    assert page.answer.chosen.colour != page.answer.chosen.bare


def dict_of(query: str) -> dict[str, object]:
    bench = parse_address(query)
    return {
        "paint": [film.paint for film in reversed(bench.films)],
        "coats": [str(film.coats) for film in reversed(bench.films)],
    }


def test_an_empty_shelf_has_only_grounds(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "new.sqlite") as empty:
        assert example_query(empty) == ""
        page = show_bench(empty, BenchQuery())
        assert page.labels == () and len(page.grounds) >= 8


def test_saving_keeps_older_versions_and_the_bin_gives_back(tmp_path: Path) -> None:
    with open_shelf(read_shelf(tmp_path / "shelf.sqlite")) as shelf:
        first = Bench(films=(BenchFilm(paint="Viridian", coats=0.25),))
        save_bench(shelf, "  Sea   green ", first)
        (saved,) = show_bench(shelf, BenchQuery(paint=["viridian"], coats=["0.25"])).saved
        assert (saved.key, saved.label, saved.is_here) == ("sea-green", "Sea green", True)
        save_bench(shelf, "Sea green", Bench(ground="black"))
        assert shelf.recipes.load("sea-green", version=1).layering["films"][0]["paint"] == "viridian"
        move_saved(shelf, "sea-green", binned=True)
        page = show_bench(shelf, BenchQuery())
        assert page.saved == () and [each.key for each in page.binned] == ["sea-green"]
        move_saved(shelf, "sea-green", binned=False)
        assert [each.query for each in show_bench(shelf, BenchQuery()).saved] == ["ground=black"]
        with pytest.raises(InputError, match="a name with at least one letter"):
            save_bench(shelf, "...", first)


def seen(shelf: Shelf, bench: Bench) -> Answer:
    return look(shelf, Tubes(shelf), Ask(layering=bench))[0]


def test_a_dry_paint_is_a_glossy_ground(shelf: Shelf) -> None:
    """A film takes the face off a dry coat: the two are one stack of films, seen as the engine sees it."""
    film = BenchFilm(paint="viridian", coats=0.2)
    on_dry = seen(shelf, Bench(ground="dry", dry="Cadmium yellow", films=(film,)))
    stacked = seen(shelf, Bench(films=(BenchFilm(paint="cadmium-yellow", coats=1.0), film)))
    assert on_dry.chosen.ground == "dry Cadmium yellow"
    assert "ground=dry&dry=cadmium-yellow" in on_dry.query
    assert delta_e_2000(np.array(on_dry.chosen.lab), np.array(stacked.chosen.lab)) < 2.5
    with pytest.raises(InputError, match="dry: saw 'nothing'; allowed is a paint of the shelf"):
        seen(shelf, Bench(ground="dry"))


def test_ridges_cover_more_than_furrows(shelf: Shelf) -> None:
    """Over black a thin white film gets lighter with thickness: furrow, body, ridge."""
    veil = seen(shelf, Bench(films=(BenchFilm(paint="titanium-white", coats=0.1),)))
    furrow, body, ridge = (int(colour[3:5], 16) for colour in veil.brushed[1])
    assert furrow < body < ridge
    assert veil.brushed[0][1] == veil.white.colour and veil.brushed[1][1] == veil.black.colour
    bare = seen(shelf, Bench())
    assert bare.brushed == [[bare.white.bare] * 3, [bare.black.bare] * 3]
