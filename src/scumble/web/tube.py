"""A tube's papers: edit, go back to what was said before, the bin."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import InputError
from scumble.jobs.shelf.tube_papers import bin_tube, fetch_back, save_papers, show_bin, show_papers, take_back
from scumble.web.faults import HTML, missing
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render

router = APIRouter()


@router.get("/paints/{key}/papers", response_class=HTMLResponse, responses={404: HTML}, summary="Papers")
def papers_page(
    request: Request,
    key: str,
    version: Annotated[int | None, Query(description="that counted before a save")] = None,
    said: Annotated[int | None, Query(description="entry that counted before a save")] = None,
) -> Response:
    """What a tube says and what the shop knows of it, to be put right, with all that was said before."""
    with missing("No such tube"):
        page = show_papers(request.app.state.shelf, key)
    undo = None if version is None or said is None else (version, said)
    return render(request, "papers.html", page=page, undo=undo)


@router.post(
    "/paints/{key}/papers",
    response_class=Response,
    responses={303: {}, 404: HTML, 422: HTML},
    summary="Save papers",
)
async def write_papers(request: Request, key: str) -> Response:
    """Save a tube's papers as a new version; what was said before stays."""
    form = await request.form(max_files=0, max_fields=40)
    given = {name: value for name, value in form.items() if isinstance(value, str)}
    return await run_in_threadpool(_save, request, key, given)


def _save(request: Request, key: str, given: dict[str, str]) -> Response:
    shelf = request.app.state.shelf
    with missing("No such tube"):
        show_papers(shelf, key)
    try:
        version, said = save_papers(shelf, key, given)
    except InputError as error:
        page = show_papers(shelf, key, given=given, wrong=error)
        return render(request, "papers.html", status=422, page=page, undo=None)
    return lead_to(f"/paints/{quote(key)}/papers?version={version}&said={said}")


@router.post(
    "/paints/{key}/back",
    **leads_on(),
    summary="Go back",
)
def go_back(
    request: Request,
    key: str,
    version: Annotated[int | None, Form()] = None,
    said: Annotated[int | None, Form()] = None,
) -> RedirectResponse:
    """Let an older version, or an older word on the tube, count again; the newer ones stay."""
    take_back(request.app.state.shelf, key, version=version, said=said)
    return lead_to(f"/paints/{quote(key)}/papers")


@router.post(
    "/paints/{key}/bin",
    **leads_on(),
    summary="Bin a tube",
)
def put_into_bin(request: Request, key: str) -> RedirectResponse:
    """Put a tube into the bin; it can be fetched back with all its past."""
    bin_tube(request.app.state.shelf, key)
    return lead_to(f"/bin?binned={quote(key)}")


@router.get("/bin", response_class=HTMLResponse, summary="Bin")
def bin_page(
    request: Request, binned: Annotated[str, Query(max_length=80, description="binned just now")] = ""
) -> HTMLResponse:
    """What was thrown away, to be fetched back."""
    return render(request, "bin.html", tubes=show_bin(request.app.state.shelf), binned=binned)


@router.post(
    "/bin",
    **leads_on(503),
    summary="Fetch back",
)
def fetch_from_bin(request: Request, key: Annotated[str, Form(max_length=200)]) -> RedirectResponse:
    """Fetch a tube back from the bin."""
    return lead_to(f"/paints/{quote(fetch_back(request.app.state.shelf, key))}")
