"""The desk: cards are dropped, read, judged, kept, taken back and read again; a restart loses none."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.keep import fit_card, keep_card, read_again, take_back
from scumble.jobs.cards.mark_up import MarkUp
from scumble.jobs.cards.page import show_card
from scumble.jobs.cards.place_samples import show_samples
from scumble.jobs.cards.rows import area_rows
from scumble.jobs.cards.together import join
from scumble.jobs.cards.tray import MOST_PUT_AWAY, CardTray, SampleWords, TubeWords, tray_folder
from scumble.jobs.cards.tray_page import show_cards
from scumble.jobs.task import State
from scumble.store.shelf import Shelf, open_shelf

DEMO = Path(__file__).parents[3] / "demo"
PHOTOGRAPH = (DEMO / "cards" / "classroom-magenta.jpg").read_bytes()
READINGS = (DEMO / "readings" / "deep-blue.csv").read_bytes()
TUBE = TubeWords(label="My magenta", pigments=("PV19",))

SAMPLES = b"""SampleID,X,Y,Z
bare white,81.7,86.0,93.6
black,3.9,4.1,4.4
full on white,20.1,11.2,9.4
full on black,19.0,10.4,9.0
something,50.0,40.0,40.0
1 to 4 on white,45.0,33.0,35.0
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path / "shelf.sqlite")) as opened:
        yield opened


@pytest.fixture
def desk(shelf: Shelf, tmp_path: Path) -> Iterator[CardDesk]:
    made = CardDesk(shelf, CardTray(tmp_path / "tray"))
    yield made
    made.close()


@pytest.fixture
def key(desk: CardDesk) -> str:
    card = desk.drop(PHOTOGRAPH, "magenta.jpg", "image/jpeg")
    assert desk.wait(card.key, timeout_s=60).state is State.DONE
    return card.key


def flat(colour: int = 200) -> bytes:
    file = io.BytesIO()
    Image.fromarray(np.full((600, 800, 3), colour, np.uint8)).save(file, "PNG")
    return file.getvalue()


def test_a_dropped_photograph_is_read_and_shown_beside_what_is_predicted(desk: CardDesk, key: str) -> None:
    page = show_card(desk, key)
    assert len(page.marks) == len(page.rows) == 22
    painted = [row for row in page.rows if not row.is_bare]
    assert all(row.predicted and row.interval > 0 and row.bound > 0 for row in painted)
    assert {mark.look for mark in page.marks} <= {"good", "doubtful", "out"}
    assert page.said[0].startswith(("Well", "Fairly", "Poorly"))
    assert "The paper is taken to be a neutral white of Y 86." in page.remarks


def test_what_is_no_card_is_refused_beside_the_others(desk: CardDesk) -> None:
    blank = desk.drop(flat(), "wall.png", "image/png")
    broken = desk.drop(PHOTOGRAPH[:5000], "cut.jpg", "image/jpeg")
    assert "No sample card was found" in desk.wait(blank.key, timeout_s=60).error
    assert "damaged or cut short" in desk.wait(broken.key, timeout_s=60).error
    page = show_cards(desk)
    assert page.refused == 2 and [item.name for item in page.open] == ["cut.jpg", "wall.png"]
    with pytest.raises(InputError, match="a card that was read"):
        desk.chosen(blank.key)


def test_a_restart_loses_no_picture_and_no_decision(
    desk: CardDesk, key: str, shelf: Shelf, tmp_path: Path
) -> None:
    desk.tray.change(key, choices={"full-white": "leave out"}, tube=TUBE)
    waiting = desk.drop(PHOTOGRAPH, "second.jpg", "image/jpeg")
    desk.close()
    again = CardDesk(shelf, CardTray(tmp_path / "tray"))
    try:
        assert again.wait(waiting.key, timeout_s=60).state is State.DONE
        stands = again.wait(key, timeout_s=60)
        assert stands.read is not None and stands.card.tube == TUBE
        assert again.tray.path(key).read_bytes() == PHOTOGRAPH
        weights = {each.area: each.weight for each in again.chosen(key).readings}
        assert weights["full-white"] == 0.0
    finally:
        again.close()


def test_a_damaged_note_is_passed_over_and_harms_no_other(tmp_path: Path) -> None:
    tray = CardTray(tmp_path)
    good, bad = tray.add(b"a", "a", "text/plain"), tray.add(b"b", "b", "text/plain")
    (tmp_path / f"{bad.key}.json").write_text('{"key": "../../elsewhere"}', encoding="utf-8")
    assert [card.key for card in CardTray(tmp_path).cards()] == [good.key]


