"""``python -m benchmarks.accuracy``: regenerate docs/accuracy.md."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np

from benchmarks.accuracy.card import QUICK_CARD, Carelessness
from benchmarks.accuracy.population import FAMILIES
from benchmarks.accuracy.score import KINDS, Score, Setting, score_family
from benchmarks.accuracy.shelves import HEADING, shelves_section
from scumble.optics import kubelka_munk
from scumble.paint.reading import Quantity

SETTINGS = (
    Setting("full card, 1 %"),
    Setting("full card, 3 %", care=Carelessness(noise=0.03)),
    Setting("full card, 1 %, white from its own card", white_from_card=True),
    Setting("quick card, 1 %", layout=QUICK_CARD),
    Setting("full card, 1 %, spectral", quantity=Quantity.REFLECTANCE),
    Setting(
        "full card, 1 %, white from its own card, Kubelka-Munk",
        film_model=kubelka_munk.film_response_and_slopes,
        white_from_card=True,
        surprise_limit=np.inf,
    ),
)

INTRODUCTION = """# Accuracy

How far predictions from one painted card are from the truth, on paints and cards invented at random: {paints} paints
of each family, 4 films of each kind a paint. This page is written by `python -m benchmarks.accuracy` (seed {seed});
it is simulation, and says nothing about brushes, rough faces or flakes. Proofs do that, on your own paints.

- **Families** *edges and bands*: an absorption edge or a few bands over a floor, power-law scattering. *Mie
  pigments*: spheres with a causal index of a few oscillators and a log-normal size. Both in
  `benchmarks/accuracy/population.py`; the estimator knows neither.
- **Cards** the 16 areas of the full card or the 6 of the quick one. Colour readings (XYZ, D65, 2 degrees) unless it
  says spectral; noise is relative, independent in every number, on painted and bare areas alike. Thickness of each
  stroke off by 25 % (the full film is one coat by definition), every tint ratio by 10 %, every area's thickness by
  a further 5 %. The spectra of paper and stripes are not known to the fit.
- **Films** thin glazes 0.05 to 0.3 coat, thick glazes 0.4 to 1.6; tints 1:1 to 1:20 of 0.3 to 1.6 coats; mixtures
  of two paints 5:1 to 1:5 of 0.1 to 1.6 coats; evenly on a log scale, over white, black or a coloured ground.
- **White** is taken from the shelf (known) unless it says that it was fitted from a card of its own.
- Figures are the mean and the 95th percentile of dE00; *holds* is how often the truth lay within the 95 % interval.

"""


def table(rows: list[tuple[str, str, Score]]) -> str:
    """Markdown table of scores."""
    lines = [
        "| card | family | " + " | ".join(KINDS) + " | interval holds |",
        "|---|---|" + "---|" * (len(KINDS) + 1),
    ]
    for name, family, score in rows:
        cells = [f"{score.mean(kind):.2f} / {score.high(kind):.1f}" for kind in KINDS]
        lines.append(f"| {name} | {family} | " + " | ".join(cells) + f" | {score.coverage():.0f} % |")
    return "\n".join(lines)


def means(rows: list[tuple[str, str, Score]]) -> str:
    """Markdown table of the means over both families."""
    lines = ["| card | " + " | ".join(KINDS) + " |", "|---|" + "---|" * len(KINDS)]
    for name in dict.fromkeys(row[0] for row in rows):
        scores = [score for row, _, score in rows if row == name]
        cells = [f"{np.mean([score.mean(kind) for score in scores]):.2f}" for kind in KINDS]
        lines.append(f"| {name} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def main() -> None:
    """Score every setting and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--paints", type=int, default=100, help="paints of each family")
    parser.add_argument("--seed", type=int, default=20)
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[2] / "docs" / "accuracy.md")
    parser.add_argument("--shelves", type=int, default=12, help="shelves of each family")
    parser.add_argument("--only", choices=("shelves",), help="write that section anew and leave the rest")
    options = parser.parse_args()
    if options.only:
        above, _, below = options.out.read_text(encoding="utf-8").partition(HEADING)
        _, sign, after = below.partition("\n## ")
        section = shelves_section(shelves=options.shelves, seed=options.seed)
        options.out.write_text(
            f"{above.rstrip()}\n\n{section}{sign and chr(10) + sign.lstrip()}{after}", "utf-8"
        )
        return
    rows = []
    for setting in SETTINGS:
        for family in FAMILIES:
            score = score_family(family, setting, paints=options.paints, seed=options.seed)
            rows.append((setting.name, family, score))
            print(table(rows[-1:]).splitlines()[-1], file=sys.stderr, flush=True)
    text = INTRODUCTION.format(paints=options.paints, seed=options.seed)
    section = shelves_section(shelves=options.shelves, seed=options.seed)
    options.out.write_text(
        f"{text}{table(rows)}\n\nMeans over both families:\n\n{means(rows)}\n\n{section}", encoding="utf-8"
    )


if __name__ == "__main__":
    main()
