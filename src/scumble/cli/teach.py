"""``scumble teach``: rounds of questions in the terminal, lessons on paper, and what trainees foretold."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, say_json

if TYPE_CHECKING:
    from rich.console import Console

    from scumble.jobs.teach.round_page import RoundPage, Swatch

app = typer.Typer(
    help="Foretell swatches of this shelf before they are shown; print lessons; see what is mispredicted most.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)

THEMES = "undertone, cover, white, grounds, mixing or two-ways; everything when left out"

Theme = Annotated[str, typer.Argument(help=f"One of {THEMES}.")]
Seed = Annotated[
    int | None, typer.Option(min=0, max=999_999, help="The same seed asks the same; by chance when left out.")
]


@app.command("round")
def ask_round(
    theme: Theme = "",
    who: Annotated[str, typer.Option(help="Name or initials; nothing is kept when left out.")] = "",
    count: Annotated[int, typer.Option(min=1, max=30, help="Questions.")] = 8,
    seed: Seed = None,
    point: Annotated[bool, typer.Option("--point", help="Say the colour as lightness,chroma,hue.")] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Ask a round of questions; with --json only list them with their answers."""
    from rich.console import Console

    from scumble.jobs.layering_request import parse_model
    from scumble.jobs.teach.play import play_round, questions_as_data
    from scumble.jobs.teach.round_query import RoundQuery

    said = {"theme": theme, "of": count, "seed": -1 if seed is None else seed}
    query = parse_model(RoundQuery, {**said, "manner": "point" if point else "choose"}, field="round")
    if json:
        say_json(questions_as_data(query, shelf))
        return
    console = Console(highlight=False)
    share = play_round(
        query, shelf, name=who, ask=lambda page: _ask(console, page), tell=lambda page: _tell(console, page)
    )
    typer.echo(f"{share.right} of {share.asked} foretold.")


def _ask(console: Console, page: RoundPage) -> str:
    from rich.markup import escape

    console.print(f"\n[dim]{page.topic}, question {page.place} of {page.query.of}[/dim]")
    console.print(f"[bold]{escape(page.asks)}[/bold]")
    for swatch in page.given:
        _swatch(console, swatch)
    if not page.choices:
        return _typed("Lightness,chroma,hue (such as 60,40,30; empty to stop)")
    for each in page.choices:
        block = f"[on {each.colour}]          [/] " if each.colour else ""
        console.print(f"  {each.number}  {block}{escape(each.words)}")
    while True:
        said = _typed(f"1 to {len(page.choices)} (empty to stop)")
        if not said or said in {str(each.number) for each in page.choices}:
            return said
        typer.echo(f"A number from 1 to {len(page.choices)}.")


def _typed(prompt: str) -> str:
    try:
        return str(typer.prompt(prompt, default="", show_default=False)).strip()
    except typer.Abort:
        return ""


def _tell(console: Console, page: RoundPage) -> None:
    from rich.markup import escape

    reveal = page.reveal
    assert reveal is not None
    right = next((each for each in page.choices if each.mark.startswith("right")), None)
    console.print(f"[bold]{escape(reveal.judged.verdict)}[/bold]")
    if right is not None and not reveal.judged.right:
        console.print(f"True is {right.number}: {escape(right.words)}.")
    console.print(escape(reveal.why))
    for swatch in reveal.painted:
        _swatch(console, swatch)
    console.print(f"[dim]{escape(reveal.number)}. {reveal.meaning} {reveal.doubt}[/dim]")


def _swatch(console: Console, swatch: Swatch) -> None:
    from rich.markup import escape

    console.print(f"     [on {swatch.colour}]          [/] {escape(swatch.words)}: {swatch.name}")


@app.command("lesson")
def print_lesson(
    theme: Theme = "",
    count: Annotated[int, typer.Option(min=1, max=24, help="Questions.")] = 6,
    seed: Seed = None,
    page: Annotated[str, typer.Option(help="A4 to A1, Letter, or WIDTHxHEIGHT in mm.")] = "A4",
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="PDF or SVG to write; a name of its own if left out.")
    ] = None,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Print a lesson true to scale: a plan, questions with boxes to paint in, answers on pages of their own."""
    from scumble.jobs.layering_request import parse_model
    from scumble.jobs.teach.lesson_page import LessonQuery, lesson_to_file

    said = {"theme": theme, "count": count, "page": page, "seed": -1 if seed is None else seed}
    told = lesson_to_file(parse_model(LessonQuery, said, field="lesson"), shelf, out)
    if json:
        say_json(told)
        return
    typer.echo(
        f"{', '.join(told['files'])}: {told['pages']} pages, answers from page {told['answers_from_page']}. Print at "
        f"100 % and check the ruler. Again with: scumble teach lesson{f' {theme}' * bool(theme)} --count {count} "
        f"--seed {told['seed']}"
    )


@app.command("record")
def show_record(
    name: Annotated[str, typer.Argument(help="Name or initials; all together when left out.")] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Say what was foretold and what is mispredicted most, of one trainee or of all."""
    from scumble.jobs.teach.play import tell_record

    told = tell_record(shelf, name)
    if json:
        say_json(told)
        return
    typer.echo(f"{told.get('name', 'All together')}: {told['said']}{' foretold' * bool(told['asked'])}.")
    for heading, rows, key in (
        ("kinds", told["kinds"], "kind"),
        ("tubes", told["tubes"], "tube"),
        ("trainees", told.get("trainees", []), "name"),
    ):
        _say_rows(heading, rows, key)
    for each in told["errors"]:
        typer.echo(f"  {each['count']} x {each['error']}")
    for each in told.get("comes_again", []):
        typer.echo(f"  again {each['due']}: {each['kind']}, {each['tube']}")


def _say_rows(heading: str, rows: list[dict[str, Any]], key: str) -> None:
    if rows:
        typer.echo(heading)
    for row in rows:
        typer.echo(f"  {row[key]:<38} {row['said']}")


@app.command("erase")
def erase(
    name: Annotated[str, typer.Argument(help="Name or initials.")],
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask again.")] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Erase a trainee with all answers, for good; backups and exports made before still hold them."""
    from scumble.jobs.teach.play import erase_trainee

    if not yes:
        typer.confirm(f"Erase {name} and all answers for good?", abort=True)
    erased = erase_trainee(shelf, name)
    if json:
        say_json({"erased": erased})
    else:
        typer.echo(f"{erased} is erased. Backups and exports made before still hold them.")
