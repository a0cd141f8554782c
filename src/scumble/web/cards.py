"""The page Cards: the tray of dropped ones, and each card with its areas, verdicts and fit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Query, Request, UploadFile
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse

from scumble.errors import InputError
from scumble.jobs.cards.colour_aids import ColourWords
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.keep import keep_card, read_again, take_back
from scumble.jobs.cards.mark_up import MarkUp
from scumble.jobs.cards.page import CardPage, show_card
from scumble.jobs.cards.place_samples import place_samples, show_samples
from scumble.jobs.cards.together import join
from scumble.jobs.cards.tray import CHOICES, Choice, TubeWords
from scumble.jobs.cards.tray_page import card_states, show_cards, split_pigments
from scumble.web.card_desk import desk_of, to_card
from scumble.web.faults import HTML, REFUSAL, MissingError, missing
from scumble.web.kept import FOR_AN_HOUR, answer_kept
from scumble.web.leads import lead_to, leads_on
from scumble.web.render import render
from scumble.web.tasks import EVENTS, stream
from scumble.web.uploads import receive_upload

router = APIRouter()

MOST_FILES = 100
"""In one go."""

JPEG: dict[str, Any] = {"content": {"image/jpeg": {}}, "description": "A small copy of the picture."}


@router.get("/cards", response_class=HTMLResponse, summary="Cards")
def cards_page(request: Request) -> HTMLResponse:
    """Blank cards to print, and what was dropped to be read."""
    return render(request, "cards.html", page=show_cards(desk_of(request)))


@router.post(
    "/cards",
    **leads_on(413),
    summary="Drop photographs, scans or files of instruments",
)
def drop_cards(request: Request, files: list[UploadFile]) -> Response:
    """Put files on the tray; they are read one after the other, whether or not anybody looks on."""
    if len(files) > MOST_FILES:
        raise InputError("files", len(files), f"at most {MOST_FILES} in one go")
    desk = desk_of(request)
    keys = []
    for file in files:
        got = receive_upload(file)
        keys.append(desk.drop(got.content, got.name, got.media_type).key)
    if request.headers.get("accept", "").startswith("application/json"):
        return JSONResponse({"keys": keys})
    return lead_to("/cards#tray")


@router.get(
    "/cards/events",
    response_class=StreamingResponse,
    responses={200: EVENTS},
    summary="Follow the tray",
)
def follow_tray(request: Request) -> StreamingResponse:
    """One event whenever a card on the tray is further than before."""
    desk = desk_of(request)
    return stream(lambda: card_states(desk), request=request)


@router.post(
    "/cards/again",
    **leads_on(),
    summary="Read the card of a paint of the shelf again",
)
def read_shelf_card(request: Request, paint: Annotated[str, Form(max_length=200)]) -> RedirectResponse:
    """Put the picture of a paint's card on the tray once more, as when it was new."""
    return to_card(read_again(desk_of(request), paint))


@router.get(
    "/cards/{key}", response_class=HTMLResponse, responses={404: HTML}, summary="One card on the tray"
)
def card_page(request: Request, key: str) -> Response:
    """A card with its areas outlined, what was read, what is predicted, and the tube it is of."""
    desk = desk_of(request)
    with missing("No such card"):
        page = show_card(desk, key)
    return _render_card(request, desk, page)


@router.post(
    "/cards/{key}",
    **leads_on(404),
    summary="Judge areas, name the tube, keep the card",
)
async def judge_card(request: Request, key: str) -> Response:
    """Take down what a person decided of each area and of the tube; with ``do=keep`` it goes on the shelf."""
    desk = desk_of(request)
    async with request.form(max_files=0, max_fields=1000) as form:
        said = {name: value for name, value in form.items() if isinstance(value, str)}
    return await run_in_threadpool(_judge, request, desk, key, said)


def _judge(request: Request, desk: CardDesk, key: str, said: Mapping[str, str]) -> Response:
    with missing("No such card"):
        card = desk.tray.find(key)
    try:
        desk.tray.change(key, tube=_tube(said))
        if said.get("do") == "undo":
            desk.tray.undecide(key)
        else:
            desk.tray.decide(key, _choices(said, card.choices))
        if said.get("do") == "keep":
            keep_card(desk, key)
    except InputError as error:
        return _render_card(request, desk, show_card(desk, key, wrong=str(error)), status=422)
    return to_card(key)


def _tube(said: Mapping[str, str]) -> TubeWords:
    return TubeWords(
        label=said.get("label", "")[:120],
        pigments=split_pigments(said.get("pigments", "")),
        binder=said.get("binder", "acrylic"),
        is_white=said.get("is_white") == "true",
        white=said.get("white", "")[:120],
    )


