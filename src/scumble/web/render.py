"""Fill in the page templates."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from fastapi import Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse

from scumble.web.doors import DOORS, is_open
from scumble.web.walk import walk_of

TEMPLATES = Path(__file__).parent / "templates"

ROOMS = ("light", "dim")
"""How bright the room around the paint is; both are neutral grey."""


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def render(request: Request, template: str, *, status: int = 200, **context: Any) -> HTMLResponse:
    """A page.

    Parameters
    ----------
    request : Request
        What asked for it; its cookie says how bright the room is.
    template : str
        File among the templates.
    status : int
        HTTP status.
    context
        What the template says.
    """
    chosen = request.cookies.get("room", "")
    room = chosen if chosen in ROOMS else "as the screen"
    here = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    page = _environment().get_template(template)
    walk = walk_of(request)
    text = page.render(room=room, here=here, doors=DOORS, is_open=is_open, walk=walk, **context)
    return HTMLResponse(text, status_code=status)


def fill_in(template: str, **context: Any) -> str:
    """A piece of a page.

    Parameters
    ----------
    template : str
        File among the templates.
    context
        What the template says.
    """
    return _environment().get_template(template).render(**context)
