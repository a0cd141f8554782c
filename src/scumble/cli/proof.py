"""``scumble proof``: predictions that are kept, painted, read back and held to their word."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from scumble.cli.terminal import JsonOption, ShelfOption, load_json_argument, progress_line, say_json

app = typer.Typer(
    help="Keep predictions to prove, read them back painted, and see the track record.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)

Key = Annotated[str, typer.Argument(help="Short name of the proof.")]


@app.command("keep")
def keep(
    layering: Annotated[
        str | None, typer.Argument(help="The layering as JSON, @file, or - for standard input.")
    ] = None,
    paint: Annotated[str, typer.Option(help="Or a paint of the shelf.")] = "",
    swatch: Annotated[
        str, typer.Option(help="Of that paint: masstone, undertone, breath, dark, tint1, tint4 or tint9.")
    ] = "undertone",
    label: Annotated[str, typer.Option(help="What it is called; made from its films when left out.")] = "",
    again: Annotated[
        bool, typer.Option("--again", help="Keep it once more where the same one waits already.")
    ] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Keep a prediction to prove: what is promised today is written down before anything is painted."""
    from scumble.jobs.proofs.ask import keep

    data = None if layering is None else load_json_argument(layering, field="layering")
    told = keep(shelf, data=data, paint=paint, swatch=swatch, label=label, again=again)
    if json:
        say_json(told)
    else:
        typer.echo(f"{told['proof']}: {told['label']}. {_promise(told)}")


