"""A form that is sent twice, by a hand that presses twice or a page loaded again, does what it does once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from tests.jobs.cards.test_desk import PHOTOGRAPH
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.store.shelf import Shelf
from scumble.web.app import create_app

LIST = b"key,label,stock\nclass-blue,Class blue,7\n"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    return create_app(read_shelf(tmp_path_factory.mktemp("twice") / "shelf.sqlite"))


@pytest.fixture(scope="module")
def visitor(app: FastAPI) -> Iterator[httpx.Client]:
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def stands(shelf: Shelf) -> dict[str, Any]:
    """All that forms change on a shelf."""
    return {
        "paints": {entry.key: len(shelf.load_versions(entry.key)) for entry in shelf.load_entries()},
        "current": {entry.key: entry.version for entry in shelf.load_entries()},
        "binned": [entry.key for entry in shelf.load_bin()],
        "tubes": {entry.key: len(shelf.tubes.load_history(entry.key)) for entry in shelf.load_entries()},
        "recipes": {each.key: shelf.recipes.load(each.key) for each in shelf.recipes.load_all()},
        "binned recipes": [each.key for each in shelf.recipes.load_bin()],
    }


BLUE = "/paints/class-blue"

FORMS = [
    ("save a layering", "/layers/saved", {"do": "save", "name": "Sea", "query": "paint=class-blue"}),
    ("bin a layering", "/layers/saved", {"do": "bin", "name": "sea"}),
    ("fetch a layering back", "/layers/saved", {"do": "restore", "name": "sea"}),
    ("write papers", f"{BLUE}/papers", {"label": "Class blue", "binder": "acrylic", "stock": "3"}),
    ("go back", f"{BLUE}/back", {"said": "1"}),
    ("bin a tube", f"{BLUE}/bin", {}),
    ("fetch a tube back", "/bin", {"key": "class-blue"}),
    ("switch the light", "/room", {"room": "dim"}),
    ("leave the walk", "/walk", {"to": "end"}),
    ("lock", "/counter/lock", {}),
]


@pytest.mark.parametrize(("path", "said"), [form[1:] for form in FORMS], ids=[form[0] for form in FORMS])
def test_what_is_sent_twice_is_done_once(
    app: FastAPI, visitor: httpx.Client, path: str, said: dict[str, str]
) -> None:
    shelf: Shelf = app.state.shelf
    first = visitor.post(path, data=said)
    after = stands(shelf)
    second = visitor.post(path, data=said)
    assert first.status_code == second.status_code == 303
    place = second.headers["location"].partition("?")[0]
    assert place == first.headers["location"].partition("?")[0]
    assert stands(shelf) == after


def test_a_list_taken_in_twice_changes_nothing_the_second_time(app: FastAPI, visitor: httpx.Client) -> None:
    page = visitor.post("/import", files={"file": ("list.csv", LIST)}).headers["location"]
    assert visitor.post(page, data={"move": "take"}).status_code == 303
    after = stands(app.state.shelf)
    assert visitor.post(page, data={"move": "take"}).headers["location"] == page
    assert stands(app.state.shelf) == after
    assert app.state.shelf.tubes.load("class-blue").stock == 7


def test_a_card_dropped_and_kept_twice_is_there_once(app: FastAPI, visitor: httpx.Client) -> None:
    for _ in range(2):
        visitor.post("/cards", files=[("files", ("magenta.jpg", PHOTOGRAPH))])
    (card,) = app.state.card_desk.tray.cards()
    app.state.card_desk.wait(card.key, timeout_s=60)
    said = {"label": "Twice", "binder": "acrylic", "area full-black": "leave out", "do": "keep"}
    for _ in range(2):
        assert visitor.post(f"/cards/{card.key}", data=said).status_code == 303
    shelf: Shelf = app.state.shelf
    assert len(shelf.load_versions("twice")) == 1
    # Another word makes another version.
    visitor.post(f"/cards/{card.key}", data=said | {"area full-black": "accept"})
    assert [entry.version for entry in shelf.load_versions("twice")] == [1, 2]
    for _ in range(2):
        assert visitor.post(f"/cards/{card.key}/unkeep").status_code == 303
    assert next(entry for entry in shelf.load_entries() if entry.key == "twice").version == 1
    for _ in range(2):
        assert visitor.post(f"/cards/{card.key}/off").status_code == 303
    # Once it is taken off, it can be dropped anew.
    visitor.post("/cards", files=[("files", ("magenta.jpg", PHOTOGRAPH))])
    assert len(app.state.card_desk.tray.cards()) == 2
