"""The table of many cards: what it says of each, and how it is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from scumble.errors import InputError
from scumble.jobs.cards.card_list import load_card_list, name_of, orders_of
from scumble.paint import Binder

TABLE = """# the class of Thursday
File;Tube;Pigments;Binder;Is white;White
white.jpg;Titanium white;PW6;oil;yes;
a_b-c.jpg;;pb15:3 + pg7;;;titanium-white

dark.tif;Night blue;PB60;acrylic;no;
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "cards.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_each_line_is_a_card(tmp_path: Path) -> None:
    first, second, third = load_card_list(written(tmp_path, TABLE), binder="gum", white="zinc")
    assert (first.path, first.tube.label, first.tube.pigments) == (
        tmp_path / "white.jpg",
        "Titanium white",
        ("PW6",),
    )
    assert (first.tube.binder, first.tube.is_white) == (Binder.OIL, True)
    assert (second.tube.label, second.tube.pigments) == ("A b c", ("PB15:3", "PG7"))
    assert (second.tube.binder.value, second.white) == ("gum", "titanium-white")
    assert (third.white, third.tube.is_white) == ("zinc", False)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("# nothing\n", "a table of 1 to 2000 cards"),
        ("tube,pigments\nRed,PR254\n", "a first line of columns, of file, tube"),
        ("file,price\nred.jpg,3\n", "a first line of columns"),
        ("file,label,tube\nred.jpg,a,b\n", "a first line of columns"),
        ("file,tube\n,Red\n", "line 2 of cards.csv without a file"),
        ("file,is_white\nred.jpg,maybe\n", "yes or no"),
        ("file,binder\nred.jpg,glue\n", "acrylic, oil"),
    ],
)
def test_what_is_no_such_table_is_refused_in_words(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        load_card_list(written(tmp_path, text))


def test_without_a_table_tubes_go_by_their_files() -> None:
    (order,) = orders_of([Path("photos/warm_earth.jpg")], binder="oil", white="w")
    assert (order.tube.key, order.tube.binder, order.white) == ("warm-earth", Binder.OIL, "w")
    assert name_of(Path("Lemon  yellow.JPG")) == "Lemon yellow"
