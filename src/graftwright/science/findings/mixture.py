"""Means and percentage points of quantities whose law is a weighted mixture of normals."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit, ndtr

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.science.arrays import FloatArray

LOW, HIGH = 0.05, 0.95
HALVINGS = 14
WIDE_NODES, WIDE_WEIGHTS = np.polynomial.hermite_e.hermegauss(25)
WIDE_WEIGHTS = WIDE_WEIGHTS / WIDE_WEIGHTS.sum()
TABLE = np.linspace(-25.0, 25.0, 501)


def average_share(log_odds: FloatArray, sd: FloatArray | float) -> FloatArray:
    """Average of a share whose log odds scatter normally.

    Parameters
    ----------
    log_odds : array
        Middle of the log odds [any shape].
    sd : array or float
        Their standard deviation [same shape, or one number].

    Examples
    --------
    >>> average_share(np.array([0.0]), 2.0).round(6).tolist()
    [0.5]
    """
    spread = np.multiply.outer(np.broadcast_to(sd, np.shape(log_odds)), WIDE_NODES)
    averaged: FloatArray = expit(log_odds[..., None] + spread) @ WIDE_WEIGHTS
    return averaged


@dataclass(frozen=True)
class Normals:
    """Quantities under a mixture: weights (parts,), means and sds (parts, quantities)."""

    weights: FloatArray
    means: FloatArray
    sds: FloatArray

    def mean(self) -> FloatArray:
        """Mean of each quantity."""
        return self.weights @ self.means

    def sd(self) -> FloatArray:
        """Return the standard deviation of each quantity."""
        about = self.sds**2 + (self.means - self.mean()) ** 2
        return np.sqrt(self.weights @ about)

    def chance_below(self, value: float) -> FloatArray:
        """Chance that each quantity is below a value."""
        chance: FloatArray = self.weights @ ndtr((value - self.means) / self.sds)
        return chance

    def widened(self, sd: FloatArray) -> Normals:
        """Add an independent normal of mean zero, its sd given for each part."""
        return Normals(self.weights, self.means, np.sqrt(self.sds**2 + sd[:, None] ** 2))

    def quantile(self, share: float) -> FloatArray:
        """Value below which the quantity lies with this chance."""
        return self._halve(share, lambda value: value[None, :])

    def averaged_quantiles(self, points: tuple[float, ...], scatter: FloatArray) -> list[FloatArray]:
        """Percentage points, as log odds, of the share averaged over scatter of the parts' own sds."""
        tables = [_averaged_log_odds(sd) for sd in scatter]

        def back(value: FloatArray) -> FloatArray:
            return np.stack([np.interp(value, table, TABLE) for table in tables])

        return [self._halve(share, back) for share in points]

    def _halve(self, share: float, back: Callable[[FloatArray], FloatArray]) -> FloatArray:
        """Halve a bracket, then go straight between its ends; `back` undoes a rising transform."""
        low = np.minimum((self.means - 9.0 * self.sds).min(axis=0), -9.0)
        high = np.maximum((self.means + 9.0 * self.sds).max(axis=0), 9.0)

        def below(value: FloatArray) -> FloatArray:
            chance: FloatArray = self.weights @ ndtr((back(value) - self.means) / self.sds)
            return chance

        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            under = below(middle) < share
            low, high = np.where(under, middle, low), np.where(under, high, middle)
        at_low, at_high = below(low), below(high)
        rise = np.maximum(at_high - at_low, 1e-300)
        point: FloatArray = low + (high - low) * np.clip((share - at_low) / rise, 0.0, 1.0)
        return point


def _averaged_log_odds(sd: float) -> FloatArray:
    """Log odds of the averaged share at each log odds of the table, which is its own mirror image."""
    logs = np.log(average_share(TABLE, sd))
    log_odds: FloatArray = logs - logs[::-1]
    return log_odds


def weighted_point(values: FloatArray, weights: FloatArray, share: float) -> float:
    """Percentage point of weighted values, straight between their middles."""
    order = np.argsort(values)
    below = np.cumsum(weights[order]) - weights[order] / 2.0
    return float(np.interp(share, below, values[order]))