def test_a_person_has_the_last_word_on_every_area(desk: CardDesk, key: str) -> None:
    desk.tray.change(key, choices={"full-white": "leave out", "thin1-red": "accept", "tint4-white": "retake"})
    weights = {each.area: each.weight for each in desk.chosen(key).readings}
    assert (weights["full-white"], weights["thin1-red"], weights["tint4-white"]) == (0.0, 1.0, 0.0)
    marks = {mark.area: (mark.look, mark.label) for mark in show_card(desk, key).marks}
    assert marks["full-white"] == ("out", "left out") and marks["tint4-white"] == ("out", "to be retaken")


def test_every_word_can_be_undone(desk: CardDesk, key: str) -> None:
    desk.tray.decide(key, {"full-white": "leave out"})
    desk.tray.decide(key, {"full-white": "leave out", "thin1-red": "accept"})
    desk.tray.decide(key, {"full-white": "leave out", "thin1-red": "accept"})
    assert desk.tray.undecide(key).choices == {"full-white": "leave out"}
    assert desk.tray.undecide(key).choices == {}
    assert desk.tray.undecide(key).choices == {}
    assert all(each.weight > 0 for each in desk.chosen(key).readings if each.area == "full-white")


def test_what_a_person_said_is_remembered_when_a_card_of_the_shelf_is_read_again(
    desk: CardDesk, key: str, shelf: Shelf
) -> None:
    desk.tray.change(key, tube=TUBE)
    desk.tray.decide(key, {"full-white": "leave out"})
    keep_card(desk, key)
    assert "You left out: Full on white." in shelf.load_paint("my-magenta").status
    again = read_again(desk, "my-magenta")
    assert desk.wait(again, timeout_s=60).card.choices == {"full-white": "leave out"}


def test_a_photograph_says_by_which_route_its_colours_were_found(desk: CardDesk, key: str) -> None:
    route = show_card(desk, key).route
    assert route is not None and route.kind == "file"
    assert route.found[-1].startswith("A painted area is known to within dE00 ")
    assert "how the camera sees colour" in route.doubt[0]


def test_the_card_for_the_white_says_so_itself(desk: CardDesk) -> None:
    from scumble.card.sheet.geometry import card_geometry

    lines = ["SampleID,X,Y,Z"]
    for area in card_geometry("white").areas:
        y = {"bare": 80.0 if area.ground == "white" else 9.0}.get(area.film, 70.0)
        lines.append(f"{area.name},{0.95 * y},{y},{1.08 * y}")
    card = desk.drop("\n".join(lines).encode(), "white.csv", "text/plain")
    stands = desk.wait(card.key, timeout_s=60)
    assert stands.read is not None, stands.error
    assert (stands.card.layout, stands.card.tube.is_white) == ("white", True)
    # A person's later word is not overruled by reading it anew.
    desk.tray.change(card.key, tube=TubeWords(label="x", is_white=False))
    desk.read(card.key)
    assert not desk.wait(card.key, timeout_s=60).card.tube.is_white


def test_glare_on_a_bare_square_leaves_predictions_their_intervals(desk: CardDesk, key: str) -> None:
    """A colour that no surface has lies under no film; the nearest that one can have does."""
    read = desk.stands(key).read
    assert read is not None
    shining = tuple(
        replace(each, values=np.array([120.0, 118.0, 110.0]), weight=0.0) if each.area == "yellow" else each
        for each in read.readings.readings
    )
    glared = replace(read, readings=replace(read.readings, readings=shining))
    fitted = fit_card(desk, key)
    fitted = replace(fitted, readings=replace(fitted.readings, readings=shining))
    rows = area_rows(desk, key, glared, fitted)
    assert all(row.interval > 0.0 for row in rows if row.predicted and not row.is_bare)


def test_two_pictures_of_one_serial_know_of_each_other(desk: CardDesk, key: str) -> None:
    second = desk.drop(PHOTOGRAPH, "second.jpg", "image/jpeg")
    desk.wait(second.key, timeout_s=60)
    page = show_card(desk, key)
    assert page.twin is not None and page.twin.card.key == second.key and len(page.serial) == 9
    desk.tray.change(second.key, retakes=key)
    assert show_card(desk, key).twin is None
    assert show_card(desk, key).again.card.key == second.key  # type: ignore[union-attr]


