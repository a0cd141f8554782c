"""The page Print over a real socket: the page, the look, the file, and profiles handed in."""

from __future__ import annotations

import re

import httpx
from tests.chart.profiles import four_ink_profile
from tests.jobs.printed import fonts_embedded, page_sizes_mm
from tests.web.page import Page

TRIO = "paint=cobalt-blue&paint=raw-umber&paint=cadmium-red"


def test_the_page_shows_the_kinds_and_the_first_sheet(client: httpx.Client) -> None:
    answer = client.get("/print")
    assert answer.status_code == 200
    page = Page(answer.text)
    assert len(page.all("input", name="kind")) == 7
    look = page.one("img", **{"class": "page"})
    assert look.attributes["src"].startswith("/print/page-1.svg?kind=wall")
    assert "Wall chart" in look.attributes["alt"]
    assert len(answer.text) < 100_000


def test_the_look_is_the_page_of_the_file(client: httpx.Client) -> None:
    query = f"kind=triangle&{TRIO}&page=A5"
    look = client.get(f"/print/page-1.svg?{query}")
    assert look.headers["content-type"] == "image/svg+xml" and look.headers["content-encoding"] == "gzip"
    assert 'width="148mm"' in look.text
    plain = client.get(f"/print/page-1.svg?{query}", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers and plain.text == look.text
    file = client.get(f"/print/chart.pdf?{query}")
    assert file.headers["content-type"] == "application/pdf"
    assert file.headers["content-disposition"] == 'attachment; filename="triangle.pdf"'
    assert all(fonts_embedded(file.content))
    (size,) = page_sizes_mm(file.content)
    assert [round(side) for side in size] == [148, 210]


def test_the_shapes_of_the_look_are_those_of_the_file(client: httpx.Client) -> None:
    """Every word of the sheet stands in both."""
    import io

    import pypdf

    query = f"kind=triangle&{TRIO}&page=A5"
    drawn = re.findall(r">([^<]+)</text>", client.get(f"/print/page-1.svg?{query}").text)
    content = client.get(f"/print/chart.pdf?{query}").content
    printed = pypdf.PdfReader(io.BytesIO(content)).pages[0].extract_text()
    assert len(drawn) > 30
    missing = [words for words in drawn if words.split()[0] not in printed]
    assert missing == []


def test_a_printer_s_profile_is_handed_in_and_used(client: httpx.Client) -> None:
    files = {"profile": ("paper.icc", four_ink_profile(), "application/vnd.iccprofile")}
    answer = client.post("/print/profile", files=files, data={"query": f"kind=mix&{TRIO}"})
    assert answer.status_code == 303
    place = answer.headers["location"]
    key = re.search(r"&profile=(\w{12})$", place)
    assert key
    page = Page(client.get(place).text)
    chosen = [each for each in page.all("option", value=key[1]) if "selected" in each.attributes]
    assert chosen and chosen[0].text == "Invented press of four inks"
    content = client.get(f"/print/chart.pdf?kind=mix&{TRIO}&profile={key[1]}").content
    assert b"/DefaultCMYK" in content


def test_what_is_no_profile_is_refused(client: httpx.Client) -> None:
    answer = client.post("/print/profile", files={"profile": ("x.icc", b"not a profile", "text/plain")})
    assert answer.status_code == 422 and "an ICC profile of a printer" in answer.text
    elsewhere = client.post(
        "/print/profile",
        files={"profile": ("x.icc", four_ink_profile(), "text/plain")},
        headers={"sec-fetch-site": "cross-site"},
    )
    assert elsewhere.status_code == 403


def test_what_cannot_be_drawn_is_said_on_the_page(client: httpx.Client) -> None:
    answer = client.get("/print?kind=mix&paint=cobalt-blue&coats=thick")
    assert answer.status_code == 422
    page = Page(answer.text)
    assert page.one("input", id="coats").attributes["aria-invalid"] == "true"
    assert "coats: saw" in page.one("p", id="wrong").text
    assert client.get("/print/page-1.svg?kind=mix&paint=nobody").status_code == 422
    assert client.get("/print?kind=pie").status_code == 422


def test_a_chart_is_drawn_in_the_background(client: httpx.Client) -> None:
    answer = client.post("/print/draw?kind=handout&paint=raw-umber")
    task = answer.json()["task"]
    with client.stream("GET", f"/tasks/{task}/events") as events:
        told = [line for line in events.iter_lines() if line.startswith("data:")]
    assert '"state": "done"' in told[-1] and '"result": 1' in told[-1]