@app.command("list")
def list_proofs(
    binned: Annotated[bool, typer.Option("--bin", help="Those in the bin.")] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """List the proofs of the shelf: those that wait to be painted, and what became of the others."""
    from scumble.jobs.proofs.ask import list_proofs

    told = list_proofs(shelf, binned=binned)
    if json:
        say_json(told)
        return
    for each in told:
        typer.echo(f"{each['proof']}  {each['label']}: {_became(each)}")
    if not told:
        typer.echo("No proofs. Keep one: scumble proof keep --paint NAME --swatch undertone")


@app.command("print")
def print_sheet(
    proofs: Annotated[
        list[str] | None, typer.Argument(help="Short names; all that wait when left out.")
    ] = None,
    out: Annotated[Path, typer.Option("--out", "-o", help="PDF to write.")] = Path("proofs.pdf"),
    page: Annotated[str, typer.Option(help="A4 or Letter.")] = "A4",
    sheet: Annotated[str, typer.Option(help="Serial of a sheet to print again as it was.")] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Print sheets to paint proofs on, true to scale; with --json also say what lies where."""
    from scumble.jobs.files import write_whole
    from scumble.jobs.proofs.ask import print_proofs

    content, sheets = print_proofs(shelf, proofs or (), page=page, sheet=sheet)
    write_whole(out, content)
    if json:
        say_json(sheets)
        return
    for each in sheets:
        typer.echo(f"Sheet {each['serial']}: {len(each['boxes'])} to paint.")
    typer.echo(
        f"{out}: print it at 100 %, paint it as its last page says, and read it: scumble proof read PHOTO"
    )


@app.command("read")
def read(
    key: Annotated[
        str,
        typer.Argument(help="Short name of the proof with --lab; or a photograph or an instrument's file."),
    ],
    lab: Annotated[str, typer.Option(help="L*, a*, b* of the painted swatch.")] = "",
    ground: Annotated[str, typer.Option(help="The same of the bare ground beside it.")] = "",
    light: Annotated[str, typer.Option(help="What they hold for; as promised when left out.")] = "",
    observer: Annotated[int | None, typer.Option(help="2 or 10 degrees; as promised when left out.")] = None,
    doubt: Annotated[float, typer.Option(help="Standard deviation of each number.")] = 0.5,
    sheet: Annotated[str, typer.Option(help="Serial of the sheet that a file's box numbers mean.")] = "",
    place: Annotated[
        list[str] | None, typer.Option("--map", help="SAMPLE=PROOF, where names do not tell; repeatable.")
    ] = None,
    condition: Annotated[str, typer.Option(help="Measurement condition to take, M0 to M3.")] = "",
    marks: Annotated[
        Path | None,
        typer.Option(help="Proofs on a ground of their own: JSON file of the boxes over their picture."),
    ] = None,
    reference: Annotated[
        Path | None, typer.Option(help="CGATS.17 reference file of a colour target that lies in the picture.")
    ] = None,
    target_corners: Annotated[
        str, typer.Option(help="Where the target lies, 'x,y x,y x,y x,y'; looked for if left out.")
    ] = "",
    profile: Annotated[Path | None, typer.Option(help="ICC profile of the scanner or camera.")] = None,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Read painted proofs back: numbers for one; a photograph of their sheet or an instrument's file for several."""
    from scumble.jobs.colour_request import ColourRequest
    from scumble.jobs.proofs.ask import read_file, type_in

    if lab:
        told = [type_in(shelf, key, lab, ground=ground, light=light, observer=observer, doubt=doubt)]
        whole: dict[str, Any] = {"proofs": told, "left_over": [], "said": []}
    else:
        with progress_line(quiet=json) as progress:
            whole = read_file(
                shelf,
                Path(key),
                sheet=sheet,
                said=place or (),
                condition=condition,
                colour=ColourRequest(reference, target_corners, None, profile),
                marks=marks,
                progress=progress,
            )
    if json:
        say_json(whole)
        return
    for each in whole["proofs"]:
        typer.echo(f"{each['label']}: {_became(each)}")
    for sentence in whole["said"]:
        typer.echo(sentence)
    if whole["left_over"]:
        typer.echo(f"Left out: {'; '.join(whole['left_over'])}")


@app.command("record")
def record(
    paint: Annotated[str, typer.Option(help="Only proofs with this paint.")] = "",
    kind: Annotated[str, typer.Option(help="Only this kind of prediction, such as undertone.")] = "",
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Say how good the predictions were on this shelf: how far off, how often inside, and in which direction."""
    from scumble.jobs.proofs.ask import tell_record

    told = tell_record(shelf, paint=paint, kind=kind)
    if json:
        say_json(told)
        return
    _say_group(told["all"])
    for heading, groups in (("By kind", told["kinds"]), ("By paint", told["paints"])):
        if groups:
            typer.echo(f"\n{heading}")
        for each in groups:
            _say_group(each)
    today = told["today"]
    if today["used"] or abs(today["mean_de00"] - told["all"]["mean_de00"]) > 0.001:
        typer.echo(f"\nForetold anew, without {today['used']} that went into the optics of today")
        _say_group(today)
    if told["waiting"]:
        typer.echo(f"\n{len(told['waiting'])} wait to be painted and read.")
    for sentence in told["next"]:
        typer.echo(sentence)


@app.command("sharpen")
def sharpen(
    paint: Annotated[str, typer.Argument(help="The paint's short name on the shelf.")],
    proof: Annotated[
        list[str] | None, typer.Option(help="Only this proof; repeatable. All that are new if left out.")
    ] = None,
    preview: Annotated[
        bool, typer.Option("--preview", help="Say what would change; change nothing.")
    ] = False,
    back: Annotated[bool, typer.Option("--back", help="Take the last sharpening back.")] = False,
    shelf: ShelfOption = None,
    json: JsonOption = False,
) -> None:
    """Let painted proofs sharpen a paint's optics, as a new version; --back makes the one before count again."""
    from scumble.jobs.proofs.ask import sharpen

    told = sharpen(shelf, paint, proofs=proof or (), preview=preview, back=back)
    if json:
        say_json(told)
    elif back:
        typer.echo(f"{told['paint']}: version {told['version']} counts again; the sharpened one stays.")
    else:
        for each in told["taken"]:
            typer.echo(f"{each['label']}: {each['said']}")
        typer.echo(told["says"] + (" Nothing was saved." if preview else f" Version {told['version']}."))


@app.command("bin")
def put_away(key: Key, shelf: ShelfOption = None) -> None:
    """Put a proof into the bin, with what was read of it."""
    from scumble.jobs.proofs.ask import move

    move(shelf, key, binned=True)
    typer.echo(f"{key} is in the bin; scumble proof restore {key} fetches it back.")


@app.command("restore")
def restore(key: Key, shelf: ShelfOption = None) -> None:
    """Fetch a proof back from the bin."""
    from scumble.jobs.proofs.ask import move

    move(shelf, key, binned=False)
    typer.echo(f"{key} is back.")


def _promise(told: dict[str, Any]) -> str:
    lightness, a, b = told["lab"]
    return (
        f"Promised L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}, within dE00 {told['interval_de00']:.1f}"
        f" as a careful hand paints it (the paints alone {told['optics_de00']:.1f})."
    )


def _became(told: dict[str, Any]) -> str:
    read = told["read"]
    if read is None:
        return f"waits to be painted. {_promise(told)}"
    kept = "inside" if read["within"] else "outside"
    return (
        f"dE00 {read['difference_de00']:.1f}, {kept} the promised {read['interval_de00']:.1f};"
        f" {read['direction']}."
    )


def _say_group(told: dict[str, Any]) -> None:
    if not told["count"]:
        typer.echo(told["promise"])
        return
    far = told["percentile_95_de00"]
    most = f"95 in 100 within {far:.1f}" if far is not None else f"worst {told['worst_de00']:.1f}"
    strays = f" They came out {told['direction']}." if told["direction"] else ""
    typer.echo(f"{told['name']}: dE00 {told['mean_de00']:.1f} on average, {most}. {told['promise']}{strays}")
