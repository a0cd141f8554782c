"""What is saved on the shelf, what comes back, and what is said when it cannot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.cards import invented_paint, same_card, same_paint, small_card

from scumble.errors import InputError, StoreError
from scumble.paint import Binder, Optics, Paint, Provenance, Quantity
from scumble.store.shelf import Picture, Shelf, open_shelf
from scumble.tables import BANDS

BLUE = invented_paint()
PICTURE = Picture(b"\xff\xd8 a picture", "image/jpeg", {"white": ((1.0, 2.0), (3.5, 2.0), (3.5, 4.0))})


@pytest.fixture
def shelf(place_of_shelf: Path | str) -> Iterator[Shelf]:
    with open_shelf(place_of_shelf) as opened:
        yield opened


@pytest.fixture(scope="module")
def long_lived_shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(tmp_path_factory.mktemp("shelf") / "shelf.scumble") as opened:
        yield opened


@pytest.mark.parametrize("quantity", list(Quantity))
def test_a_paint_comes_back_with_its_card_and_picture(tmp_path: Path, quantity: Quantity) -> None:
    place = tmp_path / "shelf.scumble"
    with open_shelf(place) as shelf:
        assert shelf.save_paint(BLUE, readings=small_card(quantity), picture=PICTURE) == 1
    with open_shelf(f"sqlite:///{place}") as shelf:
        assert same_paint(shelf.load_paint("deep-blue"), BLUE)
        card = shelf.load_readings("deep-blue")
        assert card is not None and same_card(card, small_card(quantity))
        assert shelf.load_picture("deep-blue") == PICTURE
    # Closed, a shelf is one file.
    assert [entry.name for entry in tmp_path.iterdir()] == ["shelf.scumble"]


def test_a_paint_without_card_and_picture_has_none(shelf: Shelf) -> None:
    shelf.save_paint(BLUE)
    assert shelf.load_readings("deep-blue") is None
    assert shelf.load_picture("deep-blue") is None


@st.composite
def paints(draw: st.DrawFn) -> Paint:
    spectrum = st.lists(st.floats(1e-300, 1e300), min_size=BANDS, max_size=BANDS).map(np.array)
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    factor = rng.normal(size=(2 * BANDS, draw(st.sampled_from([0, 3, 2 * BANDS]))))
    covariance = factor @ factor.T
    if draw(st.booleans()):
        # A last digit that differs across the diagonal must survive too.
        covariance[0, 1] = np.nextafter(covariance[1, 0], 9.0)
    label = draw(st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=20))
    return Paint(
        draw(st.from_regex(r"[a-zé0-9]{1,8}(-[a-z0-9]{1,8}){0,3}", fullmatch=True)),
        label,
        Optics(draw(spectrum), draw(spectrum), covariance),
        draw(st.sampled_from(list(Provenance))),
        tuple(draw(st.lists(st.sampled_from(["PB29", "PW6", "PR101"]), max_size=4))),
        draw(st.sampled_from(list(Binder))),
        tuple(draw(st.lists(st.text(st.characters(exclude_categories=("Cs",)), max_size=20), max_size=3))),
    )


@settings(max_examples=60, deadline=None)
@given(paint=paints())
def test_whatever_paint_is_saved_loads_equal(long_lived_shelf: Shelf, paint: Paint) -> None:
    long_lived_shelf.save_paint(paint)
    assert same_paint(long_lived_shelf.load_paint(paint.key), paint)
    assert any(same_paint(paint, each) for each in long_lived_shelf.load_paints())


def test_saving_again_adds_a_version_and_keeps_the_older_ones(shelf: Shelf) -> None:
    refitted = replace(BLUE, optics=invented_paint(seed=1).optics)
    assert [shelf.save_paint(BLUE), shelf.save_paint(refitted), shelf.save_paint(BLUE)] == [1, 2, 3]
    assert same_paint(shelf.load_paint("deep-blue"), BLUE)
    assert same_paint(shelf.load_paint("deep-blue", version=2), refitted)
    assert [entry.version for entry in shelf.load_versions("deep-blue")] == [1, 2, 3]
    with pytest.raises(InputError, match=r"version: saw '4'; allowed is 1 to 3"):
        shelf.load_paint("deep-blue", version=4)


def test_saving_the_same_paint_again_adds_nothing(shelf: Shelf) -> None:
    assert [shelf.save_paint(BLUE), shelf.save_paint(BLUE)] == [1, 1]
    assert len(shelf.load_versions("deep-blue")) == 1


def test_a_new_label_keeps_card_and_picture_and_new_optics_do_not(shelf: Shelf) -> None:
    shelf.save_paint(BLUE, readings=small_card(), picture=PICTURE)
    assert shelf.save_paint(replace(BLUE, label="Blue", pigments=("PB29",))) == 2
    assert shelf.load_picture("deep-blue") == PICTURE
    assert shelf.load_readings("deep-blue") is not None
    shelf.save_paint(BLUE, readings=small_card(Quantity.REFLECTANCE))
    assert shelf.load_picture("deep-blue") is None
    card = shelf.load_readings("deep-blue")
    assert card is not None and card.quantity is Quantity.REFLECTANCE
    shelf.save_paint(replace(BLUE, optics=invented_paint(seed=1).optics))
    assert shelf.load_readings("deep-blue") is None


def test_an_older_version_can_be_chosen_again(shelf: Shelf) -> None:
    shelf.save_paint(BLUE)
    shelf.save_paint(replace(BLUE, label="Blue"))
    shelf.choose_version("deep-blue", 1)
    assert shelf.load_paint("deep-blue").label == "Deep blue"
    # The next version counts on from the newest, not from the chosen one.
    assert shelf.save_paint(replace(BLUE, label="Third")) == 3
    with pytest.raises(InputError, match=r"version: saw '7'; allowed is 1 to 3"):
        shelf.choose_version("deep-blue", 7)


def test_paints_and_entries_come_by_key(shelf: Shelf) -> None:
    before = datetime.now(UTC)
    shelf.save_paints([replace(BLUE, key=key) for key in ("ochre", "black", "white")])
    assert [paint.key for paint in shelf.load_paints()] == ["black", "ochre", "white"]
    entry = shelf.load_entries()[1]
    assert (entry.key, entry.label, entry.binder, entry.version) == ("ochre", "Deep blue", Binder.OIL, 1)
    assert (entry.pigments, entry.provenance) == (BLUE.pigments, BLUE.provenance)
    assert timedelta(0) <= entry.saved_at - before < timedelta(minutes=1)


def test_many_paints_keep_their_own_pigments(shelf: Shelf) -> None:
    shelf.save_paints(replace(BLUE, key=f"p{n}", pigments=(f"PB{n}", "PW6")) for n in range(150))
    assert all(paint.pigments == (f"PB{paint.key[1:]}", "PW6") for paint in shelf.load_paints())


def test_several_paints_are_saved_all_or_none(shelf: Shelf) -> None:
    with pytest.raises(InputError, match=r"key: saw 'Not A Key'"):
        shelf.save_paints([BLUE, replace(BLUE, key="Not A Key")])
    assert shelf.load_paints() == ()


def test_a_card_that_cannot_be_kept_saves_nothing(shelf: Shelf) -> None:
    card = small_card()
    broken = replace(card, readings=(*card.readings, replace(card.readings[1], area="b", values=np.zeros(2))))
    with pytest.raises(InputError, match=r"reading of b: .* allowed is 3 finite numbers"):
        shelf.save_paint(BLUE, readings=broken)
    assert shelf.load_entries() == ()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"key": ""}, "key: saw ''; allowed is lower-case words joined by hyphens"),
        ({"key": "Blue"}, r"key: saw 'Blue'; .* For example: ultramarine-blue\."),
        ({"key": "a--b"}, "key: saw 'a--b'"),
        ({"key": "../x"}, "key: saw"),
        ({"key": "a" * 81}, "at most 80 letters"),
        ({"label": " "}, "label: saw ' '; allowed is a name of 1 to 200 characters on one line"),
        ({"label": "a\nb"}, "label: saw"),
        ({"pigments": ("PB29", "")}, "pigments: saw ''; allowed is Colour Index names, such as PB29"),
    ],
)
def test_names_that_cannot_be_kept_are_refused(shelf: Shelf, change: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        shelf.save_paint(replace(BLUE, **change))


def test_a_paint_is_found_by_its_label_too(shelf: Shelf) -> None:
    shelf.save_paints(
        [BLUE, replace(BLUE, key="other", label="Other"), replace(BLUE, key="twin", label="Other")]
    )
    assert shelf.load_paint("Deep BLUE").key == shelf.load_paint(" DEEP-blue ").key == "deep-blue"
    assert shelf.load_paint("other").key == "other"
    shelf.delete_paint("other")
    assert shelf.load_paint("Other").key == "twin"


def test_an_unknown_paint_is_answered_with_near_names(shelf: Shelf) -> None:
    with pytest.raises(
        InputError, match=r"paint: saw 'blue'; allowed is a paint on the shelf\. The shelf is empty"
    ):
        shelf.load_paint("blue")
    labels = {"ultramarine": "Ultramarine", "cerulean": "Cerulean", "yellow-ochre": "Yellow ochre"}
    shelf.save_paints(replace(BLUE, key=key, label=label) for key, label in labels.items())
    with pytest.raises(InputError, match=r"saw 'ultramarin-blue'.*Did you mean ultramarine\?"):
        shelf.load_paint("ultramarin-blue")
    with pytest.raises(InputError, match=r"Did you mean yellow-ochre\?"):
        shelf.load_readings("Yelow Okre")
    with pytest.raises(InputError, match=r"There are: cerulean, ultramarine, yellow-ochre\."):
        shelf.load_picture("qqq")
    with pytest.raises(InputError, match=r"allowed is a paint in the bin\. The bin is empty"):
        shelf.restore_paint("ultramarine")


def test_the_bin_gives_back_what_was_put_there(shelf: Shelf) -> None:
    shelf.save_paint(BLUE, readings=small_card(), picture=PICTURE)
    shelf.save_paint(replace(BLUE, label="Blue"))
    shelf.delete_paint("deep-blue")
    assert shelf.load_paints() == shelf.load_entries() == ()
    assert [entry.key for entry in shelf.load_bin()] == ["deep-blue"]
    with pytest.raises(InputError, match=r"allowed is a paint on the shelf"):
        shelf.delete_paint("deep-blue")
    shelf.restore_paint("deep-blue")
    assert shelf.load_bin() == ()
    assert shelf.load_picture("deep-blue") == PICTURE
    assert [entry.label for entry in shelf.load_versions("deep-blue")] == ["Deep blue", "Blue"]


def test_a_key_from_the_bin_may_be_used_again(shelf: Shelf) -> None:
    for seed in range(3):
        shelf.save_paint(invented_paint(seed=seed))
        shelf.delete_paint("deep-blue")
    shelf.restore_paint("deep-blue")
    assert same_paint(shelf.load_paint("deep-blue"), invented_paint(seed=2))
    with pytest.raises(StoreError, match=r"Another paint is called deep-blue by now; bin that one first"):
        shelf.restore_paint("deep-blue")
    assert len(shelf.load_bin()) == 2


@pytest.mark.parametrize(
    ("content", "media_type", "words"),
    [(b"", "image/png", "picture: saw 'nothing'"), (b"x", "text/html", "media_type: saw 'text/html'")],
)
def test_what_is_no_picture_is_refused(content: bytes, media_type: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        Picture(content, media_type)


def test_a_shelf_of_sixty_paints_loads_whole(shelf: Shelf) -> None:
    shelf.save_paints(invented_paint(f"paint-{seed}", seed=seed) for seed in range(60))
    assert len(shelf.load_paints()) == 60
