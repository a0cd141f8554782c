"""The page Plan: a picture goes in, a painting in passes comes out, and the sheet for the easel."""

from __future__ import annotations

from typing import Annotated, Any, Literal
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.keep import keep_plan, move_plan
from scumble.jobs.plan.page import (
    STOPS,
    PlanQuery,
    begin_plan,
    easel_pdf,
    easel_svg,
    grounds_of,
    kept_plans,
    open_kept,
    query_of,
    see_plan,
)
from scumble.web.begun import BEGINS, BegunPage, TaskKey, Work, picture_of
from scumble.web.faults import HTML
from scumble.web.kept import ASK_AGAIN, FOR_AN_HOUR, answer_kept

router = APIRouter()

PAGE = BegunPage("plan.html", "/plan", PlanQuery)

PNG: dict[str, Any] = {"content": {"image/png": {}}, "description": "The picture."}
SVG: dict[str, Any] = {"content": {"image/svg+xml": {}}, "description": "A page as it will be printed."}
PDF: dict[str, Any] = {"content": {"application/pdf": {}}, "description": "The easel sheet, true to scale."}

MannerName = Annotated[
    str, Query(max_length=20, description="manner that is looked at; the one asked for unless said")
]
Paper = Annotated[str, Query(max_length=30, description="paper of the sheet")]


KeptKey = Annotated[str, Query(max_length=80, description="a plan that was kept by name, instead of a task")]


def _more(request: Request, manner: str = "", where: str = "") -> dict[str, Any]:
    """What the template is told besides."""
    shelf = request.app.state.shelf

    def seen(found: object) -> object:
        return see_plan(found, manner) if isinstance(found, PlanFound) else None

    kept, binned = kept_plans(shelf), kept_plans(shelf, binned=True)
    return {
        "stops": STOPS,
        "grounds": grounds_of(shelf),
        "see": seen,
        "where": where,
        "kept": kept,
        "binned": binned,
    }


@router.get("/plan", response_class=HTMLResponse, responses={422: HTML}, summary="Plan")
def plan_page(
    request: Request, task: TaskKey = "", kept: KeptKey = "", manner: MannerName = ""
) -> HTMLResponse:
    """The form, and the plan that came of it in one manner; work that goes on is found again by its address."""
    if kept:
        found = open_kept(request.app.state.shelf, kept)
        return PAGE.lay_out(
            request, query_of(found.request), found, **_more(request, manner, f"kept={quote(kept)}")
        )
    return PAGE.show(request, task, **_more(request, manner, f"task={quote(task)}"))


@router.post(
    "/plan/kept",
    status_code=303,
    response_class=RedirectResponse,
    responses={422: HTML},
    summary="Keep a plan by name, bin it, or fetch it back",
)
def keep_plan_of(
    request: Request,
    do: Annotated[Literal["keep", "bin", "restore"], Form()],
    name: Annotated[str, Form(max_length=200)],
    task: Annotated[str, Form(max_length=40)] = "",
) -> RedirectResponse:
    """Keep a plan on the shelf; what is binned can be fetched back."""
    shelf = request.app.state.shelf
    if do == "keep":
        return RedirectResponse(f"/plan?kept={quote(keep_plan(shelf, name, _found(request, task)))}", 303)
    move_plan(shelf, name, binned=do == "bin")
    return RedirectResponse("/plan#kept", 303)


@router.post("/plan", **BEGINS, summary="Plan a painting")
def ask_for_plan(
    request: Request, query: Annotated[PlanQuery, Form()], picture: UploadFile | None = None
) -> Response:
    """Begin the work; its page is answered, which shows how far it is."""

    def prepare() -> Work:
        content, name = picture_of(picture)
        if not content and query.again:
            kind, _, key = query.again.partition("=")
            before = _found(request, "" if kind == "kept" else key, key if kind == "kept" else "")
            return begin_plan(request.app.state.shelf, query, before.reference)
        return begin_plan(request.app.state.shelf, query, content, name)

    return PAGE.answer(request, "Plan a painting", query, prepare, **_more(request))


@router.get(
    "/plan/{which}.png",
    response_class=Response,
    responses={200: PNG, 422: HTML},
    summary="A picture of a plan",
)
def picture_of_plan(
    request: Request, which: str, task: TaskKey = "", kept: KeptKey = "", manner: MannerName = ""
) -> Response:
    """The picture wanted, its areas, the painting after a pass (``pass-1`` and so on), or where it misses."""
    return answer_kept(
        request, _found(request, task, kept).picture(which, manner), "image/png", rule=FOR_AN_HOUR
    )


@router.get(
    "/plan/easel-sheet.pdf",
    response_class=Response,
    responses={200: PDF, 422: HTML},
    summary="The easel sheet",
)
def sheet_to_print(
    request: Request, task: TaskKey = "", kept: KeptKey = "", manner: MannerName = "", page: Paper = "A4"
) -> Response:
    """A picture of every pass, mixtures in parts, waits, and the map of the areas, as a PDF."""
    content = easel_pdf(_found(request, task, kept), manner, page=page)
    said = {"Content-Disposition": 'attachment; filename="easel-sheet.pdf"'}
    return Response(content, media_type="application/pdf", headers=said)


@router.get(
    "/plan/easel-sheet-{number}.svg",
    response_class=Response,
    responses={200: SVG, 422: HTML},
    summary="Look at the easel sheet before it is printed",
)
def look_at_sheet(
    request: Request,
    number: int,
    task: TaskKey = "",
    kept: KeptKey = "",
    manner: MannerName = "",
    page: Paper = "A4",
) -> Response:
    """One page of the easel sheet: the same shapes as in the file."""
    svg = easel_svg(_found(request, task, kept), number, manner, page=page)
    return answer_kept(request, svg, "image/svg+xml", rule=ASK_AGAIN if kept else FOR_AN_HOUR)


def _found(request: Request, task: str, kept: str = "") -> PlanFound:
    if kept:
        return open_kept(request.app.state.shelf, kept)
    return PAGE.found(request, task, PlanFound, wanted="a plan that was made", hint="Plan the painting anew.")
