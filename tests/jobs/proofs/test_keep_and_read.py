"""What is promised is written down and never changes; what is read is held to it over the ground that was read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.jobs.shelves import read_shelf
from tests.store.cards import invented_paint

from scumble.colour import delta_e_2000, lab_to_xyz, smoothest_reflectance, white_point
from scumble.errors import InputError
from scumble.jobs.cards.refit import refit_shelf
from scumble.jobs.proofs.keep import SWATCHES, keep_bench, keep_layering, keep_swatch
from scumble.jobs.proofs.read_back import parse_lab, read_typed
from scumble.jobs.proofs.read_instrument import read_instrument
from scumble.jobs.proofs.record import compare_reading, keep_record
from scumble.jobs.proofs.sharpen import blunt_paint, sharpen_paint, unused_proofs
from scumble.jobs.proofs.suggest import suggest_next
from scumble.jobs.proofs.words import say_how_to_paint
from scumble.paint import Film, Ground, Layering, paper_ground, predict_look
from scumble.store.readings.samples import measure_samples, parse_samples
from scumble.store.shelf import Shelf, open_shelf

THIN = {"ground": {"paper": "white"}, "films": [{"parts": {"class-blue": 1}, "coats": 0.3}]}


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("proofs") / "shelf.sqlite")


@pytest.fixture
def shelf(place: Path, tmp_path: Path) -> Iterator[Shelf]:
    copy = tmp_path / "shelf.sqlite"
    copy.write_bytes(place.read_bytes())
    with open_shelf(copy) as opened:
        yield opened


def test_a_promise_is_what_the_layering_is_predicted_to_be(shelf: Shelf) -> None:
    proof = keep_layering(shelf, THIN)
    blue = shelf.load_paint("class-blue")
    look = predict_look(Layering(paper_ground("white"), (Film(((blue, 1.0),), 0.3),)))
    assert proof.promise.lab == pytest.approx(tuple(look.lab))
    assert np.array(proof.promise.optics) == pytest.approx(look.lab_covariance)
    assert [(paint.key, paint.version, paint.is_illustrative) for paint in proof.paints] == [
        ("class-blue", 1, False)
    ]


def test_a_promise_stays_when_the_paint_changes(shelf: Shelf) -> None:
    proof = keep_layering(shelf, THIN)
    other = keep_layering(shelf, {**THIN, "films": [{"parts": {"class-blue": 1}, "coats": 0.9}]})
    read_typed(shelf, other.key, "15 -19 -26")
    sharpen_paint(shelf, "class-blue")
    assert shelf.proofs.load(proof.key).proof == proof
    # A reading of it is held to the optics of the day it was kept.
    lab = " ".join(f"{value:.3f}" for value in proof.promise.lab)
    reading = read_typed(shelf, proof.key, lab, ground="93 0 2")
    expected = np.array(reading.expected.lab)
    blue = shelf.load_paint("class-blue", version=1)
    white = white_point("D65", 2)
    ground = Ground(smoothest_reflectance(lab_to_xyz(np.array([93.0, 0, 2]), white), light="D65"))
    again = predict_look(Layering(ground, (Film(((blue, 1.0),), 0.3),))).lab
    assert float(delta_e_2000(expected, again)) < 1e-6


def test_a_darker_ground_is_allowed_for(shelf: Shelf) -> None:
    """Painted as promised over a printed black that is lighter than the paper it was promised over."""
    proof = keep_swatch(shelf, "class-blue", "dark")
    blue, white = shelf.load_paint("class-blue"), white_point("D65", 2)
    printed = Ground(smoothest_reflectance(lab_to_xyz(np.array([32.0, 1, 1]), white), light="D65"))
    painted = predict_look(Layering(printed, (Film(((blue, 1.0),), 0.25),))).lab
    lab = " ".join(f"{value:.4f}" for value in painted)
    read_typed(shelf, proof.key, lab, ground="32 1 1")
    kept = shelf.proofs.load(proof.key).reading
    assert kept is not None and compare_reading(kept).difference_de00 < 0.01
    read_typed(shelf, proof.key, lab)
    kept = shelf.proofs.load(proof.key).reading
    assert kept is not None and compare_reading(kept).difference_de00 > 1.0


@pytest.mark.parametrize("swatch", SWATCHES)
def test_every_swatch_of_a_tube_can_be_kept(shelf: Shelf, swatch: str) -> None:
    assert keep_swatch(shelf, "Class blue", swatch).paints[0].key == "class-blue"


def test_the_bench_is_kept_dry_and_under_its_light(shelf: Shelf) -> None:
    proof = keep_bench(shelf, "ground=cream&paint=class-blue&coats=0.25&light=A&state=wet")
    assert (proof.light, proof.ground, proof.layering["wet"]) == ("A", "cream paper", False)


def test_illustrative_tubes_are_told_apart(shelf: Shelf) -> None:
    proof = keep_swatch(shelf, "ultramarine-blue", "undertone")
    read_typed(shelf, proof.key, "40 10 -50")
    record = keep_record(shelf)
    assert record.all.tally.count == 0 and len(record.illustrative) == 1
    assert proof.is_illustrative


def test_a_proof_is_used_once_and_that_can_be_taken_back(shelf: Shelf) -> None:
    proof = keep_layering(shelf, THIN)
    read_typed(shelf, proof.key, " ".join(f"{value + 1:.2f}" for value in proof.promise.lab))
    before = shelf.load_paint("class-blue")
    done = sharpen_paint(shelf, "class-blue")
    assert (done.version_before, done.version) == (1, 2)
    with pytest.raises(InputError, match="that was read"):
        sharpen_paint(shelf, "class-blue")
    with pytest.raises(InputError, match="used yet"):
        sharpen_paint(shelf, "class-blue", proofs=[proof.key])
    record = keep_record(shelf)
    assert (record.used, record.today.tally.count, record.all.tally.count) == (1, 0, 1)
    # A second proof comes on top, and the first stays marked.
    second = keep_layering(shelf, {**THIN, "films": [{"parts": {"class-blue": 1}, "coats": 0.15}]})
    read_typed(shelf, second.key, " ".join(f"{value + 1:.2f}" for value in second.promise.lab))
    sharpen_paint(shelf, "class-blue")
    assert keep_record(shelf).used == 2
    assert blunt_paint(shelf, "class-blue") == 2
    assert keep_record(shelf).used == 1
    assert blunt_paint(shelf, "class-blue") == 1
    assert np.array_equal(shelf.load_paint("class-blue").optics.absorption, before.optics.absorption)
    assert len(shelf.load_versions("class-blue")) == 3
    with pytest.raises(InputError, match="sharpened by proofs"):
        blunt_paint(shelf, "class-blue")


def test_a_refit_from_the_card_leaves_its_proofs_behind(shelf: Shelf) -> None:
    proof = keep_layering(shelf, THIN)
    read_typed(shelf, proof.key, " ".join(f"{value + 2:.2f}" for value in proof.promise.lab))
    sharpen_paint(shelf, "class-blue")
    assert keep_record(shelf).used == 1
    (told,) = refit_shelf(shelf, keys=["class-blue"])
    assert told.what == "changed"
    assert not any("proofs" in sentence for sentence in shelf.load_paint("class-blue").status)
    assert keep_record(shelf).used == 0
    assert [each.kept.proof.key for each in unused_proofs(shelf, shelf.load_paint("class-blue"))] == [
        proof.key
    ]


def test_a_preview_changes_nothing(shelf: Shelf) -> None:
    proof = keep_layering(shelf, THIN)
    read_typed(shelf, proof.key, "50 -30 -30")
    sharpen_paint(shelf, "class-blue", preview=True)
    assert len(shelf.load_versions("class-blue")) == 1 and keep_record(shelf).used == 0


def test_what_to_prove_next(shelf: Shelf) -> None:
    first = suggest_next(shelf, keep_record(shelf))
    assert [(each.paint, each.swatch != "") for each in first] == [("class-blue", True)]
    assert "was never proved" in first[0].says
    for coats in (0.2, 0.25, 0.3):
        proof = keep_layering(shelf, {**THIN, "films": [{"parts": {"class-blue": 1}, "coats": coats}]})
        read_typed(shelf, proof.key, " ".join(f"{value + 9:.2f}" for value in proof.promise.lab))
    for _ in range(4):
        proof = keep_swatch(shelf, "class-blue", "masstone")
        read_typed(shelf, proof.key, " ".join(f"{value:.2f}" for value in proof.promise.lab))
    (now,) = suggest_next(shelf, keep_record(shelf))
    assert "its undertone is where predictions stray" in now.says and now.swatch == ""


def test_a_paint_in_the_bin_leaves_the_record_standing(shelf: Shelf) -> None:
    proof = keep_layering(shelf, THIN)
    read_typed(shelf, proof.key, "50 -30 -30")
    shelf.delete_paint("class-blue")
    record = keep_record(shelf)
    assert record.all.tally.count == 1 and record.today.tally.count == 0
    reading = read_typed(shelf, proof.key, "50 -30 -30", ground="90 0 0")
    assert reading.expected == proof.promise


def film(coats: float, *parts: float, medium: float = 0.0) -> Film:
    paints = [invented_paint("blue"), invented_paint("white", seed=1)]
    return Film(tuple(zip(paints, parts, strict=False)), coats, medium)


@pytest.mark.parametrize(
    ("coats", "parts", "medium", "words"),
    [
        (1.0, (1.0,), 0.0, "Blue straight from the tube; one even full coat."),
        (0.25, (1.0,), 0.0, "Mix 1 part Blue, 3 parts clear medium by volume; one even full coat."),
        (
            2.0,
            (1.0, 4.0),
            0.0,
            "Mix 1 part Blue, 4 parts White by volume; 2 full coats, each dry before the next.",
        ),
        (1.0, (1.0,), 2.0, "Mix 1 part Blue, 2 parts clear medium by volume; one even full coat."),
        (0.5, (1.0,), 1.0, "Mix 1 part Blue, 3 parts clear medium by volume; one even full coat."),
        (
            1.5,
            (1.0,),
            0.0,
            "Blue straight from the tube; as thick as 1.5 full coats, in 2 even ones, each dry before the next.",
        ),
    ],
)
def test_how_a_film_is_mixed_and_laid(
    coats: float, parts: tuple[float, ...], medium: float, words: str
) -> None:
    """A coat of a let-down mix holds as much paint as the film asked for: own definition, worked by hand."""
    assert say_how_to_paint(film(coats, *parts, medium=medium)) == words


@given(st.text(max_size=40))
def test_any_text_is_a_colour_or_refused(text: str) -> None:
    try:
        found = parse_lab(text, "lab")
    except InputError as error:
        assert "three numbers" in str(error)
    else:
        assert found.shape == (3,) and np.all(np.isfinite(found)) and 0 <= found[0] <= 100


@given(st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128)))
def test_a_colour_is_read_as_it_was_written(lab: tuple[float, float, float]) -> None:
    lightness, a, b = lab
    for text in (f"{lightness} {a} {b}", f"L* {lightness}, a* {a}, b* {b}".replace("-", "−")):
        assert parse_lab(text, "lab").tolist() == pytest.approx(lab)


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    try:
        measured = measure_samples(parse_samples(content))
    except InputError:
        return
    assert all(np.all(np.isfinite(values)) for values in measured.values)


def test_a_file_without_a_proof_saves_nothing(shelf: Shelf) -> None:
    keep_layering(shelf, THIN)
    with pytest.raises(InputError, match="at least one that is a proof's"):
        read_instrument(shelf, b"SAMPLE_ID,L,a,b\nwhite,94,0,0\n")
    with pytest.raises(InputError, match="SAMPLE=PROOF"):
        read_instrument(shelf, b"SAMPLE_ID,L,a,b\nS1,94,0,0\n", said=["S1"])
