"""``python -m scumble.paint``: compile the loops over a picture's colours once, so that no answer ever waits for it."""

from __future__ import annotations

from scumble.colour import upsample_colours
from scumble.paint.ground import paper_ground
from scumble.paint.layering import Layering
from scumble.paint.over_picture import Surface, predict_over_picture


def compile_picture() -> None:
    """Run every compiled loop once; the machine code is kept beside the source or in the user's cache."""
    shown = upsample_colours([[19.0, 20.0, 21.8]])
    predict_over_picture(Layering(paper_ground("white")), shown, surface=Surface.BARE)


if __name__ == "__main__":
    compile_picture()
