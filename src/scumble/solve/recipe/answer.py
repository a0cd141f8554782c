"""What a person wishes of a recipe, and the recipe itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint import Layering, Look, Paint
from scumble.paint.caution import known_families, pigment_families

Floats = NDArray[np.float64]

FOURS = ("fit", "all", "likely")
"""Which mixtures of four tubes are tried."""


class Route(StrEnum):
    """How a colour is reached."""

    COVER = "cover it"
    GLAZE = "glaze it"
    UNDERPAINT = "underpaint and glaze it"
    SCUMBLE = "scumble it"


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a person asks of a recipe; prices are in dE00, so that colour and comfort can be weighed.

    Parameters
    ----------
    routes : tuple of Route
        Which to look for.
    most_tubes : int
        Tubes in an opaque mixture, 1 to 4.
    most_films : int
        Glazes one over the other, 1 to 3.
    most_coats : float [coat]
        Coats that an opaque mixture may take to hide what lies below.
    most_parts : int
        Largest sum of parts in a mixture.
    count : int
        Recipes wanted of each route.
    per_tube, per_pass : float [dE00]
        Price of a tube, of a pass, beyond the first.
    per_unevenness : float [1]
        Price of the colour change when a film comes out a fifth thicker or thinner.
    per_cost : float [dE00]
        Price of one unit of ``costs``.
    per_drying : float [dE00]
        Price of a film that must dry before the next is laid.
    per_wet_shift : float [1]
        Price of the colour change from wet to dry, which misleads who matches wet.
    one_session : bool
        Whether all is laid wet: then nothing can lie over a film that must dry first.
    fours : str
        ``likely`` tries those mixtures of four that grow from the best triples, ``all`` every one that cannot be
        ruled out, ``fit`` those too where a million or fewer are to be looked at.
    costs : mapping of str to float
        What a part of a paint costs, by its short name; paints not named cost nothing.
    excluded : frozenset of str
        Short names, Colour Index names, words of a label, or caution families, that must not be used.
    barred : mapping of str to str
        Short names of tubes that are left out for a reason of their own, and the reason, such as a rating.
    """

    routes: tuple[Route, ...] = tuple(Route)
    most_tubes: int = 4
    most_films: int = 3
    most_coats: float = 4.0
    most_parts: int = 12
    count: int = 5
    per_tube: float = 0.3
    per_pass: float = 0.15
    per_unevenness: float = 0.1
    per_cost: float = 0.0
    per_drying: float = 0.0
    per_wet_shift: float = 0.0
    one_session: bool = False
    fours: str = "fit"
    costs: Mapping[str, float] = field(default_factory=dict)
    excluded: frozenset[str] = frozenset()
    barred: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.routes:
            raise InputError("routes", "none", ", ".join(route.value for route in Route))
        for name, least, most in (
            ("most_tubes", 1, 4),
            ("most_films", 1, 3),
            ("most_coats", 0.5, 8.0),
            ("most_parts", 4, 40),
            ("count", 1, 50),
            ("per_tube", 0.0, 100.0),
            ("per_pass", 0.0, 100.0),
            ("per_unevenness", 0.0, 100.0),
            ("per_cost", 0.0, 100.0),
            ("per_drying", 0.0, 100.0),
            ("per_wet_shift", 0.0, 100.0),
        ):
            value = getattr(self, name)
            if not least <= value <= most:
                raise InputError(name, value, f"a number from {least:g} to {most:g}")
        if self.fours not in FOURS:
            raise InputError("fours", self.fours, ", ".join(FOURS))
        for key, cost in self.costs.items():
            if not 0.0 <= cost < np.inf:
                raise InputError(f"cost of {key}", cost, "0 or a positive number")

    def allow(self, paint: Paint) -> bool:
        """Whether nothing about a paint is excluded."""
        return paint.key not in self.barred and not any(answers_to(paint, word) for word in self.excluded)


