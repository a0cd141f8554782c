"""How a paint lasts in light, in the few words that fit on a chart, and who says so."""

from __future__ import annotations

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


def with_lasting(provenance: str, facts: TubeFacts | None) -> str:
    """Where the optics come from, and how it lasts, on one line."""
    return " · ".join(words for words in (provenance, short_lasting(facts)) if words)
