"""What holds for every test and every example: the same cases each run, no clock over them, arrays printed alike."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import settings

# No deadline: a case that is slow on a busy computer is no fault of the code.
settings.register_profile("house", derandomize=True, deadline=None)
settings.load_profile("house")


@pytest.fixture(autouse=True)
def plain_arrays() -> Iterator[None]:
    """Arrays print as numpy prints them today; importing colour-science asks for an older look, for everybody."""
    before = np.get_printoptions()
    np.set_printoptions(legacy=False)
    yield
    np.set_printoptions(**before)
