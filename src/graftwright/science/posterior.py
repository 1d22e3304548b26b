"""How early or late a batch runs, as its checks show it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.cells import Cells, cells
from graftwright.science.chance import normal_between
from graftwright.science.clock import check_checks, relative_progress
from graftwright.science.response import HOURS_A_DAY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.chance import Floats
    from graftwright.science.clock import Check, Clock

MISREAD = 0.01
"""Chance that what was noted of one plant says nothing of it."""

WRONG_CHECK = 0.1
"""Chance that a check as a whole is wrong: another batch, another day, a slip of the pen.

More than such slips are likely to happen: so that one of them does not spoil the windows.
"""

_FEWEST, _MOST = 25, 401
_WIDEST = 6.0
_ZOOMS = 4
_NEGLIGIBLE = 1e-7
_NO_SPREAD = 1e-6
_UNHEARD = 0.02


@dataclass(frozen=True)
class Reading:
    """What the batch is if one set of checks is right: cells, a grid of u with its chances, the evidence."""

    cells: Cells
    u: Floats
    weight: Floats
    log_evidence: float


@dataclass(frozen=True)
class Posterior:
    """What is known of one batch on its clock: readings of its checks, each with its chance.

    u is the batch's own delay on the logarithmic scale (0.1: about a tenth later than usual). `progress`
    are days at the optimum [d], one array for each milestone. The first reading believes every check.
    """

    clock: Clock
    progress: tuple[Floats, ...]
    readings: tuple[Reading, ...]
    chances: tuple[float, ...]

    @property
    def u(self) -> Floats:
        """Grid of u over all readings."""
        return np.concatenate([reading.u for reading in self.readings])

    @property
    def weight(self) -> Floats:
        """Chance of each point of the grid; they sum to 1."""
        parts = zip(self.chances, self.readings, strict=True)
        return np.concatenate([chance * reading.weight for chance, reading in parts])

    @property
    def mean(self) -> float:
        """Posterior mean of u."""
        return float(self.weight @ self.u)

    @property
    def variance(self) -> float:
        """Posterior variance of u."""
        return float(self.weight @ (self.u - self.mean) ** 2)

    def counted(self, milestone: int) -> int:
        """Return how many plants count at a milestone: those alive, and those lost after being there."""
        return int(self.readings[0].cells.counted(milestone).sum())


def posterior(clock: Clock, progress: Sequence[Floats], plants: int, checks: Sequence[Check]) -> Posterior:
    """Weigh how early or late a batch runs by all its checks together.

    Assumes u normal with mean 0 and the clock's spread between batches, and one draw z for each plant
    that it keeps at every milestone of the clock. All checks are one multinomial over the cells between
    which the plants lie, so no plant is counted twice; plants lost count up to when they were last seen.
    With chance `MISREAD` a plant may lie in any cell, and with chance `WRONG_CHECK` one whole check is
    wrong and its counts are any that could be written down. Until something has passed, checks are believed.

    Parameters
    ----------
    clock : Clock
        Milestones and spreads.
    progress : sequence of ndarray, each of shape (n + 1,)
        Days at the optimum [d] of each milestone, as `graftwright.science.clock.clock_progress` gives it.
    plants : int
        How many plants the clock started with, 0 or more.
    checks : sequence of Check
        In the order of their days; none leaves the prior.

    Returns
    -------
    Posterior
        Readings with chances above 0.02, which sum to 1.

    Raises
    ------
    CheckOutOfPlace, CheckDoesNotAddUp
        As `graftwright.science.clock.check_checks`.

    Notes
    -----
    The mixture with a share of wrong records follows P. J. Huber (1964), *Ann. Math. Statist.* 35:73-101,
    doi:10.1214/aoms/1177703732.

    Examples
    --------
    >>> from graftwright.science.clock import Check, Clock, Milestone, clock_progress
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> late = posterior(clock, clock_progress(clock, [20.0] * 480), 8, [Check(14.0, (0,), 8)])
    >>> round(late.mean, 3), round(late.variance, 5)
    (0.157, 0.00542)
    """
    check_checks(clock, plants, checks, (progress[0].size - 1) / HOURS_A_DAY)
    log_progress = [relative_progress(clock, progress, check.day) for check in checks]
    readings = [_reading(clock, plants, checks, log_progress)]
    support = [readings[0].log_evidence]
    for doubted in _doubtful(checks):
        others = [_unread(check) if check is doubted else check for check in checks]
        readings.append(_reading(clock, plants, others, log_progress))
        any_counts = math.comb(doubted.seen + len(doubted.passed), doubted.seen)
        support.append(readings[-1].log_evidence + math.log(WRONG_CHECK / (1 - WRONG_CHECK) / any_counts))
    chance = _normalised(np.array(support))
    heard = chance >= _UNHEARD * (np.arange(len(chance)) > 0)
    kept = tuple(reading for reading, hear in zip(readings, heard, strict=True) if hear)
    return Posterior(clock, tuple(progress), kept, tuple((chance[heard] / chance[heard].sum()).tolist()))


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
    >>> from graftwright.science.clock import Check, Clock, Milestone
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> known = cells(clock, 2, [Check(14.0, (1,), 2)], [np.array([0.0])])
    >>> [side.tolist() for side in limits(clock, known, np.array([0.1]))]
    [[[-inf], [-0.5]], [[-0.5], [inf]]]
    """
    spread = np.array([milestone.spread for milestone in clock.milestones])
    lower = (known.lower[:, :, None] - u) / spread[:, None]
    upper = (known.upper[:, :, None] - u) / spread[:, None]
    return lower.max(axis=1), upper.min(axis=1)


def _doubtful(checks: Sequence[Check]) -> list[Check]:
    """Return the checks that may be wrong as a whole: each from the first that saw something pass."""
    begun = [any(sum(check.passed) for check in checks[: i + 1]) for i in range(len(checks))]
    return [check for check, passing in zip(checks, begun, strict=True) if passing and check.seen]


def _unread(check: Check) -> Check:
    return replace(check, seen=0, passed=(0,) * len(check.passed))


def _reading(clock: Clock, plants: int, checks: Sequence[Check], log_progress: Sequence[Floats]) -> Reading:
    known = cells(clock, plants, checks, log_progress)
    low, high = _reach(clock, known)
    u = np.linspace(low, high, _points(clock, plants, high - low))
    log_joint = _log_joint(clock, known, u)
    peak = log_joint.max()
    area = np.exp(log_joint - peak).sum() * (u[1] - u[0] if len(u) > 1 else 1.0)
    evidence = peak + math.log(area) + _log_ways(known, plants, checks)
    return Reading(known, u, _normalised(log_joint), evidence)


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


def _normalised(log_weight: Floats) -> Floats:
    weight = np.exp(log_weight - log_weight.max())
    share: Floats = weight / weight.sum()
    return share