def test_two_photographs_count_together_and_are_parted_again(desk: CardDesk, key: str, shelf: Shelf) -> None:
    darker = io.BytesIO()
    first = Image.open(io.BytesIO(PHOTOGRAPH))
    first.point(lambda code: int(code * 0.93)).save(
        darker, "JPEG", quality=95, icc_profile=first.info["icc_profile"]
    )
    second = desk.drop(darker.getvalue(), "second.jpg", "image/jpeg")
    read = desk.wait(second.key, timeout_s=60).read
    alone, other = desk.chosen(key), read.readings  # type: ignore[union-attr]
    join(desk, key, second.key)
    both = desk.chosen(key)
    assert both.noise <= max(alone.noise, other.noise)
    for one, two, mean in zip(alone.readings, other.readings, both.readings, strict=True):
        low, high = np.minimum(one.values, two.values), np.maximum(one.values, two.values)
        assert np.all(mean.values >= low - 1e-9) and np.all(mean.values <= high + 1e-9)
    page = show_card(desk, key)
    assert page.together[0].startswith("2 photographs count, each by what it is worth: magenta.jpg ")
    desk.tray.change(key, tube=TUBE)
    assert keep_card(desk, key).version == 2
    assert page.together[0] in shelf.load_paint("my-magenta").status
    assert shelf.load_picture("my-magenta").content == darker.getvalue()  # type: ignore[union-attr]
    take_back(desk, key)
    desk.wait(key, timeout_s=60)
    desk.tray.change(second.key, joined=False)
    assert np.array_equal(desk.chosen(key).readings[5].values, alone.readings[5].values)


def test_another_card_does_not_count_with_it(desk: CardDesk, key: str) -> None:
    other = desk.drop((DEMO / "cards" / "classroom-red.jpg").read_bytes(), "red.jpg", "image/jpeg")
    desk.wait(other.key, timeout_s=60)
    with pytest.raises(InputError, match="another photograph of the same card"):
        join(desk, key, other.key)
    assert not desk.tray.find(other.key).joined and desk.tray.find(other.key).retakes == ""
    with pytest.raises(InputError, match="another photograph"):
        join(desk, key, key)


def test_areas_to_be_retaken_come_from_the_second_picture_and_both_are_kept(
    desk: CardDesk, key: str, shelf: Shelf
) -> None:
    darker = io.BytesIO()
    Image.open(io.BytesIO(PHOTOGRAPH)).point(lambda code: int(code * 0.93)).save(darker, "JPEG", quality=95)
    desk.tray.change(key, choices={"tint4-white": "retake"}, tube=TUBE)
    first = {each.area: each for each in desk.stands(key).read.readings.readings}  # type: ignore[union-attr]
    again = desk.drop(darker.getvalue(), "again.jpg", "image/jpeg", retakes=key)
    second = desk.wait(again.key, timeout_s=60).read
    assert second is not None
    newer = {each.area: each for each in second.readings.readings}
    chosen = {each.area: each for each in desk.chosen(key).readings}
    assert np.array_equal(chosen["tint4-white"].values, newer["tint4-white"].values)
    assert np.array_equal(chosen["full-white"].values, first["full-white"].values)
    kept = keep_card(desk, key)
    assert kept.version == 2
    assert shelf.load_picture("my-magenta").content == darker.getvalue()  # type: ignore[union-attr]
    shelf.choose_version("my-magenta", 1)
    assert shelf.load_picture("my-magenta").content == PHOTOGRAPH  # type: ignore[union-attr]


def test_a_card_is_kept_as_a_new_version_and_can_be_taken_back(
    desk: CardDesk, key: str, shelf: Shelf
) -> None:
    desk.tray.change(key, tube=TUBE)
    first = keep_card(desk, key)
    assert (first.paint.key, first.version, first.paint.label) == ("my-magenta", 1, "My magenta")
    assert shelf.load_picture("my-magenta").content == PHOTOGRAPH  # type: ignore[union-attr]
    assert len(shelf.load_readings("my-magenta").readings) == 22  # type: ignore[union-attr]
    take_back(desk, key)
    assert "my-magenta" not in labels(shelf)
    assert desk.wait(key, timeout_s=60).card.is_open
    desk.tray.change(key, choices={"full-black": "leave out"})
    second = keep_card(desk, key)
    assert second.paint.key == "my-magenta" and not desk.tray.find(key).is_open


def test_a_name_of_the_shelf_means_that_paint(desk: CardDesk, key: str, shelf: Shelf) -> None:
    old = shelf.load_entries()[0]
    desk.tray.change(key, tube=TubeWords(label=f"  {old.label.upper()} "))
    kept = keep_card(desk, key)
    assert (kept.paint.key, kept.version, kept.paint.pigments) == (old.key, 2, old.pigments)
    take_back(desk, key)
    entry = next(each for each in shelf.load_entries() if each.key == old.key)
    assert (entry.version, entry.provenance) == (1, old.provenance)


