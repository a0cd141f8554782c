"""Several cards solved together: printed by one printer, their tints mixed with one white.

Bare areas that agree from card to card are taken as one print and share what was read on them. Every card with tints
says something of the white they were mixed with: a message, made of a mean and a precision. The white that
a card is fitted with is its own card's, sharpened by the messages of all *other* cards, so that nothing counts twice;
for linear models this passing of messages is the joint solution itself.

*Source:* Pearl, Probabilistic Reasoning in Intelligent Systems (1988), chapter 4 (messages on a tree); Rasmussen &
Williams, Gaussian Processes for Machine Learning (2006), section 3.6 (the message left when one's own is taken out).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings
from scumble.solve.fit.one_card import Fit, WhiteSeen, fit_optics
from scumble.solve.fit.prior import covariance_factor
from scumble.solve.fit.shared_grounds import share_grounds
from scumble.tables import BANDS

Floats = NDArray[np.float64]

DIRECTIONS: Final = 10
"""Directions of the white's uncertainty that the cards are asked about."""

ROUNDS: Final = 2
"""Times that every card is fitted with the others' white; further ones move nothing."""


@dataclass(frozen=True, slots=True)
class Together:
    """Cards that were solved together.

    Parameters
    ----------
    white : Optics or None
        Sharpened by all of them.
    shared : tuple of str
        Bare areas that were taken as one print.
    fits : tuple of Fit
        One for each card, in their order.
    """

    white: Optics | None
    shared: tuple[str, ...]
    fits: tuple[Fit, ...]


@dataclass(frozen=True, slots=True)
class _Message:
    """What a card says of the white, in the directions of its factor.

    Parameters
    ----------
    precision : array, shape (directions, directions)
        How surely.
    pull : array, shape (directions,)
        The precision times where it says the white lies.
    """

    precision: Floats
    pull: Floats


def fit_together(
    cards: Sequence[CardReadings],
    *,
    white: Optics | None,
    index: float = 1.5,
    rounds: int = ROUNDS,
    progress: Callable[[int, int], None] | None = None,
) -> Together:
    """Fit cards whose tints were mixed with one white, each with what the others say of it and of the grounds.

    Parameters
    ----------
    cards : sequence of CardReadings
        With tints or without; their errors must have nothing to do with each other.
    white : Optics, optional
        From its own card. One taken as exact is not sharpened, and without one the tints are left out.
    index : float [1]
        Refractive index of their binder.
    rounds : int
        Times that every card is fitted with the others' white.
    progress : callable, optional
        Told how many fits of how many are done.

    Raises
    ------
    InputError
        If a card has nothing painted that can be used.
    """
    cards, shared = share_grounds(cards)
    factor = np.zeros((2 * BANDS, 0))
    if white is not None and np.any(white.covariance):
        factor = covariance_factor(white.covariance, rank=DIRECTIONS)
    total = len(cards) * (1 + (rounds if factor.shape[1] else 0))
    done = 0

    def fit(card: CardReadings, believed: Optics | None) -> Fit:
        nonlocal done
        found = fit_optics(card, white=believed, index=index)
        done += 1
        if progress is not None:
            progress(done, total)
        return found

    fits = [fit(card, white) for card in cards]
    if white is None or not factor.shape[1]:
        return Together(white, shared, tuple(fits))
    messages = [_message_of(found.white, white, white, factor) for found in fits]
    for _ in range(rounds):
        for place, card in enumerate(cards):
            others = _sharpened(white, factor, messages[:place] + messages[place + 1 :])
            fits[place] = fit(card, others)
            messages[place] = _message_of(fits[place].white, others, white, factor)
    return Together(_sharpened(white, factor, messages), shared, tuple(fits))


def _message_of(seen: WhiteSeen | None, believed: Optics, first: Optics, factor: Floats) -> _Message:
    """What a card adds to what was believed of the white before it.

    Parameters
    ----------
    seen : WhiteSeen, optional
        After the card; ``None`` says nothing.
    believed, first : Optics
        The white it was fitted with, and the one whose directions count.
    factor : array, shape (72, directions)
        Those directions, each as long as one standard deviation.
    """
    size = factor.shape[1]
    nothing = _Message(np.zeros((size, size)), np.zeros(size))
    if seen is None:
        return nothing
    # The columns of the factor stand at right angles, so they are left by their own lengths.
    left = (factor / np.sum(factor**2, axis=0)).T
    moved = left @ (_log(believed) - _log(first))
    before, after = (_inverse(left @ matrix @ left.T) for matrix in (believed.covariance, seen.covariance))
    values, vectors = np.linalg.eigh(after - before)
    # A card cannot make the white less certain; what looks like it is left over from the truncation.
    precision = (vectors * np.maximum(values, 0.0)) @ vectors.T
    mean = moved + left @ seen.shift
    return _Message(precision, np.asarray(after @ mean - before @ moved))


def _inverse(matrix: Floats) -> Floats:
    return np.asarray(np.linalg.inv(matrix + 1e-9 * np.eye(len(matrix))))


def _sharpened(white: Optics, factor: Floats, messages: Sequence[_Message]) -> Optics:
    """The white of its own card together with what other cards say of it."""
    precision, pull = np.eye(factor.shape[1]), np.zeros(factor.shape[1])
    for message in messages:
        precision = precision + message.precision
        pull = pull + message.pull
    spread = np.linalg.inv(precision)
    shift = factor @ (spread @ pull)
    rest = white.covariance - factor @ factor.T
    absorption, scattering = np.exp(_log(white) + shift).reshape(2, -1)
    return Optics(absorption, scattering, rest + factor @ spread @ factor.T)


def _log(optics: Optics) -> Floats:
    return np.asarray(np.log(np.concatenate([optics.absorption, optics.scattering])))
