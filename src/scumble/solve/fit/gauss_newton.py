"""Most probable unknowns of a model with standard-normal priors, once it is linearised."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Linearised:
    """A model linearised at some unknowns, its noise scaled to 1.

    Parameters
    ----------
    jacobian : array, shape (data, unknowns)
        Derivatives of the predictions, each row over its noise.

    Notes
    -----
    The one matrix that everything follows from is inverted on the smaller side, data or unknowns.
    *Source:* Rodgers, Inverse Methods for Atmospheric Sounding (2000), equations 5.9 and 5.10.
    """

    def __init__(self, jacobian: Floats) -> None:
        self.jacobian = jacobian
        data, unknowns = jacobian.shape
        self.by_data = data < unknowns
        gram = jacobian @ jacobian.T if self.by_data else jacobian.T @ jacobian
        gram[np.diag_indices_from(gram)] += 1.0
        self._inverse: Floats = np.asarray(np.linalg.inv(gram), dtype=np.float64)

    def target(self, residual: Floats, x: Floats) -> Floats:
        """Unknowns that would be most probable if the model were linear.

        Parameters
        ----------
        residual : array, shape (data,)
            Data less prediction, over the noise.
        x : array, shape (unknowns,)
            Where the model was linearised.
        """
        wanted = residual + self.jacobian @ x
        if self.by_data:
            return np.asarray(self.jacobian.T @ (self._inverse @ wanted))
        return np.asarray(self._inverse @ (self.jacobian.T @ wanted))

    def covariance(self, kept: int | None = None) -> Floats:
        """Laplace covariance of the first ``kept`` unknowns, all by default, shape (kept, kept)."""
        if not self.by_data:
            return self._inverse[:kept, :kept]
        own = self.jacobian[:, :kept]
        return np.asarray(np.eye(own.shape[1]) - own.T @ self._inverse @ own)

    def freedom(self) -> float:
        """Data left over to tell the noise once the unknowns have taken their share."""
        data, unknowns = self.jacobian.shape
        left = np.trace(self._inverse)
        return float(left if self.by_data else data - unknowns + left)
