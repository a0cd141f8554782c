"""Files that cannot be opened or are no text: each is refused in a sentence, and soon."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from tests.store.cards import XYZ_CARD

from scumble.errors import InputError
from scumble.store.readings.readings_file import load_readings, parse_readings
from scumble.store.readings.samples import load_samples


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "readings file: saw 'an empty file'"),
        (b" \r\n\n", "saw 'an empty file'"),
        (b"\xff\xfe", "saw 'an empty file'"),
        (b"# illuminant: D65\n", "columns: saw 'none'"),
        (b"PK\x03\x04rest", "saw 'a spreadsheet or zip archive'; .* Save the sheet as CSV"),
        (b"\x89PNG\r\n\x1a\n", "saw 'a PNG picture'; .* Hand it in as the photograph"),
        (b"\xff\xd8\xff\xe0", "saw 'a JPEG picture'"),
        (b"%PDF-1.7", "saw 'a PDF'"),
        (b"\x7fELF\x02\x01\x01\x00\x00", "saw 'bytes that are no text'"),
        ("area,film".encode("utf-16-le"), "saw 'bytes that are no text'; .* UTF-16 with its mark"),
        (b"\xff\xfea\x00b", "saw 'broken UTF-16-LE text'; .* breaks off at byte 2"),
        (b"\xef\xbb\xbfarea,\xff", "saw 'broken UTF-8 text'"),
        (b"area,film\x01\n", r"saw 'the character U\+0001 in line 1'; .* looks like a binary file"),
    ],
)
def test_files_that_are_no_text_are_refused(content: bytes, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings(content)


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(InputError, match=r"large\.csv: saw '50 MB'; allowed is at most 8 MB"):
        load_readings(path)
    with pytest.raises(InputError, match=r"saw '9 MB'"):
        parse_readings(b"a" * 9_000_000)


@pytest.mark.parametrize("kind", ["csv", "cgats"])
def test_a_hundred_thousand_rows_are_refused(kind: str) -> None:
    rows = "".join(f"a{n},full,1,0,white,12,9,5\n" for n in range(100_000))
    text = "area,film,paint_parts,white_parts,ground,X,Y,Z\n" + rows
    if kind == "cgats":
        head = (
            "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID FILM PAINT_PARTS WHITE_PARTS GROUND XYZ_X XYZ_Y XYZ_Z\n"
        )
        text = head + "END_DATA_FORMAT\nBEGIN_DATA\n" + rows.replace(",", " ") + "END_DATA\n"
    with pytest.raises(
        InputError, match=r"rows: saw .*; allowed is at most 1000, one for each area of one card"
    ):
        parse_readings(text)


@pytest.mark.parametrize(
    "text", ["a," * 3_900_000, "\n" * 7_900_000, "area,film\n" * 700_000, '"' * 7_900_000]
)
def test_the_largest_files_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        parse_readings(text.encode())


def test_files_that_cannot_be_opened_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none\.csv: saw 'no such file'.*Check the name and the folder"):
        load_readings(tmp_path / "none.csv")
    with pytest.raises(InputError, match=r"saw 'a folder'"):
        load_readings(tmp_path)
    os.mkfifo(tmp_path / "pipe.csv")
    with pytest.raises(InputError, match=r"pipe\.csv: saw 'something that is not an ordinary file'"):
        load_readings(tmp_path / "pipe.csv")
    with pytest.raises(InputError, match=r"saw 'a file that cannot be read'"):
        load_readings("bad\0name.csv")
    with pytest.raises(InputError, match=r"saw 'a file that cannot be read'.*File name too long"):
        load_readings("x" * 400)


def test_a_file_that_may_not_be_read_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "locked.csv"
    path.write_text(XYZ_CARD)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(InputError, match=r"locked\.csv: saw 'a file that may not be read'"):
        load_readings(path)


def test_an_error_names_the_file(tmp_path: Path) -> None:
    path = tmp_path / "blue.csv"
    path.write_text(XYZ_CARD.replace("12.0", "NaN"))
    with pytest.raises(InputError, match=r"blue\.csv, line 6, column X: saw 'NaN'"):
        load_readings(path)


def test_a_file_is_named_once(tmp_path: Path) -> None:
    for load in (load_readings, load_samples):
        with pytest.raises(InputError, match=r"^none\.csv: saw 'no such file'"):
            load(tmp_path / "none.csv")
        (tmp_path / "odd.csv").write_bytes(b"\xff\xfe\x00")
        with pytest.raises(InputError, match=r"^odd\.csv: saw 'broken UTF-16-LE text'"):
            load(tmp_path / "odd.csv")
        (tmp_path / "thin.csv").write_text("area,film\n")
        with pytest.raises(InputError, match=r"^thin\.csv, columns: saw "):
            load(tmp_path / "thin.csv")
