"""What is handed in: how large, under which name, what it is."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi import FastAPI, Request, UploadFile
from hypothesis import given
from hypothesis import strategies as some
from tests.web.server import serving

from scumble.web.body_limit import BodyLimit
from scumble.web.faults import handle_faults
from scumble.web.uploads import (
    LONGEST_NAME,
    TooLargeError,
    receive_upload,
    safe_name,
    sniff_media_type,
)


def handed_in(content: bytes, name: str = "card.jpg") -> UploadFile:
    return UploadFile(io.BytesIO(content), filename=name)


def test_a_file_is_taken_in_with_what_it_is_not_what_it_is_called() -> None:
    got = receive_upload(handed_in(b"\x89PNG\r\n\x1a\n...", "../blue.jpg"))
    assert (got.content[:4], got.name, got.media_type) == (b"\x89PNG", "blue.jpg", "image/png")


def test_one_byte_too_many_is_refused() -> None:
    assert len(receive_upload(handed_in(b"x" * 1000), most_bytes=1000).content) == 1000
    with pytest.raises(TooLargeError, match=r"card.jpg is larger than 0.001 MB. Hand in a smaller copy."):
        receive_upload(handed_in(b"x" * 1001), most_bytes=1000)


@given(some.text(max_size=300))
def test_no_name_leads_anywhere(given_name: str) -> None:
    name = safe_name(given_name)
    assert 0 < len(name) <= LONGEST_NAME
    assert not set(name) & set('/\\<>:"|?*\x00\n') and name not in (".", "..")
    assert name.isprintable() or " " in name or not name.isascii()


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (b"\xff\xd8\xff\xe1", "image/jpeg"),
        (b"MM\x00*\x00", "image/tiff"),
        (b"\x00\x00\x00\x18ftypheic\x00", "image/heic"),
        (b"RIFF\x00\x00\x00\x00WEBPVP8 ", "image/webp"),
        (b"\xef\xbb\xbf<?xml version='1.0'?>", "application/xml"),
        (b"CGATS.17\n", "text/plain"),
        (b"PK\x03\x04", "application/zip"),
        (b"", "application/octet-stream"),
    ],
)
def test_the_first_bytes_say_what_it_is(content: bytes, kind: str) -> None:
    assert sniff_media_type(content) == kind


@given(some.binary(max_size=200))
def test_any_bytes_are_something(content: bytes) -> None:
    assert "/" in sniff_media_type(content)


@pytest.fixture(scope="module")
def small() -> Iterator[httpx.Client]:
    app = FastAPI()

    @app.post("/take")
    async def take(request: Request) -> dict[str, int]:
        async with request.form() as form:
            return {"files": len(form)}

    @app.post("/read")
    async def read(request: Request) -> dict[str, int]:
        return {"bytes": len(await request.body())}

    handle_faults(app)
    app.add_middleware(BodyLimit, form_bytes=50_000, other_bytes=2_000)
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def test_requests_within_bounds_pass(small: httpx.Client) -> None:
    assert small.post("/take", files={"card": b"x" * 40_000}).json() == {"files": 1}
    assert small.post("/read", content=b"x" * 2_000).json() == {"bytes": 2000}


@pytest.mark.parametrize(
    ("path", "sent"),
    [
        ("/take", {"files": {"card": b"x" * 60_000}}),
        ("/read", {"content": b"x" * 2_001}),
        # An iterator is sent in chunks, without a word beforehand of how much will come.
        ("/read", {"content": (b"x" * 500 for _ in range(9))}),
    ],
    ids=["form", "promised", "unpromised"],
)
def test_larger_requests_are_refused_in_words(small: httpx.Client, path: str, sent: dict[str, Any]) -> None:
    answer = small.post(path, headers={"accept": "application/json"}, **sent)
    assert answer.status_code == 413
    assert answer.json()["title"] == "That is too large"
    assert "What was sent is larger than 0.0" in answer.json()["words"]


def test_no_file_is_written_under_the_name_that_was_sent(
    small: httpx.Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    small.post("/take", files={"card": ("../../planted.txt", b"x" * 40_000)})
    assert list(tmp_path.rglob("*")) == [] and not (tmp_path.parent / "planted.txt").exists()
