"""What holds for every test and every example in a docstring."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest


@pytest.fixture(autouse=True)
def plain_arrays() -> Iterator[None]:
    """Arrays print as numpy prints them today; importing colour-science asks for an older look, for everybody."""
    before = np.get_printoptions()
    np.set_printoptions(legacy=False)
    yield
    np.set_printoptions(**before)