def _choices(said: Mapping[str, str], before: Mapping[str, Choice]) -> dict[str, Choice]:
    """Decisions by area; the reader's own verdict stands where nothing is said."""
    asked = {name.removeprefix("area "): value for name, value in said.items() if name.startswith("area ")}
    known: dict[str, Choice] = {choice: choice for choice in CHOICES}
    kept = {area: choice for area, choice in before.items() if area not in asked}
    return kept | {area: known[value] for area, value in asked.items() if value in known}


@router.get(
    "/cards/{key}/picture.jpg",
    response_class=Response,
    responses={200: JPEG, 404: HTML},
    summary="Small copy of a card's picture",
)
def card_picture(
    request: Request,
    key: str,
    small: Annotated[bool, Query(description="very small, to be one among many")] = False,
) -> Response:
    """The picture upright, small enough for a page; the original stays as it came."""
    tray = desk_of(request).tray
    with missing("No such card"):
        known = tray.find(key).key
    try:
        content = (tray.thumb_path(known) if small else tray.preview_path(known)).read_bytes()
    except OSError:
        raise MissingError("No picture", "There is no picture of this card yet.") from None
    return answer_kept(request, content, "image/jpeg", rule=FOR_AN_HOUR)


@router.post(
    "/cards/{key}/{move}",
    **leads_on(413),
    summary="Take a card off, put it back, read it again, take it back from the shelf, retake it, place its samples,"
    " find its colours otherwise, lay another picture over it, count both",
)
async def move_card(
    request: Request,
    key: str,
    move: Literal["off", "back", "anew", "unkeep", "retake", "samples", "colour", "over", "join", "part"],
) -> Response:
    """Whatever else can be done with a card; each of it can be undone."""
    desk = desk_of(request)
    async with request.form(max_files=1, max_fields=2000) as form:
        said = {name: value for name, value in form.items() if isinstance(value, str)}
        file = form.get("file")
        if move == "retake":
            if file is None or isinstance(file, str):
                raise InputError("file", "nothing", "a photograph of the same card")
            got = await run_in_threadpool(receive_upload, file)
            again = desk.drop(got.content, got.name, got.media_type, retakes=key)
            return to_card(again.retakes)
    return await run_in_threadpool(_move, desk, key, move, said)


def _move(desk: CardDesk, key: str, move: str, said: Mapping[str, str]) -> Response:
    if move == "off":
        first = desk.tray.find(key).retakes
        desk.take_off(key)
        return to_card(first) if first else lead_to("/cards#tray")
    if move == "colour":
        words = {name: said.get(name, "").strip()[:200] for name in ("target", "profile", "corners")}
        desk.colour_by(key, ColourWords(**words))
        return to_card(key)
    if move == "join":
        join(desk, key, said.get("other", ""))
        return to_card(key)
    if move == "part":
        desk.tray.change(key, joined=False)
        return to_card(desk.tray.find(key).retakes or key)
    if move == "over":
        desk.tray.change(desk.tray.find(said.get("other", "")).key, retakes=desk.tray.find(key).key)
        return to_card(key)
    if move == "samples":
        areas = {
            int(name.removeprefix("sample ")): value
            for name, value in said.items()
            if name.startswith("sample ") and name.removeprefix("sample ").isdecimal()
        }
        place_samples(
            desk, key, areas, **{name: said.get(name, "") for name in ("layout", "condition", "backing")}
        )
        desk.read(key)
        desk.wait(key, timeout_s=10)
    elif move == "unkeep":
        take_back(desk, key)
    elif move == "back":
        desk.put_back(key)
    else:
        desk.read(key)
    return to_card(key)


@router.get(
    "/cards/{key}/marks",
    response_class=HTMLResponse,
    responses={404: HTML},
    summary="Mark up a chart of one's own",
)
def marks_page(request: Request, key: str) -> Response:
    """Draw boxes over a picture and say what lies in each."""
    desk = desk_of(request)
    with missing("No such card"):
        stands = desk.stands(key)
    if not stands.card.is_picture:
        raise MissingError("No picture", "Only a picture can be marked up.")
    size = desk.size_px(key)
    if size is None:
        raise MissingError("No picture", stands.error or "The picture is still being opened.")
    marks = stands.card.marks
    return render(
        request,
        "mark_up.html",
        stands=stands,
        size=size,
        marks=marks.model_dump_json() if marks else '{"boxes": []}',
    )


@router.post("/cards/{key}/marks/boxes", responses={422: REFUSAL}, summary="Read a marked chart")
def keep_marks(request: Request, key: str, marks: MarkUp) -> dict[str, str]:
    """Keep the boxes and read the chart through the same path as a printed card."""
    desk = desk_of(request)
    desk.check_marks(key, marks)
    desk.tray.change(key, marks=marks, choices={})
    desk.read(key)
    return {"page": f"/cards/{key}"}


def _render_card(request: Request, desk: CardDesk, page: CardPage, *, status: int = 200) -> HTMLResponse:
    samples = show_samples(desk, page.stands.card) if not page.stands.card.is_picture else None
    return render(request, "card.html", status=status, page=page, samples=samples)
