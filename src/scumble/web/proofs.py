"""The page Proofs: predictions that are kept, painted, read back and held to their word."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from scumble.errors import CardError, InputError
from scumble.jobs.proofs.hand_in import hand_in
from scumble.jobs.proofs.keep import keep_bench, keep_layering_text, keep_swatch
from scumble.jobs.proofs.page import ProofsPage, show_proofs
from scumble.jobs.proofs.proof_page import show_proof
from scumble.jobs.proofs.read_back import TYPED_DOUBT, read_typed
from scumble.jobs.proofs.sharpen import blunt_paint, sharpen_paint
from scumble.jobs.proofs.sharpen_page import show_sharpening
from scumble.jobs.proofs.sheet import GROUND_OF, draw_sheet, print_sheets
from scumble.jobs.shelf.shown_picture import show_picture
from scumble.web.card_desk import desk_of
from scumble.web.faults import HTML, missing
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render
from scumble.web.room import is_own_page
from scumble.web.uploads import receive_upload

router = APIRouter()

PDF: dict[str, Any] = {"content": {"application/pdf": {}}, "description": "The sheet, true to scale."}
PICTURE: dict[str, Any] = {
    "content": {"image/jpeg": {}, "image/png": {}},
    "description": "The photograph, or a small copy of it.",
}

Short = Annotated[str, Form(max_length=200)]


@router.get("/proofs", response_class=HTMLResponse, responses={422: HTML}, summary="Proofs")
def proofs_page(
    request: Request,
    paint: Annotated[str, Query(max_length=200, description="only proofs with this paint")] = "",
    kind: Annotated[str, Query(max_length=40, description="only this kind of prediction")] = "",
) -> HTMLResponse:
    """Predicted against painted: what waits, what was read, and what the promises were worth."""
    return _show(request, show_proofs(request.app.state.shelf, paint=paint, kind=kind))


@router.post(
    "/proofs",
    **leads_on(422),
    summary="Keep a prediction",
)
def keep_proof(
    request: Request,
    query: Annotated[str, Form(max_length=8000, description="a layering of the bench")] = "",
    layering: Annotated[str, Form(max_length=20000, description="a layering as JSON")] = "",
    ground: Annotated[str, Form(max_length=200, description="what its ground is called")] = "",
    paint: Short = "",
    swatch: Short = "undertone",
    label: Short = "",
    back: Annotated[str, Form(max_length=9000, description="page to go back to")] = "",
) -> RedirectResponse:
    """Write down what is promised today: of a layering on the bench, of a recipe, or of a swatch of a paint."""
    shelf = request.app.state.shelf
    if paint:
        proof = keep_swatch(shelf, paint, swatch)
    elif layering:
        proof = keep_layering_text(shelf, layering, label=label, ground=ground)
    else:
        proof = keep_bench(shelf, query, label=label)
    return lead_to(back if back and is_own_page(back) else f"/proofs#proof-{proof.key}")


@router.post(
    "/proofs/read",
    **leads_on(413, 422),
    summary="Read painted proofs back",
)
def read_proofs(
    request: Request,
    file: Annotated[UploadFile, Form(description="a photograph of a sheet, or an instrument's file")],
    sheet: Annotated[str, Form(max_length=20, description="serial of the sheet")] = "",
) -> Response:
    """Take a photograph of a painted sheet, or what an instrument read, and hold each proof to its promise."""
    shelf, got = request.app.state.shelf, receive_upload(file)
    try:
        hand_in(desk_of(request), got.content, got.media_type, sheet=sheet)
    except (InputError, CardError) as error:
        return _show(request, show_proofs(shelf), wrong=f"{got.name}: {error}")
    return lead_to("/proofs#proved")


@router.post(
    "/proofs/sheets",
    **leads_on(422),
    summary="Print sheets to paint proofs on",
)
def new_sheet(
    request: Request,
    proof: Annotated[list[str], Form(max_length=500)],
    page: Annotated[Literal["A4", "Letter"], Form()] = "A4",
) -> RedirectResponse:
    """Lay proofs out on as many sheets as they need; each sheet has a serial by which it is known again."""
    sheets = print_sheets(request.app.state.shelf, proof, page=page)
    return lead_to(
        f"/proofs/sheets/{sheets[0].serial}.pdf" + (f"?to={sheets[-1].serial}" if len(sheets) > 1 else "")
    )


@router.get(
    "/proofs/sheets/{serial}.pdf",
    response_class=Response,
    responses={200: PDF, 404: HTML},
    summary="A sheet to paint proofs on",
)
def sheet_pdf(
    request: Request,
    serial: str,
    to: Annotated[str, Query(max_length=20, description="serial of the last of several")] = "",
) -> Response:
    """The sheet, and a page that says what to mix and paint in each box."""
    with missing("No such sheet"):
        content = draw_sheet(request.app.state.shelf, serial, to=to)
    said = {"Content-Disposition": f'inline; filename="proofs-{serial[:8]}.pdf"'}
    return Response(content, media_type="application/pdf", headers=said)


@router.get(
    "/proofs/paints/{key}",
    response_class=HTMLResponse,
    responses={404: HTML},
    summary="What proofs would do to a paint",
)
def sharpening_page(request: Request, key: str) -> HTMLResponse:
    """How its films would change, and what is in it already."""
    with missing("No such tube"):
        page = show_sharpening(request.app.state.shelf, key)
    return render(request, "proof_sharpen.html", page=page)


@router.post(
    "/proofs/paints/{key}",
    **leads_on(422),
    summary="Let proofs sharpen a paint, or take that back",
)
def sharpen(
    request: Request,
    key: str,
    do: Annotated[Literal["sharpen", "back"], Form()],
    version: Annotated[int, Form(description="of the paint as its page showed it; another is left as it is")],
) -> RedirectResponse:
    """A new version of the paint; the one before stays and can be chosen again."""
    shelf = request.app.state.shelf
    with missing("No such tube"):
        stands = shelf.load_entries([shelf.load_paint(key).key])[0].version
    if stands == version:
        # Sent twice it is done once: by then another version stands.
        (blunt_paint if do == "back" else sharpen_paint)(shelf, key)
    return lead_to(f"/proofs/paints/{shelf.load_paint(key).key}")


@router.get("/proofs/{key}", response_class=HTMLResponse, responses={404: HTML}, summary="One proof")
def proof_page(request: Request, key: str) -> HTMLResponse:
    """What was promised and what was painted, side by side."""
    with missing("No such proof"):
        page = show_proof(request.app.state.shelf, key)
    return render(request, "proof.html", page=page)


@router.post(
    "/proofs/{key}/read",
    **leads_on(404, 422),
    summary="Type in what was measured",
)
def type_proof(
    request: Request,
    key: str,
    lab: Short = "",
    ground: Short = "",
    light: Annotated[Literal["D65", "D50", "A", "LED-B3"], Form()] = "D65",
    observer: Annotated[Literal["2", "10"], Form()] = "2",
    doubt: Annotated[float, Form(gt=0, le=20)] = TYPED_DOUBT,
) -> Response:
    """L*, a*, b* of the painted swatch, and of the bare ground beside it where that was measured too."""
    shelf = request.app.state.shelf
    with missing("No such proof"):
        known = shelf.proofs.load(key).proof.key
    try:
        read_typed(shelf, known, lab, ground=ground, light=light, observer=int(observer), doubt=doubt)
    except InputError as error:
        return render(request, "proof.html", status=422, page=show_proof(shelf, known, wrong=str(error)))
    return lead_to(f"/proofs/{known}")


@router.post(
    "/proofs/{key}/{move}",
    **leads_on(422),
    summary="Put a proof into the bin or fetch it back, set a reading aside or let it count again",
)
def move_proof(
    request: Request,
    key: str,
    move: Literal["bin", "restore", "aside", "count"],
    number: Annotated[int, Form(description="of the reading")] = 0,
) -> RedirectResponse:
    """Whatever is put away here can be fetched back."""
    proofs = request.app.state.shelf.proofs
    if move in ("aside", "count"):
        proofs.set_reading_aside(key, number, aside=move == "aside")
        return lead_to(f"/proofs/{proofs.load(key).proof.key}#readings")
    proofs.move(key, binned=move == "bin")
    return lead_to("/proofs#waiting")


@router.get(
    "/proofs/{key}/picture-{number}.jpg",
    response_class=Response,
    responses={200: PICTURE, 404: HTML},
    summary="The photograph of a reading",
)
def proof_picture(request: Request, key: str, number: int) -> Response:
    """The photograph that a reading was taken from, small enough for a page."""
    with missing("No such picture"):
        picture = request.app.state.shelf.proofs.load_picture(key, number)
        shown = None if picture is None else show_picture(picture)
        if shown is None:
            raise InputError("picture", number, "a reading with a picture")
    kept = {"Cache-Control": "private, max-age=3600"}
    return Response(shown.content, media_type=shown.media_type, headers=kept)


def _show(request: Request, page: ProofsPage, *, wrong: str = "") -> HTMLResponse:
    status = 422 if wrong else 200
    return render(request, "proofs.html", status=status, page=page, printable=GROUND_OF, wrong=wrong)
