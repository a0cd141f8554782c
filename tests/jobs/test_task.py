"""Long work in the background: told, finished, failed, stopped, and let go."""

from __future__ import annotations

from threading import Event

import pytest

from scumble.errors import CardError, InputError
from scumble.jobs.task import FAULT, Progress, State, Tasks


def test_a_task_tells_how_far_it_is_and_keeps_what_came_of_it() -> None:
    may_go_on, told = Event(), Event()

    def work(progress: Progress) -> str:
        progress(0.25, "mixing")
        told.set()
        assert may_go_on.wait(10)
        return "green"

    with Tasks() as tasks:
        key = tasks.start("Mix", work, kind="mixing")
        assert told.wait(10)
        now = tasks.find(key)
        assert (now.state, now.share, now.words, now.result) == (State.RUNNING, 0.25, "mixing", None)
        may_go_on.set()
        then = tasks.wait(key, timeout_s=10)
    assert (then.state, then.share, then.result, then.title) == (State.DONE, 1.0, "green", "Mix")


def test_what_a_person_may_read_is_told_and_anything_else_is_not(caplog: pytest.LogCaptureFixture) -> None:
    def refuse(_: Progress) -> None:
        raise CardError("This is a PDF.", "Give a photograph.")

    def break_down(_: Progress) -> None:
        raise ZeroDivisionError("secret path")

    with Tasks() as tasks:
        refused = tasks.wait(tasks.start("a", refuse), timeout_s=10)
        broken = tasks.wait(tasks.start("b", break_down), timeout_s=10)
    assert (refused.state, refused.error) == (State.FAILED, "This is a PDF. Give a photograph.")
    assert (broken.state, broken.error) == (State.FAILED, FAULT)
    assert "secret path" in caplog.text


def test_a_running_task_stops_at_its_next_word_and_a_waiting_one_at_once() -> None:
    begun, may_go_on, ran = Event(), Event(), Event()

    def long(progress: Progress) -> str:
        begun.set()
        assert may_go_on.wait(10)
        progress(0.5, "half")
        return "never"

    with Tasks(hands=1) as tasks:
        running = tasks.start("long", long)
        waiting = tasks.start("next", lambda _: ran.set())
        assert begun.wait(10)
        assert tasks.cancel(waiting).state is State.CANCELLED
        tasks.cancel(running)
        may_go_on.set()
        over = tasks.wait(running, timeout_s=10)
        after = tasks.wait(tasks.start("after", lambda _: 1), timeout_s=10)
    assert (over.state, over.result) == (State.CANCELLED, None)
    assert after.result == 1 and not ran.is_set()


def test_one_that_is_over_stays_as_it_is_when_cancelled() -> None:
    with Tasks() as tasks:
        done = tasks.wait(tasks.start("quick", lambda _: 7), timeout_s=10)
        assert tasks.cancel(done.key).state is State.DONE


def test_only_so_many_finished_tasks_are_kept_the_newest() -> None:
    with Tasks(most_kept=3) as tasks:
        keys = []
        for number in range(6):
            keys.append(tasks.start("x", lambda _, n=number: n, kind="count"))
            tasks.wait(keys[-1], timeout_s=10)
        assert [task.key for task in tasks.of_kind("count")] == keys[-4:]
        with pytest.raises(InputError, match=r"task: saw '.*'; allowed is a task that is known"):
            tasks.find(keys[0])


def test_closing_stops_what_runs_and_what_waits() -> None:
    begun = Event()

    def endless(progress: Progress) -> None:
        begun.set()
        while True:
            progress(0.1, "on and on")

    tasks = Tasks(hands=1)
    first, second = tasks.start("a", endless), tasks.start("b", endless)
    assert begun.wait(10)
    tasks.close()
    assert tasks.find(first).state is State.CANCELLED
    assert tasks.find(second).state in (State.WAITING, State.CANCELLED)
