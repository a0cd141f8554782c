"""Figures of a layering: its spectrum, and the path of its colour while the top film thickens."""

from __future__ import annotations

import numpy as np

from scumble.chart.curve import Curve, Dot, Frame, Mark, draw_curves
from scumble.chart.strip import write_colour
from scumble.jobs.bench.looks import BenchLooks
from scumble.tables import WAVELENGTH_NM

SPECTRUM = Frame(380, 730, 0, 1, x_marks=(450, 520, 590, 660), y_marks=(0.25, 0.5, 0.75))

PATH_FROM, PATH_TO = -60.0, 100.0
"""Ends of both axes of the path; they stay where they are, so that only the path moves."""

PATH = Frame(PATH_FROM, PATH_TO, PATH_FROM, PATH_TO, x_marks=(-20, 0, 20, 60), y_marks=(-20, 0, 20, 60))


def draw_spectrum(looks: BenchLooks, kept: BenchLooks | None) -> str:
    """Light that a layering returns, the bare ground's dashed, and that of a kept layering thinly."""
    seen = looks.on_grounds
    marks: list[Mark] = [Curve(WAVELENGTH_NM, looks.bare.reflectance[0], width=2.0, is_dashed=True)]
    if kept is not None:
        colour = write_colour(kept.on_grounds.srgb[0])
        marks.append(Curve(WAVELENGTH_NM, kept.on_grounds.reflectance[0], colour, width=2.5))
    marks.append(Curve(WAVELENGTH_NM, seen.reflectance[0], width=6.0))
    marks.append(Curve(WAVELENGTH_NM, seen.reflectance[0], write_colour(seen.srgb[0]), width=4.0))
    peak = int(WAVELENGTH_NM[int(np.argmax(seen.reflectance[0]))])
    words = f"Reflectance of the layering from 380 to 730 nm, highest at {peak} nm, and of its bare ground"
    return draw_curves(SPECTRUM, marks, words=words)


def draw_path(looks: BenchLooks) -> str:
    """Path of the colour in a*b* while the top film thickens, and where it is now."""
    path = np.clip(looks.thickening.lab, PATH_FROM, PATH_TO)
    now = np.clip(looks.on_grounds.lab[0], PATH_FROM, PATH_TO)
    marks: list[Mark] = [Dot(0.0, 0.0, size=5.0)]
    if len(path):
        marks.append(Curve(path[:, 1], path[:, 2], width=2.0))
        colours = looks.thickening.srgb
        marks += [
            Dot(lab[1], lab[2], write_colour(colour), 11.0)
            for lab, colour in zip(path[::2], colours[::2], strict=True)
        ]
    marks.append(Dot(now[1], now[2], size=25.0))
    marks.append(Dot(now[1], now[2], write_colour(looks.on_grounds.srgb[0]), 21.0))
    words = f"Path of the colour as the top film thickens, now at a* {now[1]:.0f}, b* {now[2]:.0f}"
    return draw_curves(PATH, marks, words=words)
