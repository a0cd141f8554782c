"""What is said of a proof: its films, how they are mixed and laid, and how sure it is."""

from __future__ import annotations

from scumble.paint import Film, Layering
from scumble.paint.proof import ProofKind

KINDS = {
    ProofKind.MASSTONE: "masstone",
    ProofKind.UNDERTONE: "undertone, a thin film over white",
    ProofKind.GLAZE: "glaze over a colour",
    ProofKind.TINT: "tint with white",
    ProofKind.MIXTURE: "mixture of tubes",
    ProofKind.DARK: "over black or grey",
}
"""Kinds of prediction by what a painter calls them."""

FULL_COAT = 0.95
"""Coats from which a film is laid on unthinned."""


def say_amount(amount: float) -> str:
    """A number of parts or coats, no longer than it need be.

    Examples
    --------
    >>> say_amount(0.25), say_amount(3.0), say_amount(1 / 3)
    ('0.25', '3', '0.33')
    """
    return f"{amount:.2f}".rstrip("0").rstrip(".") if amount < 10 else f"{amount:.0f}"


def say_coats(coats: float) -> str:
    """A thickness in words.

    Examples
    --------
    >>> say_coats(1.0), say_coats(0.25), say_coats(2.0)
    ('1 coat', '0.25 coat', '2 coats')
    """
    return f"{say_amount(coats)} coat" + ("s" if coats > 1 else "")


def say_film(film: Film) -> str:
    """A film in words, such as *1 Magenta : 4 Classroom white, 1 coat*."""
    amounts = [(amount, paint.label) for paint, amount in film.parts]
    amounts += [(film.medium_parts, "medium"), (film.water_parts, "water")]
    named = [(amount, name) for amount, name in amounts if amount > 0]
    mixed = " : ".join(f"{say_amount(amount)} {name}" for amount, name in named)
    return f"{mixed if len(named) > 1 else named[0][1]}, {say_coats(film.coats)}"


def say_layering(layering: Layering) -> str:
    """A layering in words, the top film first."""
    films = [say_film(film) for film in reversed(layering.films)]
    return f"{', over '.join(films)}, over {layering.ground.label}"


def say_how_to_paint(film: Film) -> str:
    """How a film of a proof is mixed and laid down by hand.

    Notes
    -----
    A film thinner than a coat is laid as one full coat of paint let down with clear medium, as on the sample card:
    a third of a coat is one part of the mix to two of medium.
    """
    amounts = [(amount, paint.label) for paint, amount in film.parts]
    solid = sum(amount for amount, _ in amounts) + film.medium_parts
    medium = film.medium_parts
    if film.coats < FULL_COAT:
        medium += solid * (1.0 / film.coats - 1.0)
    amounts += [(medium, "clear medium"), (film.water_parts, "water")]
    named = [(amount, name) for amount, name in amounts if amount > 0]
    smallest = min(amount for amount, _ in named)
    parts = [f"{say_amount(amount / smallest)} part{_s(amount / smallest)} {name}" for amount, name in named]
    mix = f"Mix {', '.join(parts)} by volume" if len(named) > 1 else f"{named[0][1]} straight from the tube"
    coats = film.coats if film.coats >= FULL_COAT else 1.0
    return f"{mix}; {_say_brushing(coats)}."


def _say_brushing(coats: float) -> str:
    whole = round(coats)
    if abs(coats - whole) < 0.05:
        if whole == 1:
            return "one even full coat"
        return f"{whole} full coats, each dry before the next"
    return (
        f"as thick as {say_amount(coats)} full coats, in {max(2, whole)} even ones, each dry before the next"
    )


def _s(amount: float) -> str:
    return "" if abs(amount - 1.0) < 0.005 else "s"
