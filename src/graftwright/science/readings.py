"""What a set of checks says of a batch if it is right."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.cells import Cells, cells
from graftwright.science.chance import normal_between

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.chance import Floats
    from graftwright.science.checks import Check
    from graftwright.science.clock import Clock

MISREAD = 0.01
"""Chance that what was noted of one plant says nothing of it."""

_FEWEST, _MOST = 25, 401
_WIDEST = 6.0
_ZOOMS = 4
_NEGLIGIBLE = 1e-7
_NO_SPREAD = 1e-6


@dataclass(frozen=True)
class Reading:
    """What the batch is if all checks but one are right: cells, a grid of u with its chances, the evidence.

    `doubted` is the place of the check held to be wrong, None where every check is believed.
    """

    cells: Cells
    u: Floats
    weight: Floats
    log_evidence: float
    doubted: int | None = None


def weigh(clock: Clock, plants: int, checks: Sequence[Check], log_progress: Sequence[Floats]) -> Reading:
    """Weigh each value of a batch's delay by what its checks counted.

    Assumes u normal with mean 0 and the clock's spread between batches, and all checks together one
    multinomial over the cells between which the plants lie; with chance `MISREAD` a plant may lie in any.

    Parameters
    ----------
    clock : Clock
        Milestones and spreads.
    plants : int
        How many plants the clock started with, 0 or more.
    checks : sequence of Check
        In the order of their days; they must add up.
    log_progress : sequence of ndarray, each of shape (milestones,)
        ln P_j on the day of each check.

    Returns
    -------
    Reading
        u and its chances on a grid of at least 25 points where they matter, finer in large batches; the
        logarithm of the chance of the counts is the evidence.

    Notes
    -----
    The mixture with a share of wrong records follows P. J. Huber (1964), *Ann. Math. Statist.* 35:73-101,
    doi:10.1214/aoms/1177703732.

    Examples
    --------
    >>> from graftwright.science.checks import Check
    >>> from graftwright.science.clock import Clock, Milestone
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> late = weigh(clock, 8, [Check(14.0, (0,), 8)], [np.array([0.0])])
    >>> round(float(late.weight @ late.u), 3)
    0.156
    """
    known = cells(clock, plants, checks, log_progress)
    low, high = _reach(clock, known)
    u = np.linspace(low, high, _points(clock, plants, high - low))
    log_joint = _log_joint(clock, known, u)
    weight = np.exp(log_joint - log_joint.max())
    area = weight.sum() * (u[1] - u[0] if len(u) > 1 else 1.0)
    evidence = log_joint.max() + math.log(area) + _log_ways(known, plants, checks)
    return Reading(known, u, weight / weight.sum(), evidence)


def limits(clock: Clock, known: Cells, u: Floats) -> tuple[Floats, Floats]:
    """Return the limits of each cell on the scale of z at each u, both of shape (cells, len(u)).

    Assumes limits on ln P_j as `cells` gives them; takes the narrowest over all milestones.

    Parameters
    ----------
    clock : Clock
        Milestones with their spreads.
    known : Cells
        The cells.
    u : ndarray, shape (g,)
        Values of the batch's delay.

    Returns
    -------
    tuple of ndarray
        Lower and upper limit; a lower one above its upper is a cell that cannot be at that u.

    Notes
    -----
    z = (ln P_j - u) / spread_j.

    Examples
    --------
    >>> from graftwright.science.checks import Check
    >>> from graftwright.science.clock import Clock, Milestone
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> known = cells(clock, 2, [Check(14.0, (1,), 2)], [np.array([0.0])])
    >>> [side.tolist() for side in limits(clock, known, np.array([0.1]))]
    [[[-inf], [-0.5]], [[-0.5], [inf]]]
    """
    spread = np.array([milestone.spread for milestone in clock.milestones])
    lower = (known.lower[:, :, None] - u) / spread[:, None]
    upper = (known.upper[:, :, None] - u) / spread[:, None]
    return lower.max(axis=1), upper.min(axis=1)


def _reach(clock: Clock, known: Cells) -> tuple[float, float]:
    """Return the ends of the values of u that matter."""
    if clock.batch_spread < _NO_SPREAD:
        return 0.0, 0.0
    low, high = -_WIDEST * clock.batch_spread, _WIDEST * clock.batch_spread
    for _ in range(_ZOOMS):
        u = np.linspace(low, high, _FEWEST)
        log_joint = _log_joint(clock, known, u)
        matters = np.flatnonzero(log_joint >= log_joint.max() + math.log(_NEGLIGIBLE))
        low, high = u[max(matters[0] - 1, 0)], u[min(matters[-1] + 1, _FEWEST - 1)]
        if len(matters) > _FEWEST // 3:
            break
    return low, high


def _points(clock: Clock, plants: int, width: float) -> int:
    """Return how many points of u leave no steps in the law of a middle plant, narrow in large batches."""
    finest = min(milestone.spread for milestone in clock.milestones) / math.sqrt(max(plants, 1))
    return min(max(math.ceil(width / (1.5 * finest)), _FEWEST), _MOST) if width > 0 else 1


def _log_joint(clock: Clock, known: Cells, u: Floats) -> Floats:
    return _log_prior(u, clock.batch_spread) + _log_likelihood(clock, known, u)


def _log_prior(u: Floats, batch_spread: float) -> Floats:
    if batch_spread < _NO_SPREAD:
        return np.zeros_like(u)
    return -0.5 * (u / batch_spread) ** 2 - math.log(batch_spread * math.sqrt(2 * math.pi))


def _log_likelihood(clock: Clock, known: Cells, u: Floats) -> Floats:
    chance = (1 - MISREAD) * normal_between(*limits(clock, known, u)) + MISREAD * known.anywhere
    plants = (known.alive + known.lost).astype(np.float64)
    log_likelihood: Floats = plants @ np.log(chance)
    return log_likelihood


def _log_ways(known: Cells, plants: int, checks: Sequence[Check]) -> float:
    """Return the logarithm of how many orders of the plants give these counts.

    Which plants a check of some looked at says nothing of their pace, so it does not count.
    """
    ways = math.lgamma(plants + 1) - sum(math.lgamma(n + 1) for n in known.alive + known.lost)
    alive = plants
    for check in checks:
        alive -= check.all_lost
        ways -= math.log(math.comb(alive, check.seen))
    return ways