def test_without_a_name_nothing_is_kept(desk: CardDesk, key: str) -> None:
    with pytest.raises(InputError, match="label: saw 'nothing'; allowed is a name for the tube"):
        keep_card(desk, key)


def test_the_picture_of_a_paint_can_be_read_again(desk: CardDesk, key: str, shelf: Shelf) -> None:
    desk.tray.change(key, tube=TUBE)
    keep_card(desk, key)
    again = read_again(desk, "My magenta")
    stands = desk.wait(again, timeout_s=60)
    assert stands.read is not None and stands.card.tube.label == "My magenta"
    assert keep_card(desk, again).version == 2
    with pytest.raises(InputError, match="a paint whose card was read from a picture"):
        read_again(
            desk, shelf.load_entries()[0].key if shelf.load_entries()[0].key != "my-magenta" else "viridian"
        )


def test_a_card_that_was_taken_off_can_be_fetched_back(desk: CardDesk, key: str) -> None:
    desk.take_off(key)
    assert [item.key for item in show_cards(desk).off] == [key]
    desk.put_back(key)
    assert desk.wait(key, timeout_s=60).state is State.DONE


def test_only_so_many_cards_that_were_put_away_are_kept(tmp_path: Path) -> None:
    tray = CardTray(tmp_path)
    keys = [tray.add(b"x", str(at), "text/plain", taken_off=True).key for at in range(MOST_PUT_AWAY + 4)]
    assert [card.key for card in tray.cards()] == keys[-MOST_PUT_AWAY:]
    assert not tray.path(keys[0]).exists() and tray.path(keys[-1]).exists()


def test_a_chart_is_marked_up_and_read(desk: CardDesk) -> None:
    from tests.card.marked.test_read_marked import BOXES, photograph

    card = desk.drop(photograph(noise=0.02), "old chart.png", "image/png")
    assert desk.wait(card.key, timeout_s=60).state is State.FAILED
    what = {"bare": "bare", "full": "masstone", "thin": "thin", "tint4": "tint"}
    marks = MarkUp.model_validate(
        {
            "boxes": [
                {
                    "box_px": [*box.corner_px, *box.size_px],
                    "what": what[box.film],
                    "over": box.ground,
                    "white_parts": box.white_parts or None,
                }
                for box in BOXES
            ]
        }
    )
    desk.check_marks(card.key, marks)
    desk.tray.change(card.key, marks=marks, tube=TubeWords(label="Old red", pigments=("PR101",)))
    desk.read(card.key)
    assert desk.wait(card.key, timeout_s=60).read is not None
    page = show_card(desk, card.key)
    assert next(row.words for row in page.rows if not row.is_bare) == "Full on white"
    assert keep_card(desk, card.key).paint.key == "old-red"


def test_samples_of_an_instrument_are_placed_by_hand(desk: CardDesk) -> None:
    card = desk.drop(SAMPLES, "instrument.csv", "text/plain")
    assert desk.wait(card.key, timeout_s=60).read is not None
    samples = show_samples(desk, desk.tray.find(card.key))
    assert [row.area for row in samples.rows] == [
        "white",
        "black",
        "full-white",
        "full-black",
        "",
        "tint4-white",
    ]
    words = SampleWords(layout="quick", areas={4: "thin1-white", 5: ""}, condition="M1", backing="black")
    desk.tray.change(card.key, samples=words)
    desk.read(card.key)
    read = desk.wait(card.key, timeout_s=60).read
    assert read is not None
    assert [each.area for each in read.readings.painted()] == ["full-white", "full-black", "thin1-white"]
    assert (read.readings.condition, read.readings.backing) == ("M1", "black")
    assert (
        "condition M1 (daylight, ultraviolet included), over black backing"
        in show_card(desk, card.key).measured
    )


def test_a_readings_file_needs_no_placing(desk: CardDesk) -> None:
    card = desk.drop(READINGS, "blue.csv", "text/plain")
    assert desk.wait(card.key, timeout_s=60).read is not None
    assert len(show_card(desk, card.key).rows) > 10


def test_the_tray_lies_beside_the_shelf() -> None:
    assert tray_folder(Path("studio") / "my.sqlite") == Path("studio") / "my.sqlite-tray"
    assert tray_folder("sqlite:///studio/my.sqlite") == Path("studio") / "my.sqlite-tray"


def labels(shelf: Shelf) -> set[str]:
    return {entry.key for entry in shelf.load_entries()}
