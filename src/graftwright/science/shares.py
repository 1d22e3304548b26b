"""What this season has shown of the share that passes each stage.

Units that entered a stage have passed, are lost, or are still in it. Those still in it tell something
too, as far as passes and losses would have shown by now; leaving them out is wrong either way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from graftwright.science.sizing import Stage

    Floats = NDArray[np.float64]

_CUT = 26.0  # points of a grid below exp(-this) of the peak are left out
_EDGE = 28.0  # beyond this many units of log-odds, over the log of the count, one point stands for all
_ZOOM, _ZOOMS = 129, 4
_FINE = 2049
_SURE = 1.0 - 1e-9  # nothing is ever quite due: a unit still there has to be somewhere


class CountsAmiss(ValueComplaint):
    """A number of units below none, or a share due that is no share."""

    def __init__(self, entered: Entered) -> None:
        super().__init__(
            f"Of stage {entered.stage + 1}, {entered.passed} passed, {entered.lost} lost and {entered.waiting} "
            f"waiting, with {entered.passes_due} and {entered.losses_due} due, cannot be.",
            do="Give counts of 0 or more, and shares due from 0 to 1.",
        )


@dataclass(frozen=True)
class Entered:
    """What became, by now, of the units of one batch that entered one stage.

    Parameters
    ----------
    stage : int
        Its place in the chain, from 0.
    passed, lost, waiting : int
        Units that passed it, were lost in it, are still in it; 0 or more.
    passes_due : float
        Share [1] of its passes that would have happened by now.
    losses_due : float or None
        Share [1] of its losses that would have shown by now. None where the sheet does not say: then
        the units tell nothing until none is waiting.

    Raises
    ------
    CountsAmiss
        Where these ranges are left.
    """

    stage: int
    passed: int = 0
    lost: int = 0
    waiting: int = 0
    passes_due: float = 0.0
    losses_due: float | None = 0.0

    def __post_init__(self) -> None:
        """Refuse what cannot be counted."""
        shares_due = (self.passes_due, self.losses_due or 0.0)
        if min(self.stage, self.passed, self.lost, self.waiting) < 0 or not all(
            0 <= x <= 1 for x in shares_due
        ):
            raise CountsAmiss(self)

    @property
    def tells(self) -> bool:
        """Whether it says anything of the season's share."""
        return self.losses_due is not None or self.waiting == 0

    def still_to_come(self) -> tuple[float, float]:
        """Return the chance of a unit that will pass, and of one that will be lost, not to have shown it."""
        if self.losses_due is None:
            return 1.0, 1.0
        return 1.0 - min(self.passes_due, _SURE), 1.0 - min(self.losses_due, _SURE)

    def fate(self, p: Floats, q: Floats) -> Floats:
        """Return the chance that a unit still waiting passes, where the season's share is p = 1 - q."""
        passing, failing = self.still_to_come()
        chance: Floats = p * passing / (p * passing + q * failing)
        return chance


@dataclass(frozen=True)
class Shares:
    """The law of one stage's share on a grid: p, q = 1 - p, and their chances, which sum to 1."""

    p: Floats
    q: Floats
    weight: Floats


def season_shares(stage: Stage, entered: Sequence[Entered], units: int) -> Shares:
    """Return the season's law of a stage's share, after what was seen.

    Parameters
    ----------
    stage : Stage
        Its law before the season.
    entered : sequence of Entered
        All units of the sheet that entered this stage this season, whatever their variety.
    units : int
        The most units that may still pass; they decide how fine the grid must be.

    Returns
    -------
    Shares
        Log-odds at even steps: for a law that dies away on both sides the plain sum over them is
        right to about 1e-8.

    References
    ----------
    Trapezoid rule on the whole line: Trefethen & Weideman 2014, SIAM Review 56(3), 385-458,
    doi:10.1137/130932132. Units still waiting: likelihood with censoring, Kalbfleisch & Prentice 2002,
    The Statistical Analysis of Failure Time Data, 2nd ed., section 3.2.

    Examples
    --------
    >>> from graftwright.science.sizing import Stage
    >>> law = season_shares(Stage("take", 0.5, 2.0), [Entered(0, passed=3, lost=1)], 10)
    >>> round(float(law.weight @ law.p), 9) == round(4 / 6, 9)
    True
    """
    if stage.weight is None:
        return Shares(np.array([stage.mean]), np.array([1.0 - stage.mean]), np.array([1.0]))
    log_density, before, after = _log_density(stage, entered)
    u = _grid(log_density, units)
    weight = _heights(log_density, u)
    # What lies beyond the ends falls off like exp(before · u) and exp(-after · u): a geometric series.
    step = u[1] - u[0]
    weight[0] /= -math.expm1(-before * step)
    weight[-1] /= -math.expm1(-after * step)
    return Shares(_p(u), _p(-u), weight / weight.sum())


