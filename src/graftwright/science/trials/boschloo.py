"""Boschloo's test of two independent arms: its p, its size, its power, and how many grafts it needs.

Fisher's two-sided p is the statistic, and its chance under a common rate is taken at the worst rate
(Boschloo 1970, Stat. Neerl. 24:1-35): never less powerful than Fisher's test, never above its level.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtri

from graftwright.science.trials.fisher import SAME, binomial_chances, fisher_p_values
from graftwright.science.trials.troubles import NotBetween, NothingToFind, TooManyNeeded

if TYPE_CHECKING:
    from graftwright.science.arrays import BoolArray, FloatArray

RATES = np.arange(1, 1000) / 1000.0
NEXT = 10  # power reached must not be lost in the next ten numbers
LOST = 0.005  # the exact power is a saw; a tooth smaller than this loses nothing
MOST = 1200
CLEAR = 0.03  # a power missed by this much is missed for every smaller number


@dataclass(frozen=True)
class Design:
    """Grafts in each arm, the exact power and the exact size at the worst common rate."""

    per_arm: int
    power: float
    size: float


def boschloo_p(taken: tuple[int, int], made: tuple[int, int]) -> float:
    """Compare two arms of independent grafts.

    Parameters
    ----------
    taken, made : pair of int
        Grafts that took, of those made, in each arm [grafts].

    Returns
    -------
    float
        Two-sided p [0-1].

    References
    ----------
    Boschloo (1970), Stat. Neerl. 24:1-35.

    Examples
    --------
    >>> round(boschloo_p((7, 2), (8, 8)), 4)
    0.0213
    """
    tables = fisher_p_values(*made)
    region = tables <= tables[taken] * (1.0 + SAME)
    return min(1.0, worst_size(region))


def worst_size(region: BoolArray, rates: FloatArray = RATES) -> float:
    """Chance of a region of tables at the worst common rate, the grid refined round its highest point."""
    chances = _sizes(region, rates)
    top = float(rates[int(np.argmax(chances))])
    near = np.linspace(max(top - 1e-3, 1e-9), min(top + 1e-3, 1.0 - 1e-9), 101)
    return max(float(chances.max()), float(_sizes(region, near).max()))


def _sizes(region: BoolArray, rates: FloatArray) -> FloatArray:
    return region_chances(region, rates, rates)


def region_chances(region: BoolArray, first: FloatArray, second: FloatArray) -> FloatArray:
    """Chance of a region of tables at each pair of rates, shape (rates,)."""
    rows, columns = (size - 1 for size in region.shape)
    through = binomial_chances(rows, first) @ region.astype(np.float64)
    chances: FloatArray = (through * binomial_chances(columns, second)).sum(axis=1)
    return chances


def fisher_power(per_arm: int, usual: float, better: float, alpha: float) -> float:
    """Exact power of Fisher's test, two-sided.

    Examples
    --------
    >>> round(fisher_power(20, 0.5, 0.9, 0.05), 6)
    0.742389
    """
    region = fisher_p_values(per_arm, per_arm) <= alpha
    return float(region_chances(region, np.array([usual]), np.array([better]))[0])


def normal_number(usual: float, better: float, power: float, alpha: float) -> float:
    """Grafts in each arm by the normal approximation, where the exact search starts.

    References
    ----------
    Fleiss, Levin & Paik (2003), *Statistical Methods for Rates and Proportions*, 3rd ed., section 4.1.

    Examples
    --------
    >>> round(normal_number(0.7, 0.85, 0.8, 0.05), 2)
    120.47
    """
    mean = (usual + better) / 2.0
    level = float(ndtri(1.0 - alpha / 2.0)) * np.sqrt(2.0 * mean * (1.0 - mean))
    reach = float(ndtri(power)) * np.sqrt(usual * (1.0 - usual) + better * (1.0 - better))
    return float(((level + reach) / (better - usual)) ** 2)


def boschloo_design(usual: float, better: float, power: float, alpha: float) -> Design:
    """Find how many grafts each arm needs.

    Parameters
    ----------
    usual, better : float
        Rates that the trial should tell apart [0-1, without the ends].
    power : float
        Chance of seeing it, wanted [0-1].
    alpha : float
        Chance of a false alarm, two-sided [0-1].

    Returns
    -------
    Design
        The smallest number at which the power is reached and not lost again in the next ten, where
        the saw of the exact power may dip by half a per cent.

    Raises
    ------
    NotBetween, NothingToFind
        A share is outside its range, or the rates are equal.
    TooManyNeeded
        More grafts are needed than can be enumerated.

    References
    ----------
    Boschloo (1970), Stat. Neerl. 24:1-35.

    Examples
    --------
    >>> boschloo_design(0.3, 0.9, 0.8, 0.05).per_arm
    10
    """
    check_rates(usual, better, power, alpha)
    number = _search(usual, better, power, alpha)
    region = largest_region(number, alpha)
    reached = float(region_chances(region, np.array([usual]), np.array([better]))[0])
    return Design(number, reached, worst_size(region))


def check_rates(usual: float, better: float, power: float, alpha: float) -> None:
    """See that all four are shares and the rates differ."""
    named = {"The usual rate": usual, "The better rate": better, "Power": power, "Alpha": alpha}
    for what, value in named.items():
        if not 0.0 < value < 1.0:
            raise NotBetween(what, value)
    if usual == better:
        raise NothingToFind(usual)


def _search(usual: float, better: float, power: float, alpha: float) -> int:
    guess = normal_number(usual, better, power, alpha)
    if guess > MOST:
        raise TooManyNeeded(MOST)
    number = max(2, round(guess))
    while number > 2 and _reaches(number, usual, better, (power - CLEAR, alpha)):
        number = max(2, number - max(1, number // 20))
    while not _reaches_and_keeps(number, usual, better, (power, alpha)):
        number += 1
    return number


def _reaches_and_keeps(number: int, usual: float, better: float, wanted: tuple[float, float]) -> bool:
    power, alpha = wanted
    kept = (power - LOST, alpha)
    return _reaches(number, usual, better, wanted) and all(
        _reaches(number + more, usual, better, kept) for more in range(1, NEXT + 1)
    )


def _reaches(per_arm: int, usual: float, better: float, wanted: tuple[float, float]) -> bool:
    """Tell whether a region of this power keeps to alpha: the smallest such region is tried."""
    power, alpha = wanted
    tables = fisher_p_values(per_arm, per_arm).ravel()
    pair = (binomial_chances(per_arm, np.array([rate]))[0] for rate in (usual, better))
    order = np.argsort(tables, kind="stable")
    reached = np.searchsorted(np.cumsum(np.outer(*pair).ravel()[order]), power)
    if reached >= len(order):
        return False
    region = tables <= tables[order[reached]] * (1.0 + SAME)
    half = RATES[: len(RATES) // 2 + 1]  # equal arms: the region is its own mirror image
    return worst_size(region.reshape(per_arm + 1, per_arm + 1), half) <= alpha


def largest_region(per_arm: int, alpha: float) -> BoolArray:
    """Find the tables that Boschloo's test rejects at level alpha, equal arms."""
    tables = fisher_p_values(per_arm, per_arm)
    levels = np.unique(tables)
    low, high = 0, len(levels)
    while low < high:
        middle = (low + high) // 2
        keeps = worst_size(tables <= levels[middle] * (1.0 + SAME)) <= alpha
        low, high = (middle + 1, high) if keeps else (low, middle)
    region: BoolArray = tables <= (levels[low - 1] * (1.0 + SAME) if low else -1.0)
    return region
