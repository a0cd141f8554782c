"""``scumble open``: the pages at the counter."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from scumble.cli.terminal import ShelfOption, progress_line


def open_pages(
    shelf: ShelfOption = None,
    demo: Annotated[
        Path | None, typer.Option(help="Folder of a demo shelf to load when the shelf is new.")
    ] = None,
    port: Annotated[int, typer.Option(help="Port on this computer; 0 takes a free one.")] = 8017,
    browser: Annotated[bool, typer.Option(help="Open the page in a browser.")] = True,
    counter: Annotated[
        bool,
        typer.Option("--counter", help="For customers: only the counter is open, the rest behind a code."),
    ] = False,
    at: Annotated[
        str, typer.Option(help="With --counter: this computer's address in the shop, for a tablet.")
    ] = "127.0.0.1",
) -> None:
    """Open the workbench in a browser on this computer; nothing leaves it."""
    from scumble.jobs.open_shelf import prepare_shelf
    from scumble.web.serve import serve

    with progress_line(quiet=False) as progress:
        path = prepare_shelf(shelf, demo=demo, progress=progress)
    serve(path, port=port, browser=browser, counter=counter, at=at)
