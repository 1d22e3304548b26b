"""What checks say about anonymous plants: between which limits each plant's own pace lies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from graftwright.science.chance import normal_below

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from graftwright.science.chance import Floats
    from graftwright.science.checks import Check
    from graftwright.science.clock import Clock

    Places: TypeAlias = NDArray[np.intp]


@dataclass(frozen=True)
class Cells:
    """Plants of which the same is known, counted together.

    In cell c, `alive[c]` plants still stand there and `lost[c]` are gone; `lower[c, j]` is the highest
    ln P_j at which they were seen not to have milestone j behind them (minus infinity: never), `upper`
    the lowest at which they were seen to have it (infinity: never). `last[j]` is ln P_j at the last check.
    """

    lower: Floats
    upper: Floats
    alive: NDArray[np.int64]
    lost: NDArray[np.int64]
    last: Floats

    @property
    def anywhere(self) -> float:
        """Chance of each cell for a plant of whom nothing is known."""
        return 1 / max(len(self.alive), 1)

    def counted(self, milestone: int) -> NDArray[np.int64]:
        """Return the plants of each cell that count at a milestone: alive, or gone after being there."""
        return self.alive + np.where(self.upper[:, milestone] < np.inf, self.lost, 0)


def cells(clock: Clock, plants: int, checks: Sequence[Check], log_progress: Sequence[Floats]) -> Cells:
    """Sort the plants of a batch by rank along the clock and bound each by what the checks saw.

    Assumes that plants cannot be told apart, that ranks along a clock do not change, and that a check of
    some of them took them evenly from all. Of plants lost at one stage the ranks within it are
    unknown; they too are taken evenly. Where a later check contradicts an earlier one at the same
    milestone, the later is believed.

    Parameters
    ----------
    clock : Clock
        Milestones and spreads.
    plants : int
        How many plants the clock started with, 0 or more.
    checks : sequence of Check
        In the order of their days; they must add up, as `graftwright.science.checks.check_checks` makes sure.
    log_progress : sequence of ndarray, each of shape (milestones,)
        ln P_j on the day of each check, as `graftwright.science.clock.relative_progress` gives it.

    Returns
    -------
    Cells
        One row for each distinct set of limits.

    Notes
    -----
    Grouped and censored observations: B. W. Turnbull (1976), *J. R. Statist. Soc. B* 38:290-295.

    Examples
    --------
    >>> from graftwright.science.checks import Check
    >>> from graftwright.science.clock import Clock, Milestone
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> known = cells(clock, 5, [Check(14.0, (2,), 5)], [np.array([0.0])])
    >>> known.alive.tolist(), known.lower.ravel().tolist(), known.upper.ravel().tolist()
    ([2, 3], [-inf, 0.0], [0.0, inf])
    """
    row = _Row(clock, plants)
    for i, check in enumerate(checks):
        row.lose(check, log_progress[max(i - 1, 0)])
        row.see(check, log_progress[i])
    read = [at for check, at in zip(checks, log_progress, strict=True) if check.seen]
    return row.counted(read)


class _Row:
    """The plants of a batch in the order of their ranks, while the checks are read."""

    def __init__(self, clock: Clock, plants: int) -> None:
        self.spread = np.array([milestone.spread for milestone in clock.milestones])
        self.lower = np.full((plants, self.spread.size), -np.inf)
        self.upper = np.full((plants, self.spread.size), np.inf)
        self.alive = np.ones(plants, dtype=bool)

    def lose(self, check: Check, log_progress: Floats) -> None:
        for stage, count in enumerate(check.lost):
            if not count:
                continue
            gone = evenly(count, self._nearest(stage, count))
            self.upper[gone, :stage] = np.minimum(self.upper[gone, :stage], log_progress[:stage])
            self.alive[gone] = False
        if check.lost_anyhow:
            self.alive[evenly(check.lost_anyhow, self._ranked())] = False

    def see(self, check: Check, log_progress: Floats) -> None:
        order = self._looked_at(check)
        for j, passed in enumerate(check.passed):
            there, not_yet = order[:passed], order[passed:]
            self.upper[there, j] = np.minimum(self.upper[there, j], log_progress[j])
            self.upper[not_yet, j] = np.inf
            self.lower[not_yet, j] = log_progress[j]

    def _looked_at(self, check: Check) -> Places:
        ranked = self._ranked()
        if check.seen == ranked.size:
            return ranked
        stages = self._stages(ranked)
        share = quotas(np.bincount(stages, minlength=self.spread.size + 1), check.seen, check.passed)
        chosen = np.zeros(self.alive.size, dtype=bool)
        for stage, count in enumerate(share):
            chosen[evenly(count, ranked[stages == stage])] = True
        return ranked[chosen[ranked]]

    def counted(self, read: Sequence[Floats]) -> Cells:
        limits, cell = np.unique(np.hstack((self.lower, self.upper)), axis=0, return_inverse=True)
        width = self.spread.size
        alive = np.bincount(cell[self.alive], minlength=len(limits))
        lost = np.bincount(cell[~self.alive], minlength=len(limits))
        last = read[-1] if read else np.full(width, -np.inf)
        return Cells(limits[:, :width], limits[:, width:], alive, lost, last)

    def _ranked(self) -> Places:
        # The middle of a plant's limits at the usual pace puts overlapping limits in order as well.
        low = normal_below((self.lower / self.spread).max(axis=1))
        high = normal_below((self.upper / self.spread).min(axis=1))
        order = np.argsort(low + high, kind="stable")
        return order[self.alive[order]]

    def _stages(self, ranked: Places) -> NDArray[np.int64]:
        stages: NDArray[np.int64] = (self.upper[ranked] < np.inf).sum(axis=1)
        return stages

    def _nearest(self, stage: int, count: int) -> Places:
        """Return the living plants last seen at a stage, with the nearest others if those are too few."""
        ranked = self._ranked()
        away = np.abs(self._stages(ranked) - stage)
        nearest: Places = ranked[away <= np.sort(away)[count - 1]]
        return nearest


def evenly(count: int, places: Places) -> Places:
    """Take so many of a row, at even distances, symmetrical about its middle."""
    return places[(2 * np.arange(count) + 1) * len(places) // (2 * max(count, 1))]


def quotas(there: NDArray[np.int64], seen: int, passed: Sequence[int]) -> list[int]:
    """Return how many of each stage a check of some looked at: in proportion, but never against its counts.

    Nobody can have been seen behind a milestone he had passed before, so those taken from the later
    stages are held to the counts of the check as far as the others suffice.
    """
    taken = [0] * len(there)
    at_least = (seen, *passed)
    for stage in reversed(range(len(there))):
        left = seen - sum(taken)
        needed = left - int(there[:stage].sum())
        allowed = max(needed, at_least[stage] - sum(taken))
        fair = round(seen * int(there[stage]) / max(int(there.sum()), 1))
        taken[stage] = min(max(fair, needed), allowed, left, int(there[stage]))
    return taken
