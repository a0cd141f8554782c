"""The pattern page: what the room is made of, read out of the very style sheet that makes it."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from scumble.web.render import render

router = APIRouter()

ROOM = Path(__file__).parent / "static" / "room.css"

TYPE = (
    ("h1", "The name of a page"),
    ("h2", "A part of a page"),
    ("lede", "What a page is for, in a sentence"),
    ("h3", "What a figure shows"),
    ("p", "What there is to say"),
    ("small", "The number behind it"),
    ("code", "what a person types"),
)
"""Settings of words, the largest first; each is drawn as pages draw it."""


class Tone(NamedTuple):
    """A grey of the room."""

    name: str
    """As the style sheet calls it."""
    light: str
    """In the light room."""
    dim: str
    """In the dim room."""
    says: str
    """What the style sheet says of it."""


@cache
def read_tones() -> tuple[Tone, ...]:
    """The greys of the room out of its style sheet.

    Examples
    --------
    >>> [tone.light for tone in read_tones() if tone.name == "ink"]
    ['#131313']
    """
    text = ROOM.read_text(encoding="utf-8")
    light, dim = re.findall(r":root(?:\[data-room=\"dim\"\])? \{(.*?)\}", text, re.DOTALL)[:2]
    found = re.findall(r"--([\w-]+): (#[0-9a-f]{6});(?: /\* (.*?) \*/)?", light)
    turned = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", dim))
    return tuple(Tone(name, value, turned.get(name, value), says) for name, value, says in found)


@router.get("/room/patterns", response_class=HTMLResponse, summary="Patterns")
def patterns_page(request: Request) -> HTMLResponse:
    """Type, greys, spacing, states, marks, parts and motion of the pages, each as pages use it."""
    return render(request, "patterns.html", tones=read_tones(), type=TYPE)
