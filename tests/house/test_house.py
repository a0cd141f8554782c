"""The house itself: how its files open, how large they are, what must never stand in them."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src" / "scumble").rglob("*.py"))
TRACKED = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True).stdout.split("\n")
TEXTS = [
    ROOT / name
    for name in TRACKED
    if Path(name).suffix in {".py", ".md", ".toml", ".txt", ".csv", ".js", ".css", ".html"}
]


def short(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_every_file_opens_with_a_sentence(path: Path) -> None:
    said = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert said, "no docstring"
    first = said.split("\n\n")[0]
    assert first.rstrip().endswith((".", ":", "?")), first


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_no_file_is_a_drawer(path: Path) -> None:
    assert path.stem not in {"utils", "helpers", "common", "core", "models", "misc"}
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 450


@pytest.mark.parametrize("path", SOURCES, ids=short)
def test_nothing_is_left_unfinished(path: Path) -> None:
    assert not re.search(r"\b(TODO|FIXME|XXX|NotImplementedError)\b", path.read_text(encoding="utf-8"))


def test_no_registry_or_machine_path_is_named() -> None:
    pattern = re.compile(r"(index[-]url|https?://[^ ]*/(simple|packages)/|(?<![\w.])/(home|root|tmp)/\w)")
    found = [
        f"{short(path)}:{number}"
        for path in TEXTS
        if path.exists() and path != Path(__file__)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    ]
    assert found == []


def test_pure_rooms_open_nothing_and_draw_no_chance() -> None:
    """optics, colour, paint and solve take arrays and give arrays."""
    forbidden = re.compile(
        r"\b(open\(|Path\(|socket|datetime|time\.time|default_rng|np\.random\.(?!Generator))"
    )
    rooms = ("optics", "colour", "paint", "solve")
    found = [
        f"{short(path)}:{number}"
        for path in SOURCES
        if path.relative_to(ROOT / "src" / "scumble").parts[0] in rooms
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if forbidden.search(line)
    ]
    assert found == []


def test_readme_names_every_command() -> None:
    answer = subprocess.run([sys.executable, "-m", "scumble", "--help"], capture_output=True, text=True)
    commands = re.findall(r"^│ ([a-z]+)  ", answer.stdout, re.MULTILINE)
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(commands) >= 7
    assert [name for name in commands if f"`scumble {name}" not in readme] == []


def test_links_in_the_pages_lead_somewhere() -> None:
    for page in [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *(ROOT / "docs").glob("*.md")]:
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{short(page)} links to {target}"
