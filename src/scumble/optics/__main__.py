"""``python -m scumble.optics``: compile the engine's loops once, so that no answer ever waits for it."""

from __future__ import annotations

from scumble.optics.film import film_response, film_response_and_slopes
from scumble.optics.stack import stack_response


def compile_engine() -> None:
    """Run every compiled loop once; the machine code is kept beside the source or in the user's cache."""
    stack_response([[1.0]], [[1.0]])
    film_response(1.0, 1.0)
    film_response_and_slopes(1.0, 1.0)


if __name__ == "__main__":
    compile_engine()
