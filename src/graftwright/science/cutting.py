"""When a site's winters let scionwood be cut: chilled enough, and not yet forced."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.chill import dynamic_portions, growing_degree_hours
from graftwright.science.limits import check_within
from graftwright.science.series import Hours

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True)
class CuttingHours:
    """Hours of one winter, counted from its first, at which the window opens and closes; None: never."""

    opens: int | None
    closes: int | None


def cutting_hours(
    temperature_c: Floats,
    need_portions: float,
    chilled_share: float,
    budbreak_gdh: float,
    forced_share: float,
) -> CuttingHours:
    """Find the window of one winter.

    Parameters
    ----------
    temperature_c : ndarray
        Hourly temperatures from leaf fall on [°C], shape (n,), -90 to 60.
    need_portions : float
        Chill need of the variety [portions], above 0.
    chilled_share : float
        Share of the need at which the window opens [1], above 0, at most 1.
    budbreak_gdh : float
        Growing-degree hours from the end of chill to bud break [°C h], above 0.
    forced_share : float
        Share of that sum at which the window closes [1], above 0, at most 1.

    Returns
    -------
    CuttingHours
        Both hours; forcing counts from the hour at which the whole need is met.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.
    HourWithoutTemperature
        Where a temperature is missing or out of range.

    Notes
    -----
    Chill by `dynamic_portions`, forcing by `growing_degree_hours`, one after the other: E. Luedeling,
    A. Kunz and M. Blanke (2013), *International Journal of Biometeorology* 57, 679-689, use the same
    sequence. The shares are common practice.

    Examples
    --------
    >>> winter = np.concatenate((np.full(1000, 6.0), np.full(400, 14.5)))
    >>> cutting_hours(winter, 30.0, 0.7, 2100.0, 0.25)
    CuttingHours(opens=617, closes=1044)
    """
    check_within("chill need", need_portions, 0.1, 1000.0, "portions")
    check_within("share of the chill", chilled_share, 0.01, 1.0, "")
    check_within("sum to bud break", budbreak_gdh, 1.0, 100_000.0, "°C h")
    check_within("share of the forcing", forced_share, 0.01, 1.0, "")
    chilled = np.cumsum(dynamic_portions(temperature_c))
    opens, met = (_first(chilled, share * need_portions) for share in (chilled_share, 1.0))
    if met is None:
        return CuttingHours(opens, None)
    forced = np.cumsum(growing_degree_hours(temperature_c[met:]))
    closing = _first(forced, forced_share * budbreak_gdh)
    return CuttingHours(opens, None if closing is None else met + closing)


def winters_of(hours: Hours, leaf_fall: str, days: int) -> list[Hours]:
    """Cut out every winter that a record spans.

    Parameters
    ----------
    hours : Hours
        Hours of some years.
    leaf_fall : str
        Day on which a winter begins, ``MM-DD``, not 29 February.
    days : int
        Length of a winter [d], at least 1.

    Returns
    -------
    list of Hours
        Each winter with its gaps.

    Notes
    -----
    Our own cut.

    Examples
    --------
    >>> record = Hours(np.datetime64("2020-10-01", "h"), np.zeros(24 * 600))
    >>> [str(winter.first) for winter in winters_of(record, "11-01", 120)]
    ['2020-11-01T00', '2021-11-01T00']
    """
    found = []
    first_year = int(str(hours.first)[:4])
    for year in range(first_year, first_year + hours.celsius.size // 8760 + 2):
        first = np.datetime64(f"{year}-{leaf_fall}", "h")
        start = int((first - hours.first).astype(np.int64))
        if start >= 0 and start + days * 24 <= hours.celsius.size:
            found.append(Hours(first, hours.celsius[start : start + days * 24]))
    return found


def spread_hours(hours: Sequence[int | None]) -> tuple[float | None, float | None, float | None]:
    """Return the 10, 50 and 90 % point over the winters.

    Parameters
    ----------
    hours : sequence of int or None
        One hour for each winter [h], None where it never came.

    Returns
    -------
    tuple of float or None
        Quantiles of type 7 [h]; None where one falls among winters in which the hour never came.

    Notes
    -----
    R. J. Hyndman and Y. Fan (1996), *The American Statistician* 50, 361-365.

    Examples
    --------
    >>> spread_hours([10, 20, 30, None])
    (13.0, 25.0, None)
    """
    known = sorted(hour for hour in hours if hour is not None)
    ranked = [*map(float, known), *[float("inf")] * (len(hours) - len(known))]
    low, middle, high = (_at(ranked, share) for share in (0.1, 0.5, 0.9))
    return low, middle, high


def _at(ranked: list[float], share: float) -> float | None:
    rank = share * (len(ranked) - 1)
    below, above = ranked[int(rank)], ranked[-int(-rank // 1)]
    return None if above == float("inf") else below + (rank - int(rank)) * (above - below)


def _first(running: Floats, wanted: float) -> int | None:
    """Return the first hour whose running sum has come to the wanted one."""
    hour = int(np.searchsorted(running, wanted))
    return hour if hour < running.size else None
