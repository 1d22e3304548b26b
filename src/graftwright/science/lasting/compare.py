"""Do groups last differently: log-rank where times are exact, its permutation form where not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import chdtrc

from graftwright.science.arrays import sum_by
from graftwright.science.lasting.troubles import OneGroup
from graftwright.science.lasting.turnbull import turnbull

if TYPE_CHECKING:
    from graftwright.science.arrays import BoolArray, FloatArray, IntArray


@dataclass(frozen=True)
class Difference:
    """Statistic, degrees of freedom and p; what each group lost and would have lost alike."""

    chi_square: float
    freedom: int
    p: float
    observed: FloatArray
    expected: FloatArray


def log_rank(times: FloatArray, died: BoolArray, counts: FloatArray, groups: IntArray) -> Difference:
    """Compare groups whose times of death are known.

    Parameters
    ----------
    times : array of shape (rows,)
        Time of death, or last time seen alive [any unit].
    died : array of shape (rows,)
        True where the time is that of death.
    counts : array of shape (rows,)
        Units a row stands for [counts].
    groups : array of shape (rows,)
        Which group a row belongs to [0 to groups - 1].

    Raises
    ------
    OneGroup
        All rows are of one group.

    References
    ----------
    Kalbfleisch & Prentice (2002), *The Statistical Analysis of Failure Time Data*, 2nd ed., section 1.5.

    Examples
    --------
    >>> alike = log_rank(np.array([1.0, 1.0]), np.ones(2, dtype=bool), np.ones(2), np.array([0, 1]))
    >>> alike.p
    1.0
    """
    size = _groups(groups)
    distinct, which = np.unique(times, return_inverse=True)
    shape = (len(distinct), size)
    cell = which * size + groups
    deaths = sum_by(cell, counts * died, shape[0] * size).reshape(shape)
    at_risk = np.cumsum(sum_by(cell, counts, shape[0] * size).reshape(shape)[::-1], axis=0)[::-1]
    seen = deaths.sum(axis=1) > 0.0
    died_all, there = deaths[seen].sum(axis=1), at_risk[seen].sum(axis=1)
    part = at_risk[seen] / there[:, None]
    expected = (died_all[:, None] * part).sum(axis=0)
    spread = died_all * (there - died_all) / np.maximum(there - 1.0, 1.0)
    variance = np.diag(spread @ part) - (spread[:, None] * part).T @ part
    observed = deaths.sum(axis=0)
    return _difference(observed - expected, variance, observed, expected)


def permutation_log_rank(
    left: FloatArray, right: FloatArray, counts: FloatArray, groups: IntArray
) -> Difference:
    """Compare groups whose losses lie between two looks, by Sun's scores and their permutation law.

    Parameters
    ----------
    left, right : array of shape (rows,)
        Last look that saw the unit alive, first that saw it gone [any unit]; (left, right].
    counts : array of shape (rows,)
        Units a row stands for [counts].
    groups : array of shape (rows,)
        Which group a row belongs to [0 to groups - 1].

    Raises
    ------
    OneGroup
        All rows are of one group.

    References
    ----------
    Sun (1996), Stat. Med. 15:1387-1395; the scores and the central limit form of the permutation law
    as in Fay & Shaw (2010), J. Stat. Softw. 36(2), section 3.

    Examples
    --------
    >>> left, right = np.array([0.0, 0.0]), np.array([2.0, 2.0])
    >>> permutation_log_rank(left, right, np.ones(2), np.array([0, 1])).p
    1.0
    """
    size = _groups(groups)
    scores = sun_scores(left, right, counts)
    total = float(counts.sum())
    own = sum_by(groups, counts, size) / total
    centred = scores - float(counts @ scores) / total
    lead = sum_by(groups, counts * centred, size)
    spread = float(counts @ centred**2) / (total - 1.0)
    variance = spread * total * (np.diag(own) - np.outer(own, own))
    return _difference(lead, variance, sum_by(groups, counts * scores, size), np.zeros(size))


def sun_scores(left: FloatArray, right: FloatArray, counts: FloatArray) -> FloatArray:
    """Score of each row: log-rank's observed less expected, averaged over where its loss may lie."""
    found = turnbull(left, right, counts)
    inner = found.innermost
    before = np.concatenate([[1.0], found.survival])
    lost = np.divide(found.masses, before[:-1], out=np.zeros_like(found.masses), where=before[:-1] > 1e-12)
    weighted = -before * np.concatenate([[0.0], np.cumsum(lost)])
    fallen = before[inner.first] - before[inner.stop]
    scores = (weighted[inner.first] - weighted[inner.stop]) / np.maximum(fallen, 1e-300)
    return np.asarray(scores[inner.which], dtype=np.float64)


def _groups(groups: IntArray) -> int:
    if len(np.unique(groups)) < 2:
        raise OneGroup
    return int(groups.max()) + 1


def _difference(
    lead: FloatArray, variance: FloatArray, observed: FloatArray, expected: FloatArray
) -> Difference:
    """Quadratic form of all groups but the last; nothing to see where nothing varies."""
    freedom = len(lead) - 1
    chi_square = float(lead @ np.linalg.pinv(variance, rcond=1e-10, hermitian=True) @ lead)
    p = float(chdtrc(freedom, chi_square)) if chi_square > 1e-12 else 1.0
    return Difference(chi_square, freedom, p, observed, expected)
