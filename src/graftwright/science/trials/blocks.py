"""Both arms in each bag: the exact Cochran-Mantel-Haenszel test with the bag as block."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtri

from graftwright.science.trials.fisher import log_choose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.arrays import FloatArray


def block_p(taken: Sequence[tuple[int, int]], made: Sequence[tuple[int, int]]) -> float:
    """Compare two arms that share each bag.

    Parameters
    ----------
    taken, made : sequence of pairs of int
        Grafts that took, of those made, of the first and the second arm in each bag [grafts].

    Returns
    -------
    float
        Two-sided p: the chance, given each bag's total, of sums no likelier than the one seen.

    References
    ----------
    Agresti (2013), *Categorical Data Analysis*, 3rd ed., section 7.3; with one graft of each arm in
    a bag it is the exact form of McNemar (1947), Psychometrika 12:153-157.

    Examples
    --------
    >>> block_p([(1, 0)] * 5, [(1, 1)] * 5)
    0.0625
    """
    laws = [first_law(sum(took), first, second) for took, (first, second) in zip(taken, made, strict=True)]
    chances = reduce(np.convolve, laws)
    least = sum(max(0, sum(took) - second) for took, (_, second) in zip(taken, made, strict=True))
    seen = sum(first for first, _ in taken) - least
    return min(1.0, float(chances[chances <= chances[seen] * (1.0 + 1e-7)].sum()))


def first_law(total: int, first: int, second: int) -> FloatArray:
    """Chances of the first arm's takes in one bag given the bag's total, from the least possible.

    Examples
    --------
    >>> first_law(1, 1, 1).round(6).tolist()
    [0.5, 0.5]
    """
    taken = np.arange(max(0, total - second), min(first, total) + 1)
    logs = log_choose(first)[taken] + log_choose(second)[total - taken] - log_choose(first + second)[total]
    chances: FloatArray = np.exp(logs)
    return chances


@dataclass(frozen=True)
class OddsRatio:
    """Common odds ratio of the first arm against the second, with its interval."""

    ratio: float
    low: float
    high: float


def common_odds_ratio(
    taken: Sequence[tuple[int, int]], made: Sequence[tuple[int, int]], level: float = 0.9
) -> OddsRatio:
    """Estimate the odds ratio that all bags share.

    Parameters
    ----------
    taken, made : sequence of pairs of int
        Grafts that took, of those made, of the first and the second arm in each bag [grafts].
    level : float
        Chance that the interval covers [0-1].

    Returns
    -------
    OddsRatio
        Infinite or nan where the table has no finite estimate.

    References
    ----------
    Mantel & Haenszel (1959), J. Natl. Cancer Inst. 22:719-748; variance of Robins, Breslow &
    Greenland (1986), Biometrics 42:311-323.

    Examples
    --------
    >>> round(common_odds_ratio([(156, 84), (107, 31)], [(240, 240), (240, 240)]).ratio, 3)
    4.177
    """
    took, tried = np.array(taken, dtype=float), np.array(made, dtype=float)
    lost = tried - took
    all_made = tried.sum(axis=1)
    agree, against = took[:, 0] * lost[:, 1] / all_made, lost[:, 0] * took[:, 1] / all_made
    same = (took[:, 0] + lost[:, 1]) / all_made
    over, under = float(agree.sum()), float(against.sum())
    if over == 0.0 or under == 0.0:
        ratio = np.inf if over > 0.0 else (0.0 if under > 0.0 else np.nan)
        return OddsRatio(ratio, np.nan, np.nan)
    variance = (
        (same @ agree) / (2.0 * over**2)
        + (same @ against + (1.0 - same) @ agree) / (2.0 * over * under)
        + ((1.0 - same) @ against) / (2.0 * under**2)
    )
    wide = float(ndtri(0.5 + level / 2.0)) * float(np.sqrt(variance))
    ratio = over / under
    return OddsRatio(ratio, float(ratio * np.exp(-wide)), float(ratio * np.exp(wide)))
