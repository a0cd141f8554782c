"""Shelves in a file and on a server, for the tests that ask both the same."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.store.servers import MISSING, Server, running_server, server_folder


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    if server_folder() is None:
        pytest.skip(MISSING)
    with running_server() as started:
        yield started


@pytest.fixture(params=["file", "server"])
def place_of_shelf(request: pytest.FixtureRequest, tmp_path: Path) -> Path | str:
    """Where there is no shelf yet."""
    if request.param == "file":
        return tmp_path / "shelf.scumble"
    started: Server = request.getfixturevalue("server")
    return started.make_database()
