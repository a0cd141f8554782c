"""Proofs that the tests of the store share."""

from __future__ import annotations

import numpy as np
from tests.store.cards import invented_paint

from scumble.paint import Quantity
from scumble.paint.camera_doubt import CameraDoubt
from scumble.store.proof import (
    LabPromise,
    PromisedPaint,
    Proof,
    ProofReading,
    ProofSheet,
    ProofSource,
    mark_of_optics,
)
from scumble.tables import BANDS

SMALL = ((0.1, 0.0, 0.01), (0.0, 0.2, 0.0), (0.01, 0.0, 1 / 3))


def invented_proof(key: str = "abcd1234") -> Proof:
    """A thin film of the invented blue."""
    blue = invented_paint()
    layering = {
        "ground": {"paper": "white"},
        "films": [{"parts": {"deep-blue": 1.0}, "coats": 0.3, "medium_parts": 2.0, "water_parts": 0.0}],
    }
    return Proof(
        key,
        "Deep blue, thin over white",
        "undertone",
        "white paper",
        layering,
        (PromisedPaint("deep-blue", blue.label, 2, mark_of_optics(blue.optics)),),
        "D65",
        2,
        LabPromise((40.1, -3.25, -40.0), SMALL, SMALL),
        "by the window\nin the morning",
    )


def typed_reading() -> ProofReading:
    """Three numbers that somebody typed."""
    promise = LabPromise((40.0, -3.0, -41.5), SMALL, SMALL)
    return ProofReading(
        ProofSource.TYPED, (41.0, -2.0, -39.0), SMALL, promise, Quantity.XYZ, np.array([10.0, 11.0, 30.1])
    )


def photographed_reading() -> ProofReading:
    """One box of a photographed sheet."""
    promise = LabPromise((40.0, -3.0, -41.5), SMALL, SMALL)
    return ProofReading(
        ProofSource.PHOTOGRAPH,
        (41.0, -2.0, -39.0),
        SMALL,
        promise,
        Quantity.XYZ,
        np.array([10.0, 11.0, 30.1]),
        ground=np.array([80.0, 84.0, 88.0]),
        noise=0.02,
        camera=CameraDoubt(sensor=0.5, paper=0.01),
        blind=((0.1, 0.2, 0.3),),
        sheet="03NQK8NG",
        area="p1-white",
        said=("Read in even light.",),
    )


def spectral_reading() -> ProofReading:
    """A spectrum of an instrument."""
    promise = LabPromise((40.0, -3.0, -41.5), SMALL, SMALL)
    return ProofReading(
        ProofSource.INSTRUMENT,
        (41.0, -2.0, -39.0),
        SMALL,
        promise,
        Quantity.REFLECTANCE,
        np.linspace(0.1, 0.4, BANDS),
    )


def invented_sheet() -> ProofSheet:
    """A sheet with one proof on it."""
    return ProofSheet("03NQK8NG", "A4", {"p1-white": "abcd1234"})
