"""Bands round a curve made from intervals, by drawing the units again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.lasting.turnbull import turnbull

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray
    from graftwright.science.lasting.turnbull import Masses

DRAWS = 200
SEED = 20_310_317


def survival_at(found: Masses, times: FloatArray) -> FloatArray:
    """Survival just after each time, mass spread evenly within its interval.

    A mass that may lie after the last look is never counted as lost.
    """
    inner, after = found.innermost, found.survival
    ends = np.isfinite(inner.rights)
    before = np.concatenate([[1.0], after[:-1]])
    where = np.stack([inner.lefts[ends], inner.rights[ends]], axis=1).ravel()
    left = np.stack([before[ends], after[ends]], axis=1).ravel()
    return np.interp(times, where, left, left=1.0) if len(where) else np.ones(len(times))


def bootstrap_band(
    left: FloatArray, right: FloatArray, counts: FloatArray, times: FloatArray, level: float = 0.9
) -> tuple[FloatArray, FloatArray]:
    """Band of survival at given times, from units drawn again with a fixed seed.

    Parameters
    ----------
    left, right : array of shape (rows,)
        Last look that saw the unit alive, first that saw it gone [any unit].
    counts : array of shape (rows,)
        Units a row stands for [counts].
    times : array of shape (times,)
        Where the band is wanted [same unit].
    level : float
        Chance that the band covers at each time [0-1].

    References
    ----------
    Sun (2001), Stat. Med. 20:1249-1257, compares this with other errors for such curves.

    Examples
    --------
    >>> ends = np.array([0.0, 1.0, 2.0]), np.array([2.0, 3.0, 4.0])
    >>> low, high = bootstrap_band(*ends, np.full(3, 10.0), np.array([2.0]))
    >>> bool(0.0 <= low[0] <= high[0] <= 1.0)
    True
    """
    rng = np.random.Generator(np.random.PCG64(SEED))
    total = int(counts.sum())
    drawn = []
    for _ in range(DRAWS):
        again = rng.multinomial(total, counts / total).astype(np.float64)
        drawn.append(survival_at(turnbull(left, right, again), times))
    low, high = np.quantile(np.array(drawn), [0.5 - level / 2.0, 0.5 + level / 2.0], axis=0)
    return low, high
