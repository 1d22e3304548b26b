"""The curve of survival when times of death are known exactly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtri

from graftwright.science.arrays import sum_by
from graftwright.science.lasting.troubles import EndsBeforeItStarts, NobodyThere

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.arrays import BoolArray, FloatArray, IntArray

WHOLE_DAYS = 10_000  # a few rows of whole days may reach so far


@dataclass(frozen=True)
class Deaths:
    """Times at which units died, how many, and how many were there just before."""

    times: FloatArray
    died: FloatArray
    at_risk: FloatArray


@dataclass(frozen=True)
class Curve:
    """Survival just after each time of death, its standard error and its band (nan where none)."""

    deaths: Deaths
    survival: FloatArray
    error: FloatArray
    low: FloatArray
    high: FloatArray


def count_deaths(times: FloatArray, died: BoolArray, counts: FloatArray) -> Deaths:
    """Join units that died at the same time and count those still there.

    Parameters
    ----------
    times : array of shape (rows,)
        Time of death, or last time seen alive [any unit, from 0].
    died : array of shape (rows,)
        True where the time is that of death; a unit seen alive at a time counts as there at it.
    counts : array of shape (rows,)
        Units a row stands for [counts].

    Raises
    ------
    NobodyThere
        No count is above zero.
    EndsBeforeItStarts
        A time is below zero or not a number.

    Examples
    --------
    >>> count_deaths(np.array([2.0, 3.0]), np.array([True, False]), np.ones(2)).at_risk.tolist()
    [2.0]
    """
    if not counts.sum() > 0.0:
        raise NobodyThere
    if not (times >= 0.0).all():
        raise EndsBeforeItStarts(0.0, float(times.min()))
    distinct, which = _numbered(times)
    there = sum_by(which, counts, len(distinct))
    deaths = sum_by(which, counts * died, len(distinct))
    left = np.cumsum(there[::-1])[::-1]
    seen = deaths > 0.0
    return Deaths(distinct[seen], deaths[seen], left[seen])


def _numbered(times: FloatArray) -> tuple[FloatArray, IntArray]:
    """Rising times, and which of them each row has; whole days number themselves."""
    last = float(times.max())
    if last < 4.0 * len(times) + WHOLE_DAYS:
        days = times.astype(np.int64)
        if np.array_equal(days, times):
            return np.arange(last + 1.0), days
    distinct, which = np.unique(times, return_inverse=True)
    return distinct, which


def kaplan_meier(times: FloatArray, died: BoolArray, counts: FloatArray, level: float = 0.9) -> Curve:
    """Estimate survival with Greenwood's error and a band that stays between 0 and 1.

    Parameters
    ----------
    times : array of shape (rows,)
        Time of death, or last time seen alive [any unit, from 0].
    died : array of shape (rows,)
        True where the time is that of death.
    counts : array of shape (rows,)
        Units a row stands for [counts].
    level : float
        Chance that the band covers at each time [0-1].

    Returns
    -------
    Curve
        One value for each time of death; the band is on the log minus log scale and is nan where
        nobody is left.

    Raises
    ------
    NobodyThere, EndsBeforeItStarts
        There is nothing to follow.

    References
    ----------
    Kalbfleisch & Prentice (2002), *The Statistical Analysis of Failure Time Data*, 2nd ed., section 1.4.

    Examples
    --------
    >>> curve = kaplan_meier(np.array([2.0, 3.0, 3.0]), np.array([True, True, False]), np.ones(3))
    >>> curve.survival.round(4).tolist()
    [0.6667, 0.3333]
    """
    deaths = count_deaths(times, died, counts)
    left = deaths.at_risk - deaths.died
    survival = np.asarray(np.cumprod(left / deaths.at_risk), dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        hazard = np.cumsum(deaths.died / (deaths.at_risk * left))
        error = np.asarray(survival * np.sqrt(hazard), dtype=np.float64)
        logged = np.log(-np.log(survival))
        wide = float(ndtri(0.5 + level / 2.0)) * np.sqrt(hazard) / np.abs(np.log(survival))
        low, high = np.exp(-np.exp(logged + wide)), np.exp(-np.exp(logged - wide))
    gone = survival <= 0.0
    for part in (error, low, high):
        part[gone] = np.nan
    return Curve(deaths, survival, error, low, high)


def half_gone(times: Sequence[float], survival: Sequence[float]) -> float:
    """Return the first time at which at most half are left, nan where that never happens.

    Examples
    --------
    >>> half_gone([2.0, 3.0], [0.7, 0.4])
    3.0
    """
    reached = (time for time, left in zip(times, survival, strict=True) if left <= 0.5 + 1e-12)
    return next(reached, float("nan"))
