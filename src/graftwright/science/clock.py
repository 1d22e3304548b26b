"""A clock that growth runs on, its milestones, and how far a room has brought them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtr

from graftwright.errors import ValueComplaint
from graftwright.science.response import HOURS_A_DAY, Response, progress

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

    from graftwright.science.chance import Floats


class PaceOutOfRange(ValueComplaint):
    """A figure of a pace cannot be."""

    def __init__(self, figure: str, value: float, allowed: str) -> None:
        super().__init__(
            f"The {figure} of a pace must be {allowed}.",
            where=f"it is {value:g}",
            do="Correct it on the sheet or among your own values.",
        )


@dataclass(frozen=True)
class Milestone:
    """What growth reaches: half the plants of a usual batch are there after `days`.

    `days` counts days at the optimum [d] from the start of the clock, calendar days where there is no
    response. `spread` is the standard deviation, between plants of one batch, of the logarithm of
    those days.
    """

    key: str
    days: float
    spread: float
    response: Response | None = None

    def __post_init__(self) -> None:
        """Refuse a time or a spread that is not above 0."""
        for figure, value in (("days at the optimum", self.days), ("spread between plants", self.spread)):
            if not 0 < value < np.inf:
                raise PaceOutOfRange(figure, value, "above 0")


@dataclass(frozen=True)
class Clock:
    """The milestones that run from one step of the grower, in their order.

    A plant reaches milestone j when the progress P_j passes exp(spread_j z + u): z is the plant's own
    and the same at every milestone, u is the batch's, normal with standard deviation `batch_spread`.
    Nothing counts as reached before day `not_before`.
    """

    milestones: tuple[Milestone, ...]
    batch_spread: float
    not_before: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a spread below 0."""
        if not 0 <= self.batch_spread < np.inf:
            raise PaceOutOfRange("spread between batches", self.batch_spread, "0 or more")


def clock_progress(clock: Clock, hourly_c: ArrayLike) -> tuple[Floats, ...]:
    """Return the progress of each milestone of a clock at the end of each hour.

    Assumes that hour 0 begins when the clock starts and that no hour is missing.

    Parameters
    ----------
    clock : Clock
        Its milestones; those without a response count calendar days.
    hourly_c : array_like, shape (n,)
        Temperature [°C] of each hour.

    Returns
    -------
    tuple of ndarray, each of shape (n + 1,)
        Days at the optimum [d] for each milestone, 0 at the start.

    Raises
    ------
    TemperatureMissing
        Where an hour has no temperature.

    Notes
    -----
    Wang and Engel (1998), as `graftwright.science.response.response`.

    Examples
    --------
    >>> swollen = Milestone("swollen", 10.0, 0.2, Response(10.0, 23.0, 32.0))
    >>> [float(days[-1].round(3)) for days in clock_progress(Clock((swollen,), 0.1), [18.0] * 240)]
    [7.767]
    """
    hours = np.asarray(hourly_c, dtype=np.float64)
    by_response: dict[Response | None, Floats] = {None: np.arange(hours.size + 1) / HOURS_A_DAY}
    for milestone in clock.milestones:
        r = milestone.response
        if r is not None and r not in by_response:
            by_response[r] = progress(hours, r)
    return tuple(by_response[milestone.response] for milestone in clock.milestones)


def relative_progress(clock: Clock, days_at_optimum: Sequence[Floats], day: float) -> Floats:
    """Return the logarithm of P_j, progress over the milestone's days, on one day of the clock.

    Assumes steady temperature within an hour, so progress is straight between hours.

    Parameters
    ----------
    clock : Clock
        Milestones with their days.
    days_at_optimum : sequence of ndarray, each of shape (n + 1,)
        Progress of each milestone at the end of each hour [d], as `clock_progress` gives it.
    day : float
        Days since the start of the clock [d], 0 to n / 24.

    Returns
    -------
    ndarray, shape (milestones,)
        ln P_j; minus infinity where nothing has been gained or the day lies before `not_before`.

    Notes
    -----
    Log-normal thermal times: H. W. Pritchard and K. R. Manger (1990), *J. Exp. Bot.* 41:1549-1557.

    Examples
    --------
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> float(relative_progress(clock, clock_progress(clock, [20.0] * 480), 14.0)[0])
    0.0
    """
    if day < clock.not_before:
        return np.full(len(clock.milestones), -np.inf)
    hours = np.arange(days_at_optimum[0].size)
    gained = [np.interp(day * HOURS_A_DAY, hours, days) for days in days_at_optimum]
    with np.errstate(divide="ignore"):
        return np.log(np.array(gained) / [milestone.days for milestone in clock.milestones])


def share_due(clock: Clock, days_at_optimum: Sequence[Floats], day: float) -> Floats:
    """Return for each milestone the share of plants due there by one day of the clock, before any look.

    Assumes as `relative_progress`; the batch's own pace is averaged over.

    Parameters
    ----------
    clock, days_at_optimum, day
        As for `relative_progress`.

    Returns
    -------
    ndarray, shape (milestones,)
        Shares [1].

    Notes
    -----
    Log-normal thermal times: Pritchard and Manger (1990), as `relative_progress`; a normal mixture of
    normals is normal with the variances added.

    Examples
    --------
    >>> clock = Clock((Milestone("settled", 14.0, 0.3),), 0.4)
    >>> share_due(clock, clock_progress(clock, [20.0] * 720), 28.0).round(4).tolist()  # ln 2 / 0.5
    [0.9172]
    """
    spreads = np.hypot([milestone.spread for milestone in clock.milestones], clock.batch_spread)
    share: Floats = ndtr(relative_progress(clock, days_at_optimum, day) / spreads)
    return share
