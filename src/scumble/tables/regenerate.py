"""Write the colour tables of this room again from colour-science; for developers, never at run time.

colour-science is slow to import and warns about its optional parts, so each function asks for it itself.
Run it as ``python -m scumble.tables.regenerate``; the CSVs in version control then show any difference.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from pathlib import Path

ROOM = Path(__file__).parent
LICENCE = "BSD-3-Clause (colour-science, copyright 2013 Colour Developers); the numbers are published facts"

OBSERVERS = {
    2: ("CIE 1931 2 Degree Standard Observer", "CIE 1931 2 degree", "ISO/CIE 11664-1:2019"),
    10: ("CIE 1964 10 Degree Standard Observer", "CIE 1964 10 degree", "ISO/CIE 11664-1:2019"),
}
LIGHTS = {
    "D65": "ISO/CIE 11664-2:2022, CIE standard illuminant D65; CIE 15:2018",
    "D50": "ISO/CIE 11664-2:2022, CIE standard illuminant D50; CIE 15:2018",
    "A": "ISO/CIE 11664-2:2022, CIE standard illuminant A; CIE 15:2018",
    "LED-B3": "CIE 15:2018, illuminant LED-B3 (phosphor-converted blue LED)",
}
RENOTATION = (
    "Newhall S M, Nickerson D, Judd D B (1943) Final report of the O.S.A. subcommittee on the spacing of the "
    "Munsell colors, J. Opt. Soc. Am. 33, 385-418, doi:10.1364/JOSA.33.000385; ASTM D1535"
)
FAMILIES = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
HUES = [f"{step}{family}" for family in FAMILIES for step in ("2.5", "5", "7.5", "10")]


def write(
    name: str, *, title: str, source: str, data: str, units: str, rows: Iterable[Sequence[object]]
) -> None:
    """Write one table with its provenance header."""
    read_from = f"Python package colour-science {version('colour-science')}, {data}"
    header = {"title": title, "source": source, "read from": read_from, "licence": LICENCE, "units": units}
    names = [entry.strip().rsplit(" ", 1)[0] for entry in units.split(";")]
    lines = [f"# {key}: {value}" for key, value in header.items()]
    lines += [",".join(names), *(",".join(str(cell) for cell in row) for row in rows)]
    (ROOM / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def write_observers() -> None:
    """Colour-matching functions, 1 nm, 360-830 nm."""
    import colour

    for degrees, (key, title, source) in OBSERVERS.items():
        functions = colour.MSDS_CMFS[key]
        rows = (
            (int(nm), *(repr(float(value)) for value in values))
            for nm, values in zip(functions.wavelengths, functions.values, strict=True)
        )
        write(
            f"observer_{degrees}deg",
            title=f"{title} standard observer, colour-matching functions, 1 nm",
            source=source,
            data="colour/colorimetry/datasets/cmfs.py",
            units="wavelength_nm nm; x 1; y 1; z 1",
            rows=rows,
        )


def write_lights() -> None:
    """Relative spectral power of the four lights: the published 5 nm, or 1 nm from the formula that defines A."""
    import colour

    for light, source in LIGHTS.items():
        spectrum, step, data = (
            colour.SDS_ILLUMINANTS[light],
            5,
            "colour/colorimetry/datasets/illuminants/sds.py",
        )
        if light == "A":
            spectrum = colour.sd_CIE_standard_illuminant_A(colour.SpectralShape(360, 830, 1))
            step, data = 1, "sd_CIE_standard_illuminant_A, the formula that defines it, rounded to 7 digits"
        pairs = zip(spectrum.wavelengths, spectrum.values, strict=True)
        write(
            f"light_{light.lower().replace('-', '_')}",
            title=f"Relative spectral power of CIE illuminant {light}, {step} nm",
            source=source,
            data=data,
            units="wavelength_nm nm; power 1",
            rows=((int(nm), f"{power:.7g}") for nm, power in pairs if nm >= 360),
        )


def write_renotation() -> None:
    """Munsell renotation: chromaticity of each hue, value and chroma, as published in 1943, values 1 to 9."""
    from colour.notation.datasets.munsell import MUNSELL_COLOURS_REAL

    rows: list[tuple[str, int, int, float, float]] = [
        (hue, int(value), int(chroma), float(x), float(y))
        for (hue, value, chroma), (x, y, _) in MUNSELL_COLOURS_REAL
        if 1 <= value <= 9
    ]
    rows.sort(key=lambda row: (row[1], HUES.index(row[0]), row[2]))
    write(
        "munsell_renotation",
        title="Munsell renotation: CIE 1931 chromaticity under illuminant C by hue, value and chroma",
        source=RENOTATION,
        data="colour/notation/datasets/munsell/real.py",
        units="hue text; value 1; chroma 1; x 1; y 1",
        rows=rows,
    )


def main() -> int:
    """Write them all."""
    write_observers()
    write_lights()
    write_renotation()
    return 0


if __name__ == "__main__":
    sys.exit(main())
