"""Trays laid out for questions: of the starter shelf, and of paints invented at random."""

from __future__ import annotations

from functools import cache
from zlib import crc32

import numpy as np

from scumble.jobs.draws import standard_draws
from scumble.jobs.grounds import COLOURED, SIX_GROUNDS, chart_ground
from scumble.paint import Binder, Optics, Paint, Provenance
from scumble.paint.pigment import illustrative_covariance, starter_shelf
from scumble.paint.question.tray import Tray, Tube, open_tube
from scumble.tables import BANDS, WAVELENGTH_NM

SHELF = {paint.key: paint for paint in starter_shelf()}
GROUNDS = {name: chart_ground(name) for name in (*SIX_GROUNDS, *COLOURED)}


def exact(paint: Paint) -> Paint:
    """The same paint with its optics taken as exact."""
    optics = Optics(paint.optics.absorption, paint.optics.scattering)
    return Paint(paint.key, paint.label, optics, paint.provenance, paint.pigments, paint.binder)


@cache
def opened(key: str, part: int, sure: bool) -> Tube:
    """A tube of the starter shelf, opened once: its numbers take longer than its questions."""
    return open_tube(exact(SHELF[key]) if sure else SHELF[key], standard_draws()[part, :40])


def tray_of(
    key: str,
    *others: str,
    level: int = 2,
    seed: int = 1,
    sure: bool = False,
    white: str | None = "titanium-white",
) -> Tray:
    """A tray of tubes of the starter shelf; ``sure`` takes their optics as exact."""
    beside = tuple(opened(other, 2, sure) for other in others)
    pale = None if white is None else opened(white, 1, sure)
    return Tray(opened(key, 0, sure), pale, beside, GROUNDS, level, np.random.default_rng(seed))


def lay_out(paint: Paint, others: list[Paint], white: Paint | None, level: int = 2, seed: int = 1) -> Tray:
    """A tray of any tubes."""
    asked, pale, beside = standard_draws()[:, :40]
    return Tray(
        tube=open_tube(paint, asked),
        white=None if white is None else open_tube(white, pale),
        others=tuple(open_tube(other, beside) for other in others),
        grounds=GROUNDS,
        level=level,
        rng=np.random.default_rng(seed),
    )


def invented_paint(key: str, seed: int, *, doubt: float = 0.3) -> Paint:
    """A paint of smooth random optics, as sure as a well-read card."""
    rng = np.random.default_rng([seed, crc32(key.encode())])
    middle, width = rng.uniform(420, 680), rng.uniform(40, 160)
    band = np.exp(-(((WAVELENGTH_NM - middle) / width) ** 2))
    absorption = 10 ** rng.uniform(-1.5, 0.0) + 10 ** rng.uniform(-0.5, 1.3) * band
    scattering = 10 ** rng.uniform(-1.0, 1.3) * (550.0 / WAVELENGTH_NM) ** rng.uniform(0.0, 2.0)
    covariance = doubt**2 * illustrative_covariance()
    assert covariance.shape == (2 * BANDS, 2 * BANDS)
    return Paint(
        key,
        key.capitalize(),
        Optics(absorption, scattering, covariance),
        Provenance.CARD,
        binder=Binder.ACRYLIC,
    )
