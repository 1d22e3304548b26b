"""Whole bags to one arm: the permutation test of bag totals."""

from __future__ import annotations

from math import gcd
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.arrays import FloatArray, IntArray

LARGEST = 40_000_000  # additions; beyond this the permutations are drawn
DRAWS = 100_000
SEED = 20_310_317
SAME = 1e-9


def bag_permutation_p(taken: Sequence[int], made: Sequence[int], first: Sequence[bool]) -> tuple[float, bool]:
    """Compare two arms whose bags were given whole to one of them.

    Parameters
    ----------
    taken, made : sequence of int
        Grafts that took, of those made, in each bag [grafts].
    first : sequence of bool
        True for the bags of the first arm.

    Returns
    -------
    float, bool
        Two-sided p, and whether it is exact (else from 100,000 drawn permutations, fixed seed).

    Notes
    -----
    The statistic is the first arm's sum of taken less what its bags would have had at the common
    rate; with bags of one size that is the sum of bag totals. Every way of giving the bags to the
    arms counts once (Edgington & Onghena 2007, *Randomization Tests*, 4th ed., ch. 3).

    Examples
    --------
    >>> bag_permutation_p([2, 2, 2, 0, 0, 0], [2] * 6, [True] * 3 + [False] * 3)
    (0.1, True)
    """
    scores = _scores(np.array(taken), np.array(made))
    chosen = np.array(first)
    seen, take = int(scores[chosen].sum()), int(chosen.sum())
    if len(scores) * take * int(scores.sum() + 1) > LARGEST:
        return _drawn_p(scores, take, seen), False
    return _two_sided(subset_sums(scores, take), seen, take * float(scores.mean())), True


def _scores(taken: IntArray, made: IntArray) -> IntArray:
    """Whole numbers that order the bags' excess over the common rate, the least of them 0."""
    excess = taken * int(made.sum()) - made * int(taken.sum())
    excess = excess - excess.min()
    return np.asarray(excess // max(1, gcd(*excess.tolist())), dtype=np.int64)


def subset_sums(scores: IntArray, take: int) -> FloatArray:
    """Chances of each sum of `take` scores drawn without replacement, shape (largest sum + 1,)."""
    ways = np.zeros((take + 1, int(scores.sum()) + 1))
    ways[0, 0] = 1.0
    for number, score in enumerate(scores.tolist()):
        # adding one bag keeps chances, not counts, so that no number overflows
        share = np.minimum(np.arange(1, take + 1) / (number + 1.0), 1.0)[:, None]
        moved = np.zeros((take, ways.shape[1]))
        moved[:, score:] = ways[:-1, : ways.shape[1] - score]
        ways[1:] = ways[1:] * (1.0 - share) + moved * share
    chances: FloatArray = ways[take]
    return chances


def _two_sided(chances: FloatArray, seen: float, middle: float) -> float:
    far = np.abs(np.arange(len(chances)) - middle) >= abs(seen - middle) - SAME
    return min(1.0, float(chances[far].sum()))


def _drawn_p(scores: IntArray, take: int, seen: int) -> float:
    rng = np.random.Generator(np.random.PCG64(SEED))
    middle = take * float(scores.mean())
    sums = np.array([rng.permutation(scores)[:take].sum() for _ in range(DRAWS)])
    far = np.abs(sums - middle) >= abs(seen - middle) - SAME
    return float((far.sum() + 1) / (DRAWS + 1))
