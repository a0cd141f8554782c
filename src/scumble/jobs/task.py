"""Long work in the background: how far it is, what came of it, and a way to stop it."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from enum import StrEnum
from threading import Condition, Lock
from typing import Any

from scumble.errors import InputError, ScumbleError

Progress = Callable[[float, str], None]
"""Called with the share done, 0 to 1, and what is being done; raises `StoppedError` where the work was cancelled."""

Work = Callable[[Progress], Any]

MOST_KEPT = 200
"""Finished tasks that can still be asked for; the oldest is let go first."""

HANDS = 2
"""Tasks that run at the same time; the others wait in the order in which they came."""

FAULT = "Something went wrong that should not; the terminal says more. Nothing was changed."


class StoppedError(Exception):
    """The work was cancelled; raised inside it at its next word of progress."""


class State(StrEnum):
    """Where a task stands."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"

    @property
    def is_over(self) -> bool:
        """Whether nothing more will happen."""
        return self in (State.DONE, State.FAILED, State.CANCELLED)


@dataclass(frozen=True, slots=True)
class Task:
    """A task as it stands at one moment.

    Parameters
    ----------
    key : str
        Made by chance; who does not know it cannot ask for the task.
    title : str
        What it is, for the person who waits.
    kind : str
        What sort of work; a page finds its own tasks by it.
    state : State
        Where it stands.
    share : float [1]
        How much is done.
    words : str
        What is being done.
    error : str
        What went wrong, in a sentence; empty where nothing did.
    result : object
        What came of it, once it is done.
    """

    key: str
    title: str
    kind: str = ""
    state: State = State.WAITING
    share: float = 0.0
    words: str = "waiting"
    error: str = ""
    result: Any = None


class Tasks:
    """Tasks of one running program; threads may share it.

    Parameters
    ----------
    hands : int
        Tasks at the same time.
    most_kept : int
        Finished tasks that are kept.

    Examples
    --------
    >>> with Tasks() as tasks:
    ...     key = tasks.start("Count", lambda progress: progress(0.5, "counting") or 3)
    ...     task = tasks.wait(key)
    >>> task.state.value, task.share, task.result
    ('done', 1.0, 3)
    """

    def __init__(self, *, hands: int = HANDS, most_kept: int = MOST_KEPT) -> None:
        self._pool = ThreadPoolExecutor(hands, thread_name_prefix="scumble-task")
        self._most_kept = most_kept
        self._tasks: dict[str, Task] = {}
        self._to_stop: set[str] = set()
        self._changed = Condition(Lock())

    def __enter__(self) -> Tasks:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def start(self, title: str, work: Work, *, kind: str = "") -> str:
        """Begin a task as soon as a hand is free.

        Parameters
        ----------
        title : str
            For the person who waits.
        work : callable
            Given a progress function; what it returns is the result, and a `ScumbleError` it raises is told.
        kind : str
            What sort of work.

        Returns
        -------
        str
            Its key.
        """
        key = secrets.token_hex(8)
        with self._changed:
            self._tasks[key] = Task(key, title, kind)
            self._let_go()
        self._pool.submit(self._run, key, work)
        return key

    def find(self, key: str) -> Task:
        """A task as it stands.

        Raises
        ------
        InputError
            If it is not known: it never was, it is long over, or the program was started anew since.
        """
        with self._changed:
            task = self._tasks.get(key)
        if task is None:
            raise InputError("task", key, "a task that is known", "It may be long over; ask for it anew.")
        return task

    def of_kind(self, kind: str) -> tuple[Task, ...]:
        """Tasks of one kind, oldest first."""
        with self._changed:
            return tuple(task for task in self._tasks.values() if task.kind == kind)

    def cancel(self, key: str) -> Task:
        """Stop a task: at once while it waits, at its next word of progress while it runs; one that is over stays.

        Raises
        ------
        InputError
            If it is not known.
        """
        task = self.find(key)
        with self._changed:
            self._to_stop.add(key)
        if task.state is State.WAITING:
            self._change(key, state=State.CANCELLED, words="cancelled")
        return self.find(key)

    def wait(self, key: str, *, timeout_s: float | None = None) -> Task:
        """A task once it is over, or as it stands after so many seconds."""
        with self._changed:
            self._changed.wait_for(
                lambda: key not in self._tasks or self._tasks[key].state.is_over, timeout_s
            )
        return self.find(key)

    def close(self) -> None:
        """Stop everything; nothing can be started after."""
        with self._changed:
            self._to_stop |= self._tasks.keys()
        self._pool.shutdown(wait=True, cancel_futures=True)

    def _run(self, key: str, work: Work) -> None:
        """Do one task, and keep what came of it whatever that is."""
        if not self._change(key, state=State.RUNNING, words="starting"):
            return
        try:
            result = work(lambda share, words: self._tell(key, share, words))
        except StoppedError:
            self._change(key, state=State.CANCELLED, words="cancelled")
        except ScumbleError as error:
            self._change(key, state=State.FAILED, words="failed", error=str(error))
        except Exception:
            logging.getLogger("scumble.jobs").exception("task %s", self.find(key).title)
            self._change(key, state=State.FAILED, words="failed", error=FAULT)
        else:
            self._change(key, state=State.DONE, words="done", share=1.0, result=result)

    def _tell(self, key: str, share: float, words: str) -> None:
        if key in self._to_stop:
            raise StoppedError
        self._change(key, share=min(max(float(share), 0.0), 1.0), words=words)

    def _change(self, key: str, **changes: Any) -> bool:
        """Write down how a task stands now, unless it is over; whether it was not."""
        with self._changed:
            task = self._tasks.get(key)
            if task is None or task.state.is_over:
                return False
            self._tasks[key] = replace(task, **changes)
            if self._tasks[key].state.is_over:
                self._to_stop.discard(key)
            self._changed.notify_all()
            return True

    def _let_go(self) -> None:
        """Forget the oldest finished tasks beyond those that are kept."""
        over = [key for key, task in self._tasks.items() if task.state.is_over]
        for key in over[: max(0, len(over) - self._most_kept)]:
            del self._tasks[key]
