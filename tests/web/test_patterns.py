"""The pattern page says what the style sheet says."""

from __future__ import annotations

import re

import httpx
from tests.web.page import Page

from scumble.web.patterns import ROOM, read_tones


def test_every_grey_of_the_style_sheet_is_shown_in_both_rooms(client: httpx.Client) -> None:
    css = ROOM.read_text(encoding="utf-8")
    named = set(re.findall(r"--(\w+): #", css))
    tones = read_tones()
    assert {tone.name for tone in tones} == named
    page = Page(client.get("/room/patterns").text)
    shown = [each.attributes["fill"] for each in page.all("rect")]
    for tone in tones:
        assert tone.light in shown and tone.dim in shown
        for value in (tone.light, tone.dim):
            assert len(set(re.findall("..", value[1:]))) == 1, "no chroma outside paint"


def test_it_is_reached_from_every_page_and_is_small(client: httpx.Client) -> None:
    assert 'href="/room/patterns"' in client.get("/").text
    answer = client.get("/room/patterns")
    assert len(answer.text) < 100_000
    headings = [each.text for each in Page(answer.text).all("h2")]
    assert headings == ["Greys", "Type", "Space", "States", "Marks", "Parts", "Motion"]
