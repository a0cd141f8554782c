"""What a shop knows of its tubes, as wishes for recipes: prices by volume, and a floor under lightfastness."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from scumble.errors import InputError
from scumble.paint import Paint
from scumble.store.tube_facts import LightScale, TubeFacts

FLOORS = "ASTM I to V, or Blue Wool 1 to 8, as in 'ASTM II' or 'Blue Wool 7'"

UNRATED = ("out", "in")
"""Whether tubes that nobody has rated are left out or taken where a floor is set."""


def price_per_ml(facts: TubeFacts | None) -> float | None:
    """What a millilitre of a tube costs, where price and size are known.

    Examples
    --------
    >>> from decimal import Decimal
    >>> price_per_ml(TubeFacts(price=Decimal("7.40"), currency="EUR", size_ml=37.0))
    0.2
    """
    if facts is None or facts.price is None or facts.size_ml is None:
        return None
    return round(float(facts.price) / facts.size_ml, 6)


def prices_per_ml(facts: Mapping[str, TubeFacts]) -> dict[str, float]:
    """Prices by volume of all tubes of which they are known; one currency only.

    Raises
    ------
    InputError
        If tubes are priced in several currencies.
    """
    currency_of(facts)
    every = {key: price_per_ml(each) for key, each in facts.items()}
    return {key: price for key, price in every.items() if price is not None}


def currency_of(facts: Mapping[str, TubeFacts]) -> str:
    """The currency of a shelf's prices; empty where there are none.

    Raises
    ------
    InputError
        If there are several.
    """
    several = sorted({each.currency for each in facts.values() if each.price is not None})
    if len(several) > 1:
        raise InputError("price", ", ".join(several), "prices in one currency", "Costs cannot be added up.")
    return several[0] if several else ""


def bar_fading(
    tubes: Iterable[Paint], facts: Mapping[str, TubeFacts], floor: str, *, unrated: str = "out"
) -> dict[str, str]:
    """Tubes below a floor of lightfastness, each with the reason it is left out.

    Parameters
    ----------
    tubes : iterable of Paint
        Of the shelf.
    facts : mapping of str to TubeFacts
        What is known of them.
    floor : str
        The least that is wanted, see :data:`FLOORS`; empty for none.
    unrated : str
        ``out`` or ``in``.

    Raises
    ------
    InputError
        If the floor cannot be read.
    """
    if not floor.strip():
        return {}
    if unrated not in UNRATED:
        raise InputError("unrated", unrated, " or ".join(UNRATED))
    scale, least = _read_floor(floor)
    barred = {}
    for paint in tubes:
        ranks = [
            _rank(scale, each.rating)
            for each in facts.get(paint.key, TubeFacts()).lightfastness
            if each.scale is scale
        ]
        if not ranks and unrated == "out":
            barred[paint.key] = f"nobody has rated it by {scale.value}"
        elif ranks and max(ranks) > least:
            barred[paint.key] = f"rated below {floor.strip()}"
    return barred


def _read_floor(floor: str) -> tuple[LightScale, int]:
    *words, rating = floor.split()
    name = " ".join(words).casefold()
    scales = {"astm": LightScale.ASTM, "astm d4303": LightScale.ASTM, "blue wool": LightScale.BLUE_WOOL}
    scale = scales.get(name)
    if scale is None or rating.upper() not in scale.ratings:
        raise InputError("lightfastness", floor, FLOORS)
    return scale, _rank(scale, rating.upper())


def _rank(scale: LightScale, rating: str) -> int:
    """0 is the most lasting."""
    place = scale.ratings.index(rating)
    return place if scale is LightScale.ASTM else len(scale.ratings) - 1 - place
