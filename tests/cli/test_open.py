"""``scumble open`` as a person runs it at the counter."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import httpx
import pytest
from tests.jobs.shelves import illustrative_shelf


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("home")
    illustrative_shelf(folder / "shelf.sqlite")
    return folder


def start(home: Path, *words: str) -> subprocess.Popen[str]:
    environment = {**os.environ, "SCUMBLE_SHELF": str(home / "shelf.sqlite"), "NO_COLOR": "1"}
    command = [sys.executable, "-m", "scumble", "open", "--no-browser", *words]
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment, cwd=home
    )


def test_the_counter_is_locked_and_its_code_is_said(home: Path) -> None:
    with start(home, "--counter", "--port", "0") as program:
        try:
            assert program.stdout is not None
            address = re.search(r"http://127\.0\.0\.1:\d+/counter", program.stdout.readline())
            code = re.search(r"staff unlock it with (\d{6})", program.stdout.readline())
            assert address and code
            with httpx.Client(base_url=address[0].removesuffix("/counter"), timeout=120) as tablet:
                for _ in range(200):
                    try:
                        assert tablet.get("/counter").status_code == 200
                        break
                    except httpx.ConnectError:
                        continue
                assert tablet.get("/print").headers["location"] == "/counter"
                assert tablet.post("/layers/saved", data={"do": "bin", "name": "x"}).status_code == 403
                assert tablet.post("/counter/unlock", data={"code": code[1]}).headers["location"] == "/"
                assert tablet.get("/print").status_code == 200
        finally:
            program.terminate()
            program.wait(20)


def test_the_workbench_is_not_opened_to_other_devices(home: Path) -> None:
    with start(home, "--at", "192.0.2.1") as program:
        _, said = program.communicate(timeout=300)
    assert program.returncode == 2
    assert "Only the counter may be seen from another device: add --counter." in said
