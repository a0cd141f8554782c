"""How a paint lasts in light, in the few words that fit on a chart, and who says so."""

from __future__ import annotations

from scumble.paint.words import Sentence
from scumble.store.tube_facts import LightScale, TubeFacts

SHORT = {LightScale.ASTM: "ASTM", LightScale.BLUE_WOOL: "Blue Wool"}

LASTING_NOTE = (
    "Lightfastness as it was put on the shelf: ASTM D4303 from I, the most lasting, to V; Blue Wool (ISO 105-B01) "
    "from 8, the most lasting, to 1."
)


def short_lasting(facts: TubeFacts | None) -> str:
    """The first rating of a tube in a word or two, empty when it has none.

    Examples
    --------
    >>> from scumble.store.tube_facts import Lightfastness
    >>> short_lasting(TubeFacts(lightfastness=(Lightfastness(LightScale.ASTM, "I", "the label"),)))
    'ASTM I'
    >>> short_lasting(None)
    ''
    """
    if facts is None or not facts.lightfastness:
        return ""
    rated = facts.lightfastness[0]
    return f"{SHORT[rated.scale]} {rated.rating}"


def lasting_sentences(facts: TubeFacts) -> tuple[str, ...]:
    """Every rating of a tube with who gave it; what is not rated is said.

    Examples
    --------
    >>> lasting_sentences(TubeFacts())
    ('Lightfastness: nobody has put a rating on the shelf.',)
    """
    if not facts.lightfastness:
        return ("Lightfastness: nobody has put a rating on the shelf.",)
    return tuple(
        f"Lightfastness {each.scale} {each.rating}, says {each.said_by}." for each in facts.lightfastness
    )


def compare_lasting(one: tuple[str, TubeFacts], two: tuple[str, TubeFacts]) -> Sentence:
    """Which of two tubes lasts better in light, as far as ratings on one scale can say.

    Parameters
    ----------
    one, two : (str, TubeFacts)
        Name of a tube, and what the shop knows of it.

    Examples
    --------
    >>> from scumble.store.tube_facts import Lightfastness
    >>> first = TubeFacts(lightfastness=(Lightfastness(LightScale.ASTM, "I", "the label"),))
    >>> second = TubeFacts(lightfastness=(Lightfastness(LightScale.ASTM, "III", "the label"),))
    >>> compare_lasting(("Blue", first), ("Rose", second)).claim
    'Blue is rated the more lasting in light'
    >>> compare_lasting(("Blue", first), ("Rose", TubeFacts())).number
    'ASTM I, says the label; Rose: no rating'
    """
    said = "; ".join(
        f"{short_lasting(facts)}, says {facts.lightfastness[0].said_by}"
        if facts.lightfastness
        else f"{name}: no rating"
        for name, facts in (one, two)
    )
    return Sentence("lasting", _lasting_claim(one, two), said, LASTING_NOTE)


def _lasting_claim(one: tuple[str, TubeFacts], two: tuple[str, TubeFacts]) -> str:
    ranks = [_ranks(facts) for _, facts in (one, two)]
    shared = [scale for scale in LightScale if all(scale in rank for rank in ranks)]
    if not shared:
        return "Nothing on the shelf says which lasts better in light"
    first, second = (rank[shared[0]] for rank in ranks)
    if first == second:
        return "They are rated as equally lasting in light"
    return f"{(one if first < second else two)[0]} is rated the more lasting in light"


def _ranks(facts: TubeFacts) -> dict[LightScale, int]:
    """Place of a tube's rating on each scale, 0 the most lasting."""
    places: dict[LightScale, int] = {}
    for each in facts.lightfastness:
        place = each.scale.ratings.index(each.rating)
        most_first = each.scale is LightScale.ASTM
        places.setdefault(each.scale, place if most_first else len(each.scale.ratings) - 1 - place)
    return places


def with_lasting(provenance: str, facts: TubeFacts | None) -> str:
    """Where the optics come from, and how it lasts, on one line."""
    return " · ".join(words for words in (provenance, short_lasting(facts)) if words)
