"""The curve of survival when a loss is only known to lie between two looks.

Intervals are half-open (left, right]; an exact time has left = right. The likelihood puts its mass
on the innermost intervals (Peto 1973, Appl. Stat. 22:86-91; Turnbull 1976, J. R. Stat. Soc. B
38:290-295). Self-consistency steps and iterative-convex-minorant steps take turns (Wellner & Zhan
1997, J. Am. Stat. Assoc. 92:945-959) until no mass could grow its score by more than one part in a
hundred million.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.arrays import sum_by
from graftwright.science.lasting.minorant import rising_fit
from graftwright.science.lasting.troubles import EndsBeforeItStarts, NobodyThere

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray, IntArray

EXCESS = 1e-8
ROUNDS = 20_000
# order of ends at one time: an exact time opens, right ends close, then open left ends begin
EXACT_OPENS, CLOSES, OPENS = 0, 1, 2


@dataclass(frozen=True)
class Innermost:
    """Intervals that can hold mass, and which of them each distinct observation spans."""

    lefts: FloatArray
    rights: FloatArray
    first: IntArray
    stop: IntArray
    counts: FloatArray
    which: IntArray  # distinct observation of each row


@dataclass(frozen=True)
class Masses:
    """Mass in each innermost interval; `excess` is the largest relative score excess left."""

    innermost: Innermost
    masses: FloatArray
    excess: float

    @property
    def survival(self) -> FloatArray:
        """Survival just after each innermost interval."""
        return np.clip(1.0 - np.cumsum(self.masses), 0.0, 1.0)

    @property
    def log_likelihood(self) -> float:
        """Log likelihood of the observations."""
        inner = self.innermost
        return float(inner.counts @ np.log(_chances(inner, self.masses)))


def find_innermost(left: FloatArray, right: FloatArray, counts: FloatArray) -> Innermost:
    """Find the intervals that can hold mass.

    Parameters
    ----------
    left, right : array of shape (rows,)
        Last look that saw the unit alive and first that saw it gone [any unit, from 0]; right is
        infinite where it was never seen gone, and equal to left where the time is exact.
    counts : array of shape (rows,)
        Units a row stands for [counts].

    Raises
    ------
    EndsBeforeItStarts
        A right end is before its left end, or a time is below zero.
    NobodyThere
        No count is above zero.

    Examples
    --------
    >>> inner = find_innermost(np.array([0.0, 2.0]), np.array([3.0, np.inf]), np.ones(2))
    >>> inner.lefts.tolist(), inner.rights.tolist()
    ([2.0], [3.0])
    """
    _check(left, right, counts)
    kept = counts > 0.0
    pairs, which = np.unique(np.stack([left, right]), axis=1, return_inverse=True)
    total = sum_by(which[kept], counts[kept], pairs.shape[1])
    low, high = pairs[:, total > 0.0]
    opens = np.where(low == high, EXACT_OPENS, OPENS)
    times = np.concatenate([low, high])
    kinds = np.concatenate([opens, np.full(len(high), CLOSES)])
    order = np.lexsort((kinds, times))
    closing = kinds[order] == CLOSES
    place = np.flatnonzero(~closing[:-1] & closing[1:])
    lefts, rights = times[order][place], times[order][place + 1]
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    first = np.searchsorted(place, rank[: len(low)])
    stop = np.searchsorted(place + 1, rank[len(low) :], side="right")
    number = np.cumsum(total > 0.0) - 1
    return Innermost(lefts, rights, first, stop, total[total > 0.0], number[which])


def _check(left: FloatArray, right: FloatArray, counts: FloatArray) -> None:
    wrong = ~((left >= 0.0) & (left <= right) & np.isfinite(left))
    if wrong.any():
        row = int(np.argmax(wrong))
        raise EndsBeforeItStarts(float(left[row]), float(right[row]))
    if not counts.sum() > 0.0:
        raise NobodyThere


def turnbull(left: FloatArray, right: FloatArray, counts: FloatArray) -> Masses:
    """Estimate where the mass lies, by maximum likelihood without a model.

    Parameters
    ----------
    left, right : array of shape (rows,)
        Last look that saw the unit alive and first that saw it gone [any unit, from 0].
    counts : array of shape (rows,)
        Units a row stands for [counts].

    Raises
    ------
    EndsBeforeItStarts, NobodyThere
        There is nothing to follow.

    References
    ----------
    Turnbull (1976), J. R. Stat. Soc. B 38:290-295; Wellner & Zhan (1997), J. Am. Stat. Assoc.
    92:945-959; the stopping rule is the score condition of Gentleman & Geyer (1994), Biometrika
    81:618-623.

    Examples
    --------
    >>> found = turnbull(np.array([0.0, 1.0, 2.0]), np.array([2.0, 3.0, np.inf]), np.ones(3))
    >>> found.masses.round(4).tolist()
    [0.5, 0.5]
    """
    return fill(find_innermost(left, right, counts))


def fill(inner: Innermost, start: FloatArray | None = None) -> Masses:
    """Put the mass into the innermost intervals."""
    size = len(inner.lefts)
    masses = np.full(size, 1.0 / size) if start is None else start
    total = float(inner.counts.sum())
    excess = np.inf
    for _ in range(ROUNDS):
        score = _scores(inner, masses) / total
        excess = float(score.max()) - 1.0
        if excess <= EXCESS:
            break
        masses = masses * score
        masses = _convex_minorant_step(inner, masses / masses.sum())
    return Masses(inner, masses, excess)


def _chances(inner: Innermost, masses: FloatArray) -> FloatArray:
    below = np.concatenate([[0.0], np.cumsum(masses)])
    chances: FloatArray = np.maximum(below[inner.stop] - below[inner.first], 1e-300)
    return chances


def _scores(inner: Innermost, masses: FloatArray) -> FloatArray:
    """Slope of the log likelihood by each mass."""
    size = len(masses)
    pull = inner.counts / _chances(inner, masses)
    steps = sum_by(inner.first, pull, size + 1) - sum_by(inner.stop, pull, size + 1)
    scores: FloatArray = np.cumsum(steps)[:size]
    return scores


def _convex_minorant_step(inner: Innermost, masses: FloatArray) -> FloatArray:
    """Move the whole curve by a weighted rising fit to its diagonal Newton step."""
    size = len(masses)
    if size < 2:
        return masses
    chance = _chances(inner, masses)
    pull, bend = inner.counts / chance, inner.counts / chance**2
    slope = (sum_by(inner.stop, pull, size + 1) - sum_by(inner.first, pull, size + 1))[1:size]
    weight = (sum_by(inner.stop, bend, size + 1) + sum_by(inner.first, bend, size + 1))[1:size]
    weight = np.maximum(weight, 1e-12)
    here = np.cumsum(masses)[:-1]
    there = np.clip(rising_fit(here + slope / weight, weight), 0.0, 1.0)
    moved = np.diff(np.concatenate([[0.0], there, [1.0]]))
    before = float(inner.counts @ np.log(chance))
    for _ in range(12):
        if float(inner.counts @ np.log(_chances(inner, moved))) >= before:
            return moved
        moved = (moved + masses) / 2.0
    return masses
