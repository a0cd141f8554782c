"""Targets and profiles kept beside the shelf: what is taken in, what is refused, what is chosen."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo.camera import CAMERAS
from demo.target import reference_file
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scumble.errors import InputError
from scumble.jobs.cards.colour_aids import ColourAids, ColourWords

TARGET = reference_file().encode()
PROFILE = CAMERAS["phone"].profile()
NUMBERED = "\n".join(
    [
        "IT8.7/2",
        "BEGIN_DATA_FORMAT",
        "SAMPLE_ID XYZ_X XYZ_Y XYZ_Z",
        "END_DATA_FORMAT",
        "BEGIN_DATA",
        *(f"{number} {2 * number} {2 * number} {number}" for number in range(1, 25)),
        "END_DATA",
    ]
).encode()


@pytest.fixture
def aids(tmp_path: Path) -> ColourAids:
    return ColourAids(tmp_path / "aids")


def test_what_a_file_is_its_content_says(aids: ColourAids) -> None:
    target, profile = aids.add(TARGET, "scan.icc"), aids.add(PROFILE, "class.txt")
    assert (target.kind, target.words) == ("target", "target of 96 patches, 12 rows of 8")
    assert profile.kind == "profile" and "profile “" in profile.words
    assert [aid.key for aid in aids.all("target")] == [target.key]
    assert [aid.key for aid in aids.all()] == [target.key, profile.key]


def test_the_same_file_is_kept_once(aids: ColourAids) -> None:
    assert aids.add(TARGET, "a.txt").key == aids.add(TARGET, "b.txt").key
    assert [aid.name for aid in aids.all()] == ["b.txt"]


@pytest.mark.parametrize("content", [b"", b"hello", bytes(36) + b"acsp", PROFILE[:200], b"\xff\xd8\xff" * 50])
def test_what_is_neither_is_refused(aids: ColourAids, content: bytes) -> None:
    with pytest.raises(InputError, match="allowed is"):
        aids.add(content, "thing")
    assert aids.all() == ()


def test_patches_with_numbers_need_their_columns(aids: ColourAids) -> None:
    with pytest.raises(InputError, match="say how many lie in a row"):
        aids.add(NUMBERED, "numbers.txt")
    kept = aids.add(NUMBERED, "numbers.txt", columns=6)
    assert kept.words == "target of 24 patches, 4 rows of 6"
    assert aids.options(ColourWords(target=kept.key))["target"].columns == 6


def test_options_are_what_the_reader_takes(aids: ColourAids) -> None:
    target, profile = aids.add(TARGET, "t"), aids.add(PROFILE, "p")
    options = aids.options(ColourWords(target=target.key, profile=profile.key, corners="0,0 9,0 9,9 0,9"))
    assert len(options["target"].reference.names) == 96
    assert options["target"].corners_px == ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    assert options["profile"] == PROFILE
    assert aids.options(ColourWords()) == {}


def test_a_choice_outlives_a_restart_and_what_is_put_away_is_not_offered(tmp_path: Path) -> None:
    aids = ColourAids(tmp_path)
    target = aids.add(TARGET, "class.txt")
    aids.choose(ColourWords(target=target.key, corners=""))
    again = ColourAids(tmp_path)
    assert again.chosen() == ColourWords(target=target.key)
    again.put_away(target.key)
    assert again.chosen() == ColourWords()
    assert again.options(ColourWords(target=target.key))
    again.put_away(target.key, away=False)
    assert ColourAids(tmp_path).chosen().target == target.key


def test_a_target_is_no_profile(aids: ColourAids) -> None:
    target = aids.add(TARGET, "class.txt")
    with pytest.raises(InputError, match="allowed is a profile"):
        aids.choose(ColourWords(profile=target.key))
    with pytest.raises(InputError, match="one that is kept here"):
        aids.choose(ColourWords(target="nobody"))
    with pytest.raises(InputError, match="together with the target"):
        aids.check(ColourWords(corners="0,0 1,0 1,1 0,1"))


def damaged(content: bytes, changes: list[tuple[int, int]], kept: int) -> bytes:
    """A file with some of its bytes changed, and cut short."""
    worn = bytearray(content)
    for place, byte in changes:
        worn[place % len(worn)] = byte
    return bytes(worn[: max(1, kept % (len(worn) + 1))])


@given(
    whole=st.sampled_from([TARGET, PROFILE, NUMBERED]),
    changes=st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), max_size=12),
    kept=st.integers(0, 10**6),
)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damaged_files_are_kept_or_refused_in_words(
    tmp_path: Path, whole: bytes, changes: list[tuple[int, int]], kept: int
) -> None:
    aids = ColourAids(tmp_path / "worn")
    try:
        aid = aids.add(damaged(whole, changes, kept), "worn", columns=6)
    except InputError as error:
        assert "allowed is" in str(error)
    else:
        aids.put_away(aid.key)
        assert aid.words
