"""Tasks over the wire: looked at, followed as they change, stopped."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from threading import Event

import httpx
import pytest
from fastapi import FastAPI
from tests.web.server import serving

from scumble.errors import InputError
from scumble.jobs.task import Progress, Tasks
from scumble.web.app import create_app


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    return create_app(tmp_path_factory.mktemp("tasks") / "shelf.sqlite")


@pytest.fixture(scope="module")
def visitor(app: FastAPI) -> Iterator[httpx.Client]:
    with serving(app) as address, httpx.Client(base_url=address, timeout=120) as made:
        yield made


def events(visitor: httpx.Client, key: str) -> list[dict[str, object]]:
    with visitor.stream("GET", f"/tasks/{key}/events") as answer:
        assert answer.headers["content-type"].startswith("text/event-stream")
        return [json.loads(line[6:]) for line in answer.iter_lines() if line.startswith("data: ")]


def test_a_task_is_followed_to_its_end(app: FastAPI, visitor: httpx.Client) -> None:
    tasks: Tasks = app.state.tasks
    go_on = Event()

    def work(progress: Progress) -> dict[str, int]:
        progress(0.5, "half way")
        assert go_on.wait(120)
        return {"answer": 7}

    key = tasks.start("Count", work, kind="count")
    while visitor.get(f"/tasks/{key}").json()["share"] < 0.5:
        pass
    with visitor.stream("GET", f"/tasks/{key}/events") as answer:
        heard = []
        for line in answer.iter_lines():
            if line.startswith("data: "):
                heard.append(json.loads(line[6:]))
                go_on.set()
    assert [each["words"] for each in heard] == ["half way", "done"]
    assert heard[-1] == visitor.get(f"/tasks/{key}").json()
    assert heard[-1]["result"] == {"answer": 7} and heard[-1]["title"] == "Count"
    assert key in [each["id"] for each in visitor.get("/tasks?kind=count").json()]


def test_a_task_that_fails_says_why(app: FastAPI, visitor: httpx.Client) -> None:
    def work(_: Progress) -> None:
        raise InputError("coats", -1, "0 or more")

    (*_, last) = events(visitor, app.state.tasks.start("Refused", work))
    assert (last["state"], last["error"]) == ("failed", "coats: saw '-1'; allowed is 0 or more.")


def test_a_task_is_stopped(app: FastAPI, visitor: httpx.Client) -> None:
    def endless(progress: Progress) -> None:
        while True:
            progress(0.2, "on and on")

    key = app.state.tasks.start("Endless", endless)
    assert visitor.post(f"/tasks/{key}/cancel").status_code == 200
    (*_, last) = events(visitor, key)
    assert last["state"] == "cancelled"


@pytest.mark.parametrize("address", ["/tasks/nobody", "/tasks/nobody/events", "/tasks/..%2f..%2fetc"])
def test_an_unknown_task_is_not_found(visitor: httpx.Client, address: str) -> None:
    answer = visitor.get(address, headers={"accept": "application/json"})
    assert answer.status_code == 404


def test_a_result_that_is_no_plain_data_stays_with_the_program(
    app: FastAPI, visitor: httpx.Client, tmp_path: Path
) -> None:
    key = app.state.tasks.start("Private", lambda _: tmp_path)
    app.state.tasks.wait(key, timeout_s=120)
    assert visitor.get(f"/tasks/{key}").json()["result"] is None