def answers_to(paint: Paint, word: str) -> bool:
    """Whether a paint goes by a short name, a Colour Index name, a word of its label, or a caution family.

    Examples
    --------
    >>> from scumble.paint.pigment import starter_shelf
    >>> shelf = {paint.key: paint for paint in starter_shelf()}
    >>> [answers_to(shelf["cadmium-red"], word) for word in ("PR 108", "Cadmium", "red", "cobalt")]
    [True, True, True, False]
    """
    plain = "".join(word.split()).casefold()
    names = {paint.key.casefold(), *("".join(name.split()).casefold() for name in paint.pigments)}
    words = {*paint.label.casefold().replace(",", " ").split(), *pigment_families(paint.pigments)}
    return plain in names or word.strip().casefold() in words


def is_family(word: str) -> bool:
    """Whether a word names a caution family, on the shelf or not."""
    return word.strip().casefold() in known_families()


@dataclass(frozen=True, slots=True)
class Recipe:
    """One way to reach a colour.

    Parameters
    ----------
    route : Route
        Cover, glaze or scumble.
    layering : Layering
        The ground and the films in measurable parts, lowest first.
    look : Look
        What it will look like, with its interval, under the first light.
    difference : float [dE00]
        To the wanted colour; root mean square over the lights asked for.
    exact_difference : float [dE00]
        The same before rounding to parts.
    exact_coats : tuple of tuple of float [coat]
        Coats of each paint of each film before rounding.
    other_lights : dict of str to float [dE00]
        Under each other light: difference to the wanted surface where its spectrum is known, otherwise how far the
        colour itself moves once the eye has adapted.
    unevenness : float [dE00]
        Largest colour change when one film comes out a fifth thicker or thinner.
    passes : int
        Coats to brush, one after the other.
    dryings : int
        Films that must dry before the next is laid.
    wet_shift : float [dE00]
        Colour change of the last film from wet to dry.
    mixings : int
        Films for which something must be stirred together.
    slips : int
        Things measured or laid - a part, the medium, a film's thickness - of which a tenth more or less shows by more
        than dE00 1: the corrections to reckon with.
    cost : float
        Of the paint in one coat's worth of each pass, in the unit of the costs given.
    score : float [dE00]
        Difference and prices together; recipes are ranked by it.
    why : str
        A sentence.
    """

    route: Route
    layering: Layering
    look: Look
    difference: float
    exact_difference: float
    exact_coats: tuple[tuple[float, ...], ...]
    other_lights: dict[str, float]
    unevenness: float
    passes: int
    dryings: int
    wet_shift: float
    mixings: int
    slips: int
    cost: float
    score: float
    why: str

    @property
    def tubes(self) -> tuple[Paint, ...]:
        """Tubes it takes, each once."""
        return tuple({paint.key: paint for film in self.layering.films for paint, _ in film.parts}.values())

    @property
    def rounding_loss(self) -> float:
        """dE00 that measurable parts cost; below 0 when they happen to help."""
        return self.difference - self.exact_difference


@dataclass(frozen=True, slots=True)
class Help:
    """A tube that is not on the shelf and would bring a colour nearer.

    Parameters
    ----------
    key, label : str
        Of the starter pigment that stands for its kind.
    pigments : tuple of str
        Colour Index names to look for on a tube.
    difference : float [dE00]
        To the wanted colour with it, before rounding.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    difference: float


@dataclass(frozen=True, slots=True)
class Shortfall:
    """How the nearest colour misses the wanted one.

    Parameters
    ----------
    difference : float [dE00]
        By how much.
    words : str
        In which direction, in a sentence.
    helps : tuple of Help
        What would bring it nearer, the most helpful first; empty where nothing known does.
    """

    difference: float
    words: str
    helps: tuple[Help, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """Where a search stands.

    Parameters
    ----------
    recipes : tuple of Recipe
        Best first within each route, no two alike.
    shortfalls : dict of Route to Shortfall
        For each route whose nearest colour misses noticeably, even before rounding.
    stage : str
        What has been tried.
    share : float [1]
        Of the work, 1 at the end.
    combinations : int
        Tried so far.
    """

    recipes: tuple[Recipe, ...]
    shortfalls: dict[Route, Shortfall]
    stage: str
    share: float
    combinations: int

    def of_route(self, route: Route) -> tuple[Recipe, ...]:
        """Recipes of one route, best first."""
        return tuple(recipe for recipe in self.recipes if recipe.route is route)
