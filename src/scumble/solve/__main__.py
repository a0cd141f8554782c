"""``python -m scumble.solve``: compile the search for recipes once, so that no answer ever waits for it."""

from __future__ import annotations

import numpy as np

from scumble.paint import Optics, Paint, Provenance, paper_ground
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.target import target_of_lab
from scumble.tables import BANDS


def compile_search() -> None:
    """Solve one mixture; the machine code is kept beside the source or in the user's cache."""
    grey = Paint("grey", "Grey", Optics(np.ones(BANDS), np.ones(BANDS)), Provenance.ILLUSTRATIVE)
    search = Search(target_of_lab([50, 0, 0]), (grey, grey), paper_ground("white"))
    search.solve(np.array([[0, 1]]), (0, 0), Bounds(0.98, 1.0, 4.0))


if __name__ == "__main__":
    compile_search()
