"""Every group of a few tubes, in blocks that fit into memory however long the shelf is."""

from __future__ import annotations

from collections.abc import Iterator
from math import comb

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]


def every_group(tubes: Whole, number: int) -> Whole:
    """All groups of a number of tubes, in order.

    Parameters
    ----------
    tubes : int array, shape (count,)
        Places on the shelf.
    number : int
        Tubes in a group.

    Returns
    -------
    int array, shape (groups, number)

    Examples
    --------
    >>> every_group(np.array([3, 5, 8]), 2).tolist()
    [[3, 5], [3, 8], [5, 8]]
    """
    blocks = list(groups_in_blocks(tubes, number, max(comb(len(tubes), number), 1)))
    return blocks[0] if blocks else np.empty((0, number), dtype=np.int64)


def groups_in_blocks(tubes: Whole, number: int, most: int) -> Iterator[Whole]:
    """All groups in order, some at a time.

    Parameters
    ----------
    tubes : int array, shape (count,)
        Places on the shelf.
    number : int
        Tubes in a group.
    most : int
        Groups in a block.

    Yields
    ------
    int array, shape (groups, number)

    Examples
    --------
    >>> [len(block) for block in groups_in_blocks(np.arange(6), 3, 8)]
    [7, 3, 6, 4]
    """
    places = np.asarray(tubes, dtype=np.int64)
    waiting: list[Whole] = []
    for block in _from_first(places, number, most):
        if waiting and sum(map(len, waiting)) + len(block) > most:
            yield np.concatenate(waiting)
            waiting = []
        waiting.append(block)
    if waiting:
        yield np.concatenate(waiting)


def _from_first(tubes: Whole, number: int, most: int) -> Iterator[Whole]:
    """Groups with one first tube; with one second tube, too, where they are too many."""
    if number == 1:
        yield tubes[:, None]
        return
    for at in range(len(tubes) - number + 1):
        after = tubes[at + 1 :]
        pieces = (
            [_rest(after, number - 1)]
            if comb(len(after), number - 1) <= most
            else _from_first(after, number - 1, most)
        )
        for piece in pieces:
            yield np.column_stack([np.full(len(piece), tubes[at]), piece])


def _rest(tubes: Whole, number: int) -> Whole:
    """All groups at once."""
    if number == 1:
        return tubes[:, None]
    return np.concatenate(
        [
            np.column_stack(
                [
                    np.full(comb(len(tubes) - at - 1, number - 1), tubes[at]),
                    _rest(tubes[at + 1 :], number - 1),
                ]
            )
            for at in range(len(tubes) - number + 1)
        ]
        or [np.empty((0, number), dtype=np.int64)]
    )
