"""Most probable unknowns of a model with standard-normal priors, by damped Gauss-Newton steps."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def newton_target(jacobian: Floats, residual: Floats, x: Floats) -> Floats:
    """Unknowns that would be most probable if the model were linear.

    Parameters
    ----------
    jacobian : array, shape (data, unknowns)
        Derivatives of the predictions, each row over its noise.
    residual : array, shape (data,)
        Data less prediction, over the noise.
    x : array, shape (unknowns,)
        Where the model was linearised.

    Notes
    -----
    Solved on the smaller side, data or unknowns. *Source:* Rodgers, Inverse Methods for Atmospheric Sounding
    (2000), equations 5.9 and 5.10.
    """
    data, unknowns = jacobian.shape
    wanted = residual + jacobian @ x
    if data < unknowns:
        gram = jacobian @ jacobian.T
        gram[np.diag_indices(data)] += 1.0
        return np.asarray(jacobian.T @ np.linalg.solve(gram, wanted))
    hessian = jacobian.T @ jacobian
    hessian[np.diag_indices(unknowns)] += 1.0
    return np.asarray(np.linalg.solve(hessian, jacobian.T @ wanted), dtype=np.float64)


def posterior_covariance(jacobian: Floats, kept: int) -> Floats:
    """Laplace covariance of the first ``kept`` unknowns, shape (kept, kept)."""
    data, unknowns = jacobian.shape
    if data < unknowns:
        gram = jacobian @ jacobian.T
        gram[np.diag_indices(data)] += 1.0
        own = jacobian[:, :kept]
        return np.asarray(np.eye(kept) - own.T @ np.linalg.solve(gram, own))
    hessian = jacobian.T @ jacobian
    hessian[np.diag_indices(unknowns)] += 1.0
    return np.asarray(np.linalg.inv(hessian)[:kept, :kept])


def residual_freedom(jacobian: Floats) -> float:
    """Data left over to tell the noise once the unknowns have taken their share."""
    data, unknowns = jacobian.shape
    if data < unknowns:
        gram = jacobian @ jacobian.T
        gram[np.diag_indices(data)] += 1.0
        return float(np.trace(np.linalg.inv(gram)))
    hessian = jacobian.T @ jacobian
    hessian[np.diag_indices(unknowns)] += 1.0
    return float(data - unknowns + np.trace(np.linalg.inv(hessian)))
