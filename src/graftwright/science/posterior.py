"""How early or late a batch runs, as its checks show it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.checks import check_checks
from graftwright.science.clock import relative_progress
from graftwright.science.readings import weigh
from graftwright.science.response import HOURS_A_DAY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.chance import Floats
    from graftwright.science.checks import Check
    from graftwright.science.clock import Clock
    from graftwright.science.readings import Reading

WRONG_CHECK = 0.3
"""Chance that a check as a whole is wrong: another batch, another day, a slip of the pen.

Chosen so that windows hold the 10, 50 and 90 % plant between 77 and 83 % of the time both when every
check is right and when the counts of one before the last are made up; not how common slips are.
"""

_UNHEARD = 0.02


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
    With chance `WRONG_CHECK` one check is wrong as a whole and its counts are any that could be written
    down, and single plants may be misread; until something has passed, checks are believed.
    Where each plant stood at the last check is a fact until the next; doubt of it touches u alone.

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
        The reading that believes every check and those with a chance of 0.02 or more, as they sum to 1.

    Raises
    ------
    CheckOutOfPlace, CheckDoesNotAddUp
        As `graftwright.science.checks.check_checks`.

    Notes
    -----
    The mixture with a share of wrong records follows P. J. Huber (1964), *Ann. Math. Statist.* 35:73-101,
    doi:10.1214/aoms/1177703732.

    Examples
    --------
    >>> from graftwright.science.checks import Check
    >>> from graftwright.science.clock import Clock, Milestone, clock_progress
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> late = posterior(clock, clock_progress(clock, [20.0] * 480), 8, [Check(14.0, (0,), 8)])
    >>> round(late.mean, 3), round(late.variance, 5)
    (0.156, 0.00544)
    """
    check_checks(clock, plants, checks, (progress[0].size - 1) / HOURS_A_DAY)
    log_progress = [relative_progress(clock, progress, check.day) for check in checks]
    readings = [weigh(clock, plants, checks, log_progress)]
    for i in _doubtful(checks):
        others = [*checks[:i], _unread(checks[i]), *checks[i + 1 :]]
        readings.append(replace(weigh(clock, plants, others, log_progress), doubted=i))
    support = [reading.log_evidence + _log_odds(checks, reading.doubted) for reading in readings]
    chance = _normalised(np.array(support))
    heard = [i for i, one in enumerate(readings) if one.doubted is None or chance[i] >= _UNHEARD]
    last = max((i for i, check in enumerate(checks) if check.seen), default=None)
    stands = [replace(one, cells=readings[0].cells) if one.doubted == last else one for one in readings]
    chances = tuple((chance[heard] / chance[heard].sum()).tolist())
    return Posterior(clock, tuple(progress), tuple(stands[i] for i in heard), chances)


def _doubtful(checks: Sequence[Check]) -> list[int]:
    """Return the places of checks that may be wrong as a whole: from the first that saw something pass."""
    begun = [any(sum(check.passed) for check in checks[: i + 1]) for i in range(len(checks))]
    return [i for i, check in enumerate(checks) if begun[i] and check.seen]


def _log_odds(checks: Sequence[Check], doubted: int | None) -> float:
    """Return the logarithm of the odds that a check is wrong and has just these of all possible counts."""
    if doubted is None:
        return 0.0
    check = checks[doubted]
    possible = math.comb(check.seen + len(check.passed), check.seen)
    return math.log(WRONG_CHECK / (1 - WRONG_CHECK) / possible)


def _unread(check: Check) -> Check:
    return replace(check, seen=0, passed=(0,) * len(check.passed))


def _normalised(log_weight: Floats) -> Floats:
    weight = np.exp(log_weight - log_weight.max())
    share: Floats = weight / weight.sum()
    return share
