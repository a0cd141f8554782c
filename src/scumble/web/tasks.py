"""Long work as pages follow it: how a task stands, its events as they come, and stopping it."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from pydantic import BaseModel
from starlette.responses import Response, StreamingResponse

from scumble.jobs.task import Task, Tasks
from scumble.web.faults import REFUSAL, missing

router = APIRouter()

LOOK_EVERY_S = 0.1
"""How often a stream looks whether there is something new."""

STREAM_S = 15.0
"""After which a stream ends, so that no closed page holds a server open; browsers take it up again by themselves."""

AGAIN_MS = 300
"""How soon they do."""

EVENTS: dict[str, Any] = {"content": {"text/event-stream": {}}, "description": "Events as they come."}


class TaskSeen(BaseModel):
    """How a task stands."""

    id: str
    title: str
    kind: str
    state: str
    share: float
    words: str
    error: str
    result: Any = None


def tasks_of(request: Request) -> Tasks:
    """The tasks of the running program."""
    tasks: Tasks = request.app.state.tasks
    return tasks


def seen(task: Task) -> TaskSeen:
    """A task as pages are told of it; a result that is no plain data stays with the program."""
    plain = isinstance(task.result, (dict, list, str, int, float, bool))
    return TaskSeen(
        id=task.key,
        title=task.title,
        kind=task.kind,
        state=task.state.value,
        share=round(task.share, 3),
        words=task.words,
        error=task.error,
        result=task.result if plain else None,
    )


@router.get("/tasks", summary="Tasks of one kind")
def list_tasks(request: Request, kind: Annotated[str, Query(max_length=40)]) -> list[TaskSeen]:
    """What a page started before it was left or loaded anew, oldest first."""
    return [seen(task) for task in tasks_of(request).of_kind(kind)]


@router.get("/tasks/{key}", responses={404: REFUSAL}, summary="How a task stands")
def look_at_task(request: Request, key: str) -> TaskSeen:
    """One task as it stands."""
    with missing("No such task"):
        return seen(tasks_of(request).find(key))


@router.get(
    "/tasks/{key}/events",
    response_class=StreamingResponse,
    responses={200: EVENTS, 404: REFUSAL},
    summary="Follow a task",
)
def follow_task(request: Request, key: str) -> Response:
    """One event for every change of a task, the last when it is over."""
    tasks = tasks_of(request)
    with missing("No such task"):
        tasks.find(key)
    return stream(
        lambda: seen(tasks.find(key)).model_dump(), over=lambda now: now["state"] in _OVER, request=request
    )


@router.post("/tasks/{key}/cancel", responses={404: REFUSAL}, summary="Stop a task")
def cancel_task(request: Request, key: str) -> TaskSeen:
    """Stop a task; one that is over stays as it is."""
    with missing("No such task"):
        return seen(tasks_of(request).cancel(key))


def stream(
    look: Callable[[], Any], *, request: Request, over: Callable[[Any], bool] = lambda _: False
) -> StreamingResponse:
    """Send what ``look`` returns whenever it is another, until it is over or nobody listens.

    Parameters
    ----------
    look : callable
        Quick; gives plain data.
    request : Request
        Who listens.
    over : callable
        Whether nothing more will come.

    Notes
    -----
    *Source:* WHATWG HTML Living Standard, 9.2 Server-sent events.
    """

    async def events() -> AsyncIterator[str]:
        yield f"retry: {AGAIN_MS}\n\n"
        last = None
        for _ in range(round(STREAM_S / LOOK_EVERY_S)):
            now = look()
            if now != last:
                yield f"data: {json.dumps(now)}\n\n"
                last = now
            if over(now) or await request.is_disconnected():
                return
            await asyncio.sleep(LOOK_EVERY_S)

    return StreamingResponse(events(), media_type="text/event-stream", headers={"Cache-Control": "no-store"})


_OVER = ("done", "failed", "cancelled")
