"""One subject painted two ways: what is added up, what is said, and the picture repainted."""

from __future__ import annotations

import io
import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from tests.jobs.shelves import read_shelf
from typer.testing import CliRunner

from scumble.cli.main import app
from scumble.errors import InputError
from scumble.jobs.match.subject import SubjectRequest, paint_subject
from scumble.jobs.match.subject_page import SEEN, subject_from_shelf
from scumble.jobs.match.subject_value import REACHED, Subject
from scumble.jobs.match.subject_words import ROWS, TITLES, say_subject, sentences_of_subject, table_of_subject
from scumble.jobs.match.wanted_colours import Wanted
from scumble.paint.pigment import starter_shelf

KEYS = ("titanium-white", "cadmium-yellow", "nickel-azo-yellow", "pyrrole-red", "quinacridone-rose",
        "ultramarine-blue", "phthalo-blue-red-shade", "burnt-sienna", "bone-black")  # fmt: skip
TUBES = tuple(paint for paint in starter_shelf() if paint.key in KEYS)
LABS = np.array([[60.0, 30, 40], [60.0, 30, 40], [40, 5, -35], [75, 5, 60]])
SHARES = np.array([0.1, 0.2, 0.3, 0.4])


@pytest.fixture(scope="module")
def subject() -> Subject:
    wanted = Wanted(LABS, ("brick", "the same brick", "dusk", "straw"), "four colours")
    return paint_subject(SubjectRequest(), wanted, TUBES, shares=SHARES)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("subject") / "shelf.sqlite")


@pytest.fixture(scope="module")
def sketch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two thirds of one colour beside a third of another."""
    path = tmp_path_factory.mktemp("sketch") / "sketch.png"
    shown = np.zeros((300, 300, 3), np.uint8)
    shown[:, :200], shown[:, 200:] = (190, 150, 60), (60, 80, 120)
    Image.fromarray(shown).save(path)
    return path


def test_means_go_by_shares(subject: Subject) -> None:
    for tally in subject.tallies:
        own = [each.ways[tally.way] for each in subject.colours]
        assert tally.painted == 4
        for which in ("difference", "brightness", "chroma", "coats", "paint", "unevenness", "wet_shift"):
            told = np.average([getattr(each, which) for each in own], weights=SHARES)
            assert getattr(tally, which) == pytest.approx(told, abs=0.006), which
        assert tally.reached == sum(each.difference <= REACHED for each in own)
        assert tally.most_coats == max(each.coats for each in own)
        assert tally.slips == sum(each.slips for each in own)
    assert subject.brightness == pytest.approx(SHARES @ LABS[:, 0], abs=0.06)


def test_what_serves_twice_is_stirred_once(subject: Subject) -> None:
    for tally in subject.tallies:
        first, again = (each.ways[tally.way] for each in subject.colours[:2])
        assert first == again
        every = [mixture for each in subject.colours for mixture in each.ways[tally.way].mixtures]
        assert tally.mixtures == len(set(every)) < len(every)


def test_glazing_takes_less_paint_and_a_steadier_hand(subject: Subject) -> None:
    """*Common practice, no source*: a glaze is mostly medium, and an uneven one shows."""
    cover, glaze = subject.tallies
    assert glaze.paint is not None and cover.paint is not None and glaze.paint < 0.5 * cover.paint
    assert glaze.unevenness is not None and cover.unevenness is not None
    assert glaze.unevenness > cover.unevenness


def test_both_ways_are_told_alike(subject: Subject) -> None:
    rows = table_of_subject(subject)
    assert rows[0] == ("counted", "covered", "glazed") and len(rows) == len(ROWS) + 1
    assert all(len(row) == 3 and all(row[1:]) for row in rows)
    told = " ".join(sentences_of_subject(subject))
    assert all(title in told for title in TITLES.values())
    assert not any(word in told for word in (" better", " best", " worse"))
    lines = say_subject(subject)
    assert lines[0] == "One subject, two ways: four colours, over white paper."
    assert "  The safety data sheet and local rules come before this list." in lines


def test_a_picture_is_repainted_where_its_colours_lie(shelf: Path, sketch: Path) -> None:
    found = subject_from_shelf(SubjectRequest(), shelf, picture=sketch, count=2)
    assert [round(each.share, 2) for each in found.subject.colours] == [0.67, 0.33]
    for seen in SEEN:
        shown = np.asarray(Image.open(io.BytesIO(found.repaint(seen))).convert("RGB"))
        for each, x in zip(found.subject.colours, (0.1, 0.9), strict=True):
            wanted = each.colour if seen == "wanted" else each.ways[seen].colour
            at = shown[shown.shape[0] // 2, int(x * shown.shape[1])]
            assert "#" + bytes(at.tolist()).hex() == wanted
    with pytest.raises(InputError, match="seen: saw 'scumble'; allowed is wanted, cover, glaze"):
        found.repaint("scumble")


def test_only_named_tubes_are_used(shelf: Path) -> None:
    request = SubjectRequest(only=("Titanium white", "burnt-sienna", "Ultramarine blue"))
    found = subject_from_shelf(request, shelf, lines="60 10 20\n30 0 -10")
    used = {tube for each in found.subject.colours for way in each.ways.values() for tube in way.tubes}
    assert used <= {"titanium-white", "burnt-sienna", "ultramarine-blue"}
    with pytest.raises(InputError, match="picture: saw 'none'"):
        found.board()


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({}, "subject: saw 'nothing'; allowed is a picture, or its colours"),
        ({"lines": "\n"}, "colours: saw 'none'; allowed is at least one colour"),
        ({"lines": "60 20 30\n" * 41}, "colours: saw '41 colours'; allowed is 1 to 40"),
    ],
)
def test_what_cannot_be_painted_is_said(shelf: Path, asked: dict[str, str], message: str) -> None:
    with pytest.raises(InputError, match=message):
        subject_from_shelf(SubjectRequest(), shelf, **asked)  # type: ignore[arg-type]


def test_the_command_writes_the_picture_three_times(shelf: Path, sketch: Path, tmp_path: Path) -> None:
    out = tmp_path / "board.png"
    words = ["subject", "--picture", str(sketch), "--count", "2", "--out", str(out), "--shelf", str(shelf)]
    ran = CliRunner().invoke(app, [*words, "--json"])
    assert ran.exit_code == 0, ran.output
    told = json.loads(ran.stdout)
    assert [each["way"] for each in told["tallies"]] == ["cover", "glaze"]
    assert told["files"] == [str(out)]
    with Image.open(out) as board:
        assert board.width == 3 * board.height
