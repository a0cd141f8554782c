"""The page One subject, two ways: asked, worked out, repainted, and refused with a sentence."""

from __future__ import annotations

import io

import httpx
import numpy as np
from PIL import Image
from tests.web.page import Page
from tests.web.test_instead import follow


def sketch() -> bytes:
    shown = np.zeros((60, 90, 3), np.uint8)
    shown[:, :60], shown[:, 60:] = (190, 150, 60), (60, 80, 120)
    written = io.BytesIO()
    Image.fromarray(shown).save(written, format="PNG")
    return written.getvalue()


def test_a_picture_is_painted_both_ways(client: httpx.Client) -> None:
    begun = client.post(
        "/subject",
        data={"count": "2"},
        files={"picture": ("sketch.png", sketch(), "image/png")},
        follow_redirects=False,
    )
    page = follow(client, begun)
    assert page.one("h2", id="chosen").text == "The colours of sketch.png, over white paper"
    addresses = [each.attributes["src"] for each in page.all("img")]
    assert [address.partition("?")[0] for address in addresses] == [
        "/subject/cover.png",
        "/subject/wanted.png",
        "/subject/glaze.png",
    ]
    for address in addresses:
        answer = client.get(address)
        assert answer.headers["content-type"] == "image/png"
        assert Image.open(io.BytesIO(answer.content)).size[0] > 90
    heads = [cell.text for cell in page.all("th", scope="col")]
    assert heads == ["counted", "covered", "glazed"]


def test_colours_alone_will_do_and_have_no_picture(client: httpx.Client) -> None:
    begun = client.post("/subject", data={"colours": "60 20 30"}, follow_redirects=False)
    page = follow(client, begun)
    assert page.one("h2", id="chosen").text == "The colours listed, over white paper"
    key = begun.headers["location"].partition("task=")[2]
    answer = client.get(f"/subject/glaze.png?task={key}")
    assert answer.status_code == 422 and "a subject that was taken from a picture" in answer.text


def test_what_cannot_be_asked_is_said_and_nothing_typed_is_lost(client: httpx.Client) -> None:
    for given, said in (
        ({"colours": "60 20 30\nnonsense"}, "line 2"),
        ({}, "a picture, or its colours one a line"),
        ({"colours": "60 20 30", "most_films": "9"}, "from 1 to 3"),
        ({"colours": "60 20 30", "only": "no such tube"}, "a paint on the shelf"),
    ):
        answer = client.post("/subject", data=given, follow_redirects=False)
        if answer.status_code == 303:
            page = follow(client, answer)
        else:
            assert answer.status_code == 422
            page = Page(answer.text)
        assert said in page.one("p", id="said").text
        assert page.one("textarea", id="colours").text == given.get("colours", "")
