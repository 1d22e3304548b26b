"""Two cells side by side: which is better, by how much, and how many more grafts would settle it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtr, ndtri

from graftwright.science.findings.mixture import HIGH, LOW, average_share, weighted_point
from graftwright.science.findings.scales import even_shares

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray, IntArray
    from graftwright.science.findings.rates import RateFit

SETTLED = 0.9  # chance of the better arm that counts as settled
WANTED = 0.8  # chance, over what may be true, of getting there
MOST = 500
DRAWS = 256


@dataclass(frozen=True)
class Comparison:
    """Chance that the first is better, its likely lead [share], grafts more per arm (None: over 500)."""

    chance: float
    low: float
    high: float
    more_per_arm: int | None


@dataclass(frozen=True)
class _Pair:
    """Log odds of two cells at each point of the mixture: means and covariances, shape (points, …)."""

    weights: FloatArray
    means: FloatArray
    covariances: FloatArray
    scatter: FloatArray
    per_batch: float


def compare(fit: RateFit, first: IntArray, second: IntArray) -> Comparison:
    """Compare two cells of a fit.

    Parameters
    ----------
    fit : RateFit
        The default model of a table.
    first, second : array of shape (columns,)
        The cells, as codes of the compared columns.

    Notes
    -----
    'More per arm' is the smallest number for which, averaged over what may be true, the chance of
    the better arm passes 0.9 with probability 0.8, new grafts coming in batches of the usual size.
    The normal update of log odds is used (Spiegelhalter, Abrams & Myles 2004, *Bayesian Approaches
    to Clinical Trials and Health-Care Evaluation*, section 6.5).

    Examples
    --------
    >>> from graftwright.science.findings.priors import InterceptPrior
    >>> from graftwright.science.findings.rates import fit_rates
    >>> from graftwright.science.findings.table import Column, Table
    >>> variety = Column.of("variety", ["a", "b"])
    >>> table = Table(np.array([2.0, 9.0]), np.array([8.0, 10.0]), (variety,), ((0,),), ())
    >>> seen = compare(fit_rates(table, InterceptPrior()), np.array([1]), np.array([0]))
    >>> round(seen.chance, 2)
    0.98
    """
    pair = _pair(fit, np.stack([first, second]))
    lead = pair.means[:, 0] - pair.means[:, 1]
    chance = float(pair.weights @ ndtr(lead / _lead_sd(pair.covariances)))
    low, high = _lead_in_shares(pair)
    return Comparison(chance, low, high, _more_per_arm(pair))


def _pair(fit: RateFit, cells: IntArray) -> _Pair:
    law = fit.cell_log_odds(cells)
    lead = fit.sums(fit.cell_weights(cells)[:1] - fit.cell_weights(cells)[1:])
    variances, lead_variance = law.sds**2, lead.sds[:, 0] ** 2
    shared = (variances.sum(axis=1) - lead_variance) / 2.0
    covariances = np.empty((len(law.weights), 2, 2))
    covariances[:, 0, 0], covariances[:, 1, 1] = variances.T
    covariances[:, 0, 1] = covariances[:, 1, 0] = shared
    return _Pair(law.weights, law.means, covariances, fit.batch_scatter, _grafts_per_batch(fit))


def _grafts_per_batch(fit: RateFit) -> float:
    most = max((len(column.levels) for column in fit.table.batches), default=0)
    return float(fit.table.made.sum()) / most if most else 1.0


def _lead_sd(covariances: FloatArray) -> FloatArray:
    variance = covariances[:, 0, 0] + covariances[:, 1, 1] - 2.0 * covariances[:, 0, 1]
    return np.sqrt(np.maximum(variance, 1e-12))


def _lead_in_shares(pair: _Pair) -> tuple[float, float]:
    """5 and 95 % points of the difference of the two average rates."""
    normal = ndtri(even_shares(2, DRAWS))
    factors = np.linalg.cholesky(pair.covariances + 1e-12 * np.eye(2))
    drawn = pair.means[:, None, :] + np.einsum("pij,dj->pdi", factors, normal)
    rates = average_share(drawn, pair.scatter[:, None, None])
    leads = (rates[..., 0] - rates[..., 1]).ravel()
    weights = np.repeat(pair.weights / DRAWS, DRAWS)
    return weighted_point(leads, weights, LOW), weighted_point(leads, weights, HIGH)


def _more_per_arm(pair: _Pair) -> int | None:
    if _chance_settled(pair, MOST) < WANTED:
        return None
    low, high = -1, MOST
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _chance_settled(pair, middle) >= WANTED else (middle, high)
    return high


def _chance_settled(pair: _Pair, more: int) -> float:
    """Chance that, after so many more grafts an arm, one arm is better with chance 0.9."""
    share = average_share(pair.means, 0.0)
    information = more / (1.0 / (share * (1.0 - share)) + pair.scatter[:, None] ** 2 * pair.per_batch)
    precision = np.linalg.inv(pair.covariances + 1e-12 * np.eye(2))
    precision[:, 0, 0] += information[:, 0]
    precision[:, 1, 1] += information[:, 1]
    after = _lead_sd(np.linalg.inv(precision))
    lead = pair.means[:, 0] - pair.means[:, 1]
    moves = np.sqrt(np.maximum(_lead_sd(pair.covariances) ** 2 - after**2, 1e-12))
    needed = float(ndtri(SETTLED)) * after
    settled = ndtr((lead - needed) / moves) + ndtr((-lead - needed) / moves)
    return float(pair.weights @ settled)
