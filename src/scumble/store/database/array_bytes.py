"""Numbers as bytes in a column, and back to the last digit."""

from __future__ import annotations

import zlib

import numpy as np
from numpy.typing import NDArray

from scumble.errors import StoreError

Floats = NDArray[np.float64]

_WHOLE, _TRIANGLE = b"W", b"T"


def spectrum_to_bytes(values: Floats) -> bytes:
    """Values as little-endian float64."""
    return values.astype("<f8").tobytes()


def bytes_to_spectrum(content: bytes, size: int) -> Floats:
    """Values as they were saved.

    Raises
    ------
    StoreError
        If there are not ``size`` of them.
    """
    if len(content) != 8 * size:
        raise StoreError("A record of the shelf is damaged; fetch it back from a backup.")
    return np.frombuffer(content, dtype="<f8").astype(np.float64)


def matrix_to_bytes(matrix: Floats) -> bytes:
    """Pack a square matrix; of a symmetric one only the lower triangle is kept.

    Notes
    -----
    Bytes of equal rank stand together before compression: exponents hardly differ, and the zeros of a paint taken
    as exact shrink to nothing.
    """
    symmetric = np.array_equal(matrix, matrix.T)
    kept = matrix[np.tril_indices(len(matrix))] if symmetric else matrix.ravel()
    ranked = kept.astype("<f8").view(np.uint8).reshape(-1, 8).T
    return (_TRIANGLE if symmetric else _WHOLE) + zlib.compress(ranked.tobytes(), 1)


def bytes_to_matrix(content: bytes, size: int) -> Floats:
    """Unpack a matrix of ``size`` rows.

    Raises
    ------
    StoreError
        If the bytes are damaged.

    Examples
    --------
    >>> bytes_to_matrix(matrix_to_bytes(np.array([[1.0, 0.1], [0.1, 2.0]])), 2)
    array([[1. , 0.1],
           [0.1, 2. ]])
    """
    whole = content[:1] == _WHOLE
    expected = size * size if whole else size * (size + 1) // 2
    try:
        ranked = np.frombuffer(zlib.decompress(content[1:]), dtype=np.uint8)
    except zlib.error:
        ranked = np.empty(0, dtype=np.uint8)
    if ranked.size != 8 * expected or not (whole or content[:1] == _TRIANGLE):
        raise StoreError("A record of the shelf is damaged; fetch it back from a backup.")
    kept = np.ascontiguousarray(ranked.reshape(8, -1).T).view("<f8").ravel().astype(np.float64)
    if whole:
        return kept.reshape(size, size)
    matrix = np.empty((size, size))
    rows, columns = np.tril_indices(size)
    matrix[rows, columns] = kept
    matrix[columns, rows] = kept
    return matrix
