"""Numbers survive the way into a column and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from scumble.errors import StoreError
from scumble.store.database.array_bytes import (
    bytes_to_matrix,
    bytes_to_spectrum,
    matrix_to_bytes,
    spectrum_to_bytes,
)

NUMBERS = st.floats(allow_nan=False, allow_infinity=False)


@settings(max_examples=60, deadline=None)
@given(arrays(np.float64, (6, 6), elements=NUMBERS), st.booleans())
def test_a_matrix_comes_back_to_the_last_digit(matrix: np.ndarray, symmetric: bool) -> None:
    matrix = np.tril(matrix) + np.tril(matrix, -1).T if symmetric else matrix
    assert np.array_equal(bytes_to_matrix(matrix_to_bytes(matrix), 6), matrix)


@settings(max_examples=30, deadline=None)
@given(arrays(np.float64, 36, elements=NUMBERS))
def test_a_spectrum_comes_back_to_the_last_digit(values: np.ndarray) -> None:
    assert np.array_equal(bytes_to_spectrum(spectrum_to_bytes(values), 36), values)


def test_symmetry_and_zeros_save_room() -> None:
    factor = np.random.default_rng(0).normal(size=(72, 72))
    # Half the numbers of 8 bytes each, and a byte in each exponent's worth.
    assert len(matrix_to_bytes(factor @ factor.T)) < 0.5 * 72 * 73 * 8
    assert len(matrix_to_bytes(np.zeros((72, 72)))) < 200


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=200))
def test_damaged_bytes_are_said_to_be_damaged(content: bytes) -> None:
    with pytest.raises(StoreError, match=r"A record of the shelf is damaged; fetch it back from a backup"):
        bytes_to_matrix(content, 72)
    with pytest.raises(StoreError, match=r"A record of the shelf is damaged"):
        bytes_to_spectrum(content[:287], 36)
