"""The application on a small shelf, behind a real socket."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.web.app import create_app


@pytest.fixture(scope="session")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("web") / "shelf.sqlite")


@pytest.fixture(scope="session")
def client(place: Path) -> Iterator[httpx.Client]:
    with serving(create_app(place)) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made
