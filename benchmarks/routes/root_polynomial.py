"""The rival of the target route: a root-polynomial whose degree and pull are chosen by leaving patches out.

*Source:* Finlayson, Mackiewicz & Hurlbert, Color correction using root-polynomial regression, IEEE Trans. Image
Process. 24, 1460 (2015), doi:10.1109/TIP.2015.2405336.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.reference.correction import Correction, colour_metric, fit_terms, root_terms

Floats = NDArray[np.float64]

DEGREES: Final = (1, 2, 3)

RIDGES: Final = (1e-4, 1e-3, 1e-2, 1e-1, 1.0)
"""Weights of the pull towards the plain matrix: squared colour differences a patch for a coefficient of 1."""


def fit_correction(light: Floats, xyz: Floats, weights: Floats | None = None) -> Correction:
    """The degree and pull that foretell patches best that were left out.

    Parameters
    ----------
    light : array, shape (patches, 3)
        Linear channels, free of veiling light.
    xyz : array, shape (patches, 3)
        What the patches are.
    weights : array, shape (patches,), optional [1]
        Trust in each patch.

    Notes
    -----
    Least squares of colour differences: residuals in XYZ are measured by the slope of L*a*b* and the metric of
    CIEDE2000 at each patch's own colour.
    """
    trust = np.ones(len(xyz)) if weights is None else weights
    metric = colour_metric(xyz)
    best: tuple[float, Correction] | None = None
    for degree in DEGREES:
        terms = root_terms(light, degree)
        if 3 * terms.shape[1] > 2 * len(xyz):
            continue
        for ridge in RIDGES if degree > 1 else RIDGES[:1]:
            found = fit_terms(terms, xyz, metric, trust, degree=degree, ridge=ridge)
            score = float(np.average(np.minimum(found.residual, 20.0) ** 2, weights=trust + 1e-9))
            if best is None or score < best[0]:
                best = score, found
    assert best is not None, "a matrix can be fitted to twelve patches"
    return best[1]
