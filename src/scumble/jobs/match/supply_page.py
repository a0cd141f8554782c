"""The page of what to buy: a set of wanted colours, the tubes that reach it, and what the shelf cannot reach."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pydantic import BaseModel, Field

from scumble.errors import InputError
from scumble.jobs.match.gaps import OUT_OF_REACH, Gaps, find_gaps
from scumble.jobs.match.print_supply import print_supply
from scumble.jobs.match.supply import ROUTES, SupplyRequest, plan_supply
from scumble.jobs.match.supply_amounts import Need
from scumble.jobs.match.supply_plan import REACHED, SupplyColour, SupplyPlan
from scumble.jobs.match.wanted_colours import choose_wanted
from scumble.jobs.paint_names import split_names
from scumble.jobs.shelf.page_shelf import PageShelf

Progress = Callable[[float, str], None]

SHOWN_GAPS = 40
"""Gaps that the page draws; the largest come first."""


class SupplyQuery(BaseModel):
    """What is asked for, as a form's words."""

    colours: str = Field(default="", max_length=20_000, description="wanted colours, one a line")
    tubes: int = Field(default=8, description="how many to choose, 1 to 24")
    route: list[str] = Field(default=list(ROUTES), max_length=2)
    budget: float | None = Field(default=None, description="of one tube of each")
    must_have: str = Field(default="", max_length=500, description="names, with commas between")
    exclude: str = Field(default="", max_length=500, description="names, with commas between")
    lightfastness: str = Field(default="", max_length=40)
    unrated: str = Field(default="out", max_length=3)
    ground: str = Field(default="white", max_length=40)
    white: bool = Field(default=True, description="one white must be among them")
    painters: int = 12
    ml_each: float = 60.0
    m2_each: float | None = Field(default=None, description="area that each paints; instead of millilitres")
    coats: float | None = Field(
        default=None, description="coats of a covered colour; as many as hide if left out"
    )
    ask: str = Field(default="buy", max_length=8, description="buy or gaps")


@dataclass(frozen=True, slots=True)
class SupplyFound:
    """What came of it; one of the two is there.

    Parameters
    ----------
    asked : SupplyQuery
        What was asked.
    plan : SupplyPlan, optional
        Tubes to buy.
    gaps : Gaps, optional
        What the shelf cannot reach.
    """

    asked: SupplyQuery
    plan: SupplyPlan | None = None
    gaps: Gaps | None = None
    reached_within: float = REACHED
    gap_from: float = OUT_OF_REACH
    shown_gaps: int = SHOWN_GAPS

    def by_route(self) -> dict[str, tuple[SupplyColour, ...]]:
        """Wanted colours of each route, in the order they were given."""
        colours = self.plan.colours if self.plan else ()
        named = {"cover": "Covered", "glaze": "Glazed"}
        found = {named[route]: tuple(each for each in colours if each.route == route) for route in ROUTES}
        return {name: own for name, own in found.items() if own}


def begin_supply(
    shelf: PageShelf, query: SupplyQuery, picture: bytes = b"", picture_name: str = ""
) -> Callable[[Progress], SupplyFound]:
    """Check what is asked for, and make the work that answers it.

    Parameters
    ----------
    shelf : Shelf
        Open.
    query : SupplyQuery
        What is asked.
    picture : bytes
        A picture whose colours are wanted; then no list may be given.
    picture_name : str
        What it is called.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    paints = shelf.load_paints()
    if not paints:
        raise InputError("shelf", "no paints", "at least one paint", "Read a sample card first.")
    if query.ask not in ("buy", "gaps"):
        raise InputError("ask", query.ask, "buy or gaps")
    wanted = choose_wanted(
        paints, picture=picture or None, picture_name=picture_name, lines=query.colours.strip() or None
    )
    request = _request(query)

    def work(progress: Progress) -> SupplyFound:
        def tell(words: str, share: float) -> None:
            progress(share, words)

        if query.ask == "gaps":
            gaps = find_gaps(
                paints,
                wanted,
                routes=request.routes,
                exclude=request.exclude,
                ground=query.ground,
                progress=tell,
            )
            return SupplyFound(query, gaps=gaps)
        plan = plan_supply(request, wanted, paints, shelf.tubes.load_all(), progress=tell)
        return SupplyFound(query, plan=plan)

    return work


def class_sheet(found: SupplyFound, *, page: str = "A4") -> bytes:
    """The class sheet of a plan as a PDF.

    Raises
    ------
    InputError
        If nothing was planned, or the page is too small.
    """
    from scumble.jobs.charts.print_chart import chart_pdf

    if found.plan is None:
        raise InputError("sheet", "no tubes to buy", "a supply list that was worked out")
    return chart_pdf(print_supply(found.plan, page=page))


def _request(query: SupplyQuery) -> SupplyRequest:
    return SupplyRequest(
        query.tubes,
        tuple(query.route),
        query.budget,
        split_names(query.must_have),
        split_names(query.exclude),
        query.lightfastness.strip(),
        query.unrated,
        query.ground,
        query.white,
        Need(query.painters, query.ml_each, query.m2_each, query.coats),
    )
