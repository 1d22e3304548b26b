"""Fisher's two-sided p of every table with given arms, and chances of regions of tables."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammaln, xlog1py, xlogy

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray

SAME = 1e-9  # two chances this close, relatively, are the same chance


def log_choose(number: int) -> FloatArray:
    """Logarithms of the binomial coefficients of `number`, shape (number + 1,)."""
    taken = np.arange(number + 1.0)
    logs: FloatArray = gammaln(number + 1.0) - gammaln(taken + 1.0) - gammaln(number - taken + 1.0)
    return logs


def binomial_chances(number: int, rates: FloatArray) -> FloatArray:
    """Chances of 0 to `number` takes at each rate, shape (rates, number + 1)."""
    taken = np.arange(number + 1.0)
    rates = rates[:, None]
    logs = log_choose(number) + xlogy(taken, rates) + xlog1py(number - taken, -rates)
    return np.exp(logs)


@lru_cache(maxsize=64)
def fisher_p_values(first: int, second: int) -> FloatArray:
    """Fisher's two-sided p of every pair of counts.

    Parameters
    ----------
    first, second : int
        Grafts in each arm [grafts].

    Returns
    -------
    array of shape (first + 1, second + 1)
        Sum of the chances, given the total that took, of all tables no likelier than this one.

    References
    ----------
    Fisher (1935), J. R. Stat. Soc. 98:39-82.

    Examples
    --------
    >>> round(float(fisher_p_values(4, 4)[3, 1]), 4)
    0.4857
    """
    chances = np.exp(
        log_choose(first)[:, None]
        + log_choose(second)
        - log_choose(first + second)[np.add.outer(np.arange(first + 1), np.arange(second + 1))]
    )
    answer = np.empty_like(chances)
    for total in range(first + second + 1):
        x = np.arange(max(0, total - second), min(first, total) + 1)
        given = chances[x, total - x]
        order = np.argsort(given)
        summed = np.cumsum(given[order])
        reach = np.searchsorted(given[order], given * (1.0 + 1e-7), side="right") - 1
        answer[x, total - x] = summed[reach]
    return np.minimum(answer, 1.0)
