"""Laws of the day on which the k-th plant of a batch reaches a milestone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.ranks import chance_there
from graftwright.science.response import HOURS_A_DAY

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from graftwright.science.chance import Floats
    from graftwright.science.posterior import Posterior

EARLY, LIKELY, LATE = 0.1, 0.5, 0.9

_GRID = 49
_PARTS = 8
_REFINEMENTS = 2
_STARTS = 41


@dataclass(frozen=True)
class Law:
    """The chance that something has happened by a day, as a table; `chance` may end below 1."""

    day: Floats
    chance: Floats

    def by(self, day: float) -> float:
        """Chance that it has happened by a day [d]; beyond the table, that at its end."""
        return float(np.interp(day, self.day, self.chance, left=0.0))

    def day_of(self, chance: float) -> float | None:
        """First day [d] by which it has happened with a chance; None where the table ends before."""
        at = int(np.searchsorted(self.chance, chance))
        if at == len(self.chance):
            return None
        if at == 0:
            return float(self.day[0])
        (before, after), (low, high) = self.day[at - 1 : at + 1], self.chance[at - 1 : at + 1]
        return float(before + (after - before) * (chance - low) / (high - low))


def laws(known: Posterior, milestone: int, ks: Sequence[int]) -> tuple[Law, ...]:
    """Return the law of the day by which the k-th plant has a milestone behind it.

    Assumes what `graftwright.science.ranks.chance_there` assumes, and steady temperature within an hour.

    Parameters
    ----------
    known : Posterior
        The batch.
    milestone : int
        Its place on the clock, from 0.
    ks : sequence of int
        Each from 1 to the number of plants counted.

    Returns
    -------
    tuple of Law
        One for each k; days since the start of the clock [d], ending with the temperatures.

    Raises
    ------
    NoSuchPlant
        Where a k is not among the plants.

    Notes
    -----
    David and Nagaraja (2003), *Order Statistics*, section 2.1.

    Examples
    --------
    >>> from graftwright.science.checks import Check
    >>> from graftwright.science.clock import Clock, Milestone, clock_progress
    >>> from graftwright.science.posterior import posterior
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> known = posterior(clock, clock_progress(clock, [20.0] * 720), 8, [Check(12.0, (0,), 8)])
    >>> (first,) = laws(known, 0, [1])
    >>> [round(first.day_of(chance), 1) for chance in (0.1, 0.5, 0.9)]
    [12.1, 12.8, 14.3]
    """
    days = known.clock.milestones[milestone].days
    gained = known.progress[milestone]
    grid = _ending(_grid(known, milestone), gained[-1] / days)
    found = _tabulate(chance_there(known, milestone), ks, grid)
    return tuple(
        Law(np.maximum(_day_reached(gained, np.exp(x) * days), known.clock.not_before), rising)
        for x, rising in found
    )


def laws_following(start: Law, known: Posterior, milestone: int, ks: Sequence[int]) -> tuple[Law, ...]:
    """Return the same for a clock that starts on a day not yet known.

    Assumes that all plants start together on a day drawn from `start`, and that u and z of the new clock
    owe nothing to the clock before.

    Parameters
    ----------
    start : Law
        When the clock starts, in days [d] of the count that the temperatures begin with.
    known : Posterior
        The plants that will start and their clock, without checks. Its progress runs over all hours of
        that count; what came before the start is taken off. Its `not_before` is in the same count.
    milestone : int
        Its place on the clock, from 0.
    ks : sequence of int
        Each from 1 to the number of plants.

    Returns
    -------
    tuple of Law
        One for each k, in days of the same count; where `start` ends below 1, so do they.

    Raises
    ------
    NoSuchPlant
        Where a k is not among the plants.

    Notes
    -----
    David and Nagaraja (2003), section 2.1, mixed over 41 equally likely starts.

    Examples
    --------
    >>> from graftwright.science.clock import Clock, Milestone, clock_progress
    >>> from graftwright.science.posterior import posterior
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> known = posterior(clock, clock_progress(clock, [20.0] * 1440), 8, [])
    >>> (law,) = laws_following(Law(np.array([10.0, 12.0]), np.array([0.0, 1.0])), known, 0, [4])
    >>> round(law.day_of(0.5), 1)
    24.6
    """
    gained = known.progress[milestone]
    hours = np.arange(gained.size) / HOURS_A_DAY
    begins = [start.day_of((i + 0.5) / _STARTS) for i in range(_STARTS)]
    at_begin = np.interp([day for day in begins if day is not None], hours, gained)
    since_begin = _after_progress(known, milestone, ks)

    def chance(k: NDArray[np.int64], day: Floats) -> Floats:
        since = np.interp(day, hours, gained)[:, None] - at_begin
        share: Floats = since_begin(k, since).sum(axis=1) / _STARTS
        return share

    found = _tabulate(chance, ks, np.linspace(0.0, hours[-1], _GRID))
    return tuple(Law(np.maximum(day, known.clock.not_before), rising) for day, rising in found)


def _after_progress(
    known: Posterior, milestone: int, ks: Sequence[int]
) -> Callable[[NDArray[np.int64], Floats], Floats]:
    """Return a function: the chance that plants k, shape (m,), are there after progress [d], shape (m, s)."""
    reach = _grid(known, milestone)
    x = np.linspace(reach[0], reach[-1], _GRID * _PARTS)
    there = chance_there(known, milestone)
    rows = {k: there(np.full(x.size, k), x) for k in ks}

    def chance(k: NDArray[np.int64], gained: Floats) -> Floats:
        with np.errstate(divide="ignore"):
            log_progress = np.log(np.maximum(gained, 0.0) / known.clock.milestones[milestone].days)
        found = np.empty(gained.shape)
        for one, row in rows.items():
            found[k == one] = np.interp(log_progress[k == one], x, row, left=0.0)
        return found

    return chance


def _grid(known: Posterior, milestone: int) -> Floats:
    """Return values of ln P_j that hold the whole law, with the limits of the cells among them."""
    reach = 5 * known.clock.milestones[milestone].spread
    all_cells = [reading.cells for reading in known.readings]
    seen = np.concatenate([side[:, milestone] for cell in all_cells for side in (cell.lower, cell.upper)])
    seen = seen[np.isfinite(seen)]
    low = min([known.u.min(), *seen]) - reach
    high = max([known.u.max(), *seen]) + reach
    return np.union1d(np.linspace(low, high, _GRID), seen)


def _ending(grid: Floats, last_progress: float) -> Floats:
    """Cut a grid of ln P_j where the temperatures end; one point is left where they let nothing grow."""
    with np.errstate(divide="ignore"):
        last = np.log(last_progress)
    cut: Floats = np.append(grid[grid < last], last)
    return cut


def _tabulate(
    chance: Callable[[NDArray[np.int64], Floats], Floats], ks: Sequence[int], grid: Floats
) -> list[tuple[Floats, Floats]]:
    """Tabulate the rising chance of each k on a grid, finer where it passes the chances of a window."""
    k = np.repeat(np.array(ks), len(grid))
    table = [(grid, row) for row in chance(k, np.tile(grid, len(ks))).reshape(len(ks), -1)]
    for _ in range(_REFINEMENTS):
        more = [_finer(at, row) for at, row in table]
        k = np.repeat(np.array(ks), [len(at) for at in more])
        found = np.split(chance(k, np.concatenate(more)), np.cumsum([len(at) for at in more])[:-1])
        table = [_merged(*old, *new) for old, *new in zip(table, more, found, strict=True)]
    return [(at, np.maximum.accumulate(row)) for at, row in table]


def _merged(grid: Floats, row: Floats, more: Floats, found: Floats) -> tuple[Floats, Floats]:
    at, first = np.unique(np.concatenate((grid, more)), return_index=True)
    return at, np.concatenate((row, found))[first]


def _finer(grid: Floats, row: Floats) -> Floats:
    passes = np.unique(np.searchsorted(row, (EARLY, LIKELY, LATE)))
    after = passes[(passes > 0) & (passes < len(grid))]
    parts = np.arange(1, _PARTS) / _PARTS
    finer: Floats = (grid[after - 1][:, None] + np.diff(grid)[after - 1][:, None] * parts).ravel()
    return finer


def _day_reached(gained: Floats, needed: Floats) -> Floats:
    """Return the first day [d] on which a progress is reached; straight lines between the hours."""
    after = np.searchsorted(gained[:-1], needed)
    before = np.maximum(after - 1, 0)
    step = gained[after] - gained[before]
    part = np.clip((needed - gained[before]) / np.where(step > 0, step, 1.0), 0.0, 1.0)
    day: Floats = (before + part * (after - before)) / HOURS_A_DAY
    return day
