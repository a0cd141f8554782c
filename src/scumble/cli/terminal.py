"""What every command shares: the shelf option, JSON on request, and progress while one waits."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

ShelfOption = Annotated[
    Path | None,
    typer.Option("--shelf", envvar="SCUMBLE_SHELF", help="The shelf's file; your own shelf when left out."),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer in JSON.")]


def say_json(data: Any) -> None:
    """Print data as JSON on one line."""
    typer.echo(json.dumps(data, ensure_ascii=False))


def say(data: Any, words: str, *, json: bool) -> None:
    """Answer in JSON where that was asked for, else in words."""
    if json:
        say_json(data)
    else:
        typer.echo(words)


@contextmanager
def progress_line(*, quiet: bool) -> Iterator[Callable[[str, float], None]]:
    """Show what is being done on the terminal's error stream; nothing when quiet or not a terminal."""
    if quiet or not sys.stderr.isatty():
        yield lambda _words, _share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.percentage:>3.0f}%"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("starting", total=1.0)
        yield lambda words, share: bar.update(task, description=words, completed=share)


def load_json_argument(text: str, *, field: str) -> object:
    """JSON given on the command line, as ``@file``, or as ``-`` for standard input.

    Raises
    ------
    InputError
        If it is not JSON or the file cannot be read.
    """
    from scumble.errors import InputError

    try:
        if text == "-":
            text = sys.stdin.read()
        elif text.startswith("@"):
            text = Path(text[1:]).read_text(encoding="utf-8-sig")
        return json.loads(text)
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(field, text, "JSON, @file or - for standard input", str(error)) from None
    except json.JSONDecodeError as error:
        raise InputError(field, text, "JSON", f"Line {error.lineno}: {error.msg}.") from None