def draw_shares(stage: Stage, entered: Sequence[Entered], uniform: Floats) -> tuple[Floats, Floats]:
    """Return shares p and q = 1 - p at these points of their law.

    Parameters
    ----------
    stage, entered
        As for `season_shares`.
    uniform : ndarray
        Points between 0 and 1.

    Returns
    -------
    tuple of ndarray
        Of the shape of `uniform`.

    Examples
    --------
    >>> from graftwright.science.sizing import Stage
    >>> p, _ = draw_shares(Stage("take", 0.5, 2.0), [], np.array([0.25, 0.5]))
    >>> p.round(4).tolist()
    [0.25, 0.5]
    """
    if stage.weight is None:
        p = np.full_like(uniform, stage.mean)
        return p, 1.0 - p
    log_density, before, after = _log_density(stage, entered)
    u = np.linspace(*_reach(log_density, _EDGE), _FINE)
    height = _heights(log_density, u)
    beyond = 2.0 / (u[1] - u[0]) * np.array([height[0] / before, height[-1] / after])
    below = beyond[0] + np.concatenate([[0.0], np.cumsum(height[1:] + height[:-1])])
    drawn = np.interp(uniform * (below[-1] + beyond[1]), below, u)
    return _p(drawn), _p(-drawn)


def _log_density(stage: Stage, entered: Sequence[Entered]) -> tuple[Callable[[Floats], Floats], float, float]:
    """Return the log density of the log-odds, and how fast it falls on the left and on the right."""
    assert stage.weight is not None
    told = [each for each in entered if each.tells]
    before = stage.passing + sum(each.passed for each in told)
    after = stage.weight - stage.passing + sum(each.lost for each in told)
    waiting = [(each.waiting, *each.still_to_come()) for each in told if each.waiting]

    def log_density(u: Floats) -> Floats:
        log_p, log_q = -np.logaddexp(0.0, -u), -np.logaddexp(0.0, u)
        log = before * log_p + after * log_q
        for units, passing, failing in waiting:
            log += units * np.logaddexp(log_p + math.log(passing), log_q + math.log(failing))
        return log

    return log_density, before, after


def _grid(log_density: Callable[[Floats], Floats], units: int) -> Floats:
    """Return even steps of log-odds, as fine as the law and the scatter of `units` round it ask."""
    low, high = _reach(log_density, _EDGE + math.log(max(units, 1)))
    u = np.linspace(low, high, _ZOOM)
    height = log_density(u)
    peak = min(max(int(height.argmax()), 1), _ZOOM - 2)
    bend = (2.0 * height[peak] - height[peak - 1] - height[peak + 1]) / (u[1] - u[0]) ** 2
    scatter = 0.7 * units * float((_p(u) * _p(-u)).max())  # hardly felt beyond, as it is summed over
    step = min(0.5, 0.9 / math.sqrt(max(bend, 0.0) + scatter))
    return np.linspace(low, high, math.ceil((high - low) / step) + 1)


def _reach(log_density: Callable[[Floats], Floats], edge: float) -> tuple[float, float]:
    low, high = -edge, edge
    for _ in range(_ZOOMS):
        u = np.linspace(low, high, _ZOOM)
        height = log_density(u)
        matters = np.flatnonzero(height > height.max() - _CUT)
        low, high = u[max(matters[0] - 1, 0)], u[min(matters[-1] + 1, _ZOOM - 1)]
    return float(low), float(high)


def _heights(log_density: Callable[[Floats], Floats], u: Floats) -> Floats:
    log = log_density(u)
    height: Floats = np.exp(log - log.max())
    return height


def _p(u: Floats) -> Floats:
    p: Floats = np.exp(-np.logaddexp(0.0, -u))
    return p
