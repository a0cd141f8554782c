"""A person's word on an area stands over the reader's."""

import pytest
from tests.card.photographs import jpeg, paint, photograph

from scumble.card import read_photograph
from scumble.errors import InputError


@pytest.fixture(scope="module")
def picture():
    return jpeg(photograph(paint())[0])


@pytest.fixture(scope="module")
def read(picture):
    words = {
        "thin1-red": "leave-out",
        "thin1-cyan": "accept",
        "thin2-black": "thin1",
        "tint1-white": "own-thickness",
    }
    card = read_photograph(picture, overrule=words)
    return {area.reading.area: area for area in card.areas}


def test_words_set_weight_and_meaning_and_are_kept(read):
    assert read["thin1-red"].reading.weight == 0.0
    assert read["thin1-red"].verdict.endswith("Left out by hand.")
    assert read["thin1-cyan"].reading.weight == 1.0
    assert (read["thin2-black"].reading.film, read["thin2-black"].reading.ground) == ("thin1", "black")
    assert read["thin2-black"].verdict.endswith("Taken by hand for the film called thin.")
    own = read["tint1-white"].reading
    assert (own.film, own.paint_parts, own.white_parts) == ("tint1 of its own", 1.0, 1.0)


def test_areas_nobody_spoke_of_stay_as_read(read, picture):
    plain = {area.reading.area: area for area in read_photograph(picture).areas}
    assert read["thin1-white"].verdict == plain["thin1-white"].verdict == "good"
    assert read["thin1-white"].reading.weight == 1.0


@pytest.mark.parametrize(
    ("words", "match"),
    [
        ({"thin9-red": "accept"}, "overrule: saw 'thin9-red'"),
        ({"thin1-red": "perhaps"}, "accept, leave out, own thickness, full, thin1"),
        ({"red": "thin1"}, "accept, leave out"),
    ],
)
def test_words_that_mean_nothing_are_refused(picture, words, match):
    with pytest.raises(InputError, match=match):
        read_photograph(picture, overrule=words)
