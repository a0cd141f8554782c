"""The page Match, and the answers it is sent while the search goes on."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, Response, StreamingResponse

from scumble.errors import InputError
from scumble.jobs.match.page import MatchQuery, MatchSeen, search_match, show_match
from scumble.jobs.shelf.page_shelf import PageShelf
from scumble.web.faults import HTML
from scumble.web.render import fill_in, render

router = APIRouter()

STREAM = "text/event-stream"


@router.get("/match", response_class=HTMLResponse, responses={422: HTML}, summary="Match")
def match_page(
    request: Request,
    query: Annotated[MatchQuery, Query()],
    whole: Annotated[bool, Query(description="search to the end before answering")] = False,
) -> HTMLResponse:
    """A wanted colour, and a form to say it; a browser without script asks for the whole answer at once."""
    shelf = request.app.state.shelf
    page = show_match(shelf, query)
    seen, wrong = None, ""
    if query.colour.strip() and whole:
        try:
            # Nobody can watch or stop it here, so what takes long is left out unless it was asked for.
            quick = query.model_copy(update={"fours": "likely"}) if query.fours == "fit" else query
            *_, seen = search_match(shelf, quick)
        except InputError as error:
            wrong = str(error)
    return render(request, "match.html", status=422 if wrong else 200, page=page, seen=seen, wrong=wrong)


@router.get(
    "/match/answers",
    responses={200: {"content": {STREAM: {}}, "description": "Answers, each better than the one before."}},
    summary="Search for recipes",
)
def match_answers(request: Request, query: Annotated[MatchQuery, Query()]) -> Response:
    """Server-sent events: ``answer`` with a fragment of the page, at last ``done``, or ``wrong`` with a sentence."""
    return StreamingResponse(_events(request.app.state.shelf, query), media_type=STREAM)


def _events(shelf: PageShelf, query: MatchQuery) -> Iterator[str]:
    try:
        for seen in search_match(shelf, query):
            yield _event("answer", _fragment(seen))
    except InputError as error:
        yield _event("wrong", {"words": str(error)})
    yield _event("done", {})


def _fragment(seen: MatchSeen) -> dict[str, object]:
    return {"html": fill_in("match_found.html", seen=seen), "stage": seen.stage, "share": seen.share}


def _event(name: str, data: dict[str, object]) -> str:
    return f"event: {name}\ndata: {json.dumps(data)}\n\n"
