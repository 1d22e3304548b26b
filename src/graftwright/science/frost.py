"""The last frost of spring and the first of autumn, as chances from a record of years.

Days are days of a 365-day year; 29 February shares the number of the 28th. A spring looks back to 1
August, so its days before 1 January count 0, -1 and so on; an autumn looks on to 31 January, whose
days count 366 and so on. South of the equator every date moves by six months.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from graftwright.errors import ValueComplaint
from graftwright.science.limits import check_within

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]

Season = Literal["spring", "autumn"]

YEAR = 365
FIRST_OF_AUGUST = 213
LAST_OF_JUNE = 181
LAST_OF_JANUARY = 31
MOST_MISSING_DAYS = 5
MONTH_STARTS = np.array([0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334])


class NoWholeSeason(ValueComplaint):
    """The record holds no season that is complete enough to count."""

    def __init__(self, season: Season) -> None:
        span = "1 January to 30 June" if season == "spring" else "1 August to 31 December"
        super().__init__(
            f"No {season} of the record is complete: {span} may lack {MOST_MISSING_DAYS} days at most "
            "(south of the equator half a year later).",
            do="Bring a longer record.",
        )


@dataclass(frozen=True)
class FrostLaw:
    """A share of years with frost and, for those, a normal law of its day.

    `days` holds the day of each counted year, NaN where it had no frost; `mean_day` and `sd_days`
    are None where too few years had any.
    """

    season: Season
    days: tuple[float, ...]
    share: float
    mean_day: float | None
    sd_days: float | None


def threshold_used_c(threshold_c: float) -> float:
    """Round a threshold as records are rounded, to 0.1 °C.

    Parameters
    ----------
    threshold_c : float
        Threshold [°C], -60 to 30.

    Returns
    -------
    float
        The threshold that is compared with the record [°C].

    Raises
    ------
    OutOfRange
        Where the threshold lies outside its range.

    Notes
    -----
    Records are stored in tenths of a degree Celsius, so 24 °F stands there as -4.4 and not as
    -4.444: *GHCN-Daily* read-me, NOAA National Centers for Environmental Information.

    Examples
    --------
    >>> threshold_used_c(-4.444), threshold_used_c((36 - 32) / 1.8)
    (-4.4, 2.2)
    """
    check_within("threshold", threshold_c, -60.0, 30.0, "°C")
    return round(threshold_c, 1)


def frost_law(
    days: ArrayLike, tmin_c: ArrayLike, threshold_c: float, season: Season, *, south: bool = False
) -> FrostLaw:
    """Fit the day of a season's last or first frost.

    Parameters
    ----------
    days : array_like
        Dates, datetime64[D], shape (n,), in any order.
    tmin_c : array_like
        Lowest temperature of each day [°C], shape (n,); NaN where missing.
    threshold_c : float
        Frost is a lowest temperature at or below this [°C], -60 to 30; both are rounded to 0.1.
    season : str
        ``"spring"`` for the last frost or ``"autumn"`` for the first.
    south : bool
        Whether the place lies south of the equator.

    Returns
    -------
    FrostLaw
        The counted years and their law.

    Raises
    ------
    OutOfRange
        Where the threshold lies outside its range.
    NoWholeSeason
        Where no year of the record counts.

    Notes
    -----
    A normal law of the dates with a share of years without any: H. C. S. Thom and R. H. Shaw (1958),
    *Monthly Weather Review* 86, 249-257. A spring counts when 1 January to 30 June lacks at most
    five days, an autumn when 1 August to 31 December does.

    Examples
    --------
    >>> days = np.arange("2021-01-01", "2023-01-01", dtype="datetime64[D]")
    >>> tmin = np.where((days == np.datetime64("2021-04-10")) | (days == np.datetime64("2022-04-20")), -1, 9)
    >>> law = frost_law(days, tmin, 0.0, "spring")
    >>> law.share, law.mean_day, round(law.sd_days, 2)
    (1.0, 105.0, 7.07)
    """
    tenths = np.rint(np.asarray(tmin_c, dtype=np.float64) * 10)
    grid = _grid(np.asarray(days, dtype="datetime64[D]"), tenths, south=south)
    limit = round(threshold_used_c(threshold_c) * 10)
    found = _last_of_spring(grid, limit) if season == "spring" else _first_of_autumn(grid, limit)
    if found.size == 0:
        raise NoWholeSeason(season)
    return law_of(season, found)


def law_of(season: Season, days: Floats) -> FrostLaw:
    """Make the law of the frost days of some years.

    Parameters
    ----------
    season : str
        ``"spring"`` or ``"autumn"``.
    days : ndarray
        Day of each year's frost [d], shape (years,), years >= 1; NaN for a year without.

    Returns
    -------
    FrostLaw
        Share of years with frost, mean and sample standard deviation of their days.

    Notes
    -----
    As `frost_law`.

    Examples
    --------
    >>> law = law_of("spring", np.array([100.0, 110.0, np.nan]))
    >>> round(law.share, 3), law.mean_day, round(law.sd_days, 2)
    (0.667, 105.0, 7.07)
    """
    frosty = days[~np.isnan(days)]
    mean = float(frosty.mean()) if frosty.size else None
    sd = float(frosty.std(ddof=1)) if frosty.size > 1 else None
    return FrostLaw(season, tuple(days.tolist()), frosty.size / days.size, mean, sd)


def _grid(days: NDArray[np.datetime64], tenths: Floats, *, south: bool) -> Floats:
    """Lay the record out with a row for each year and a column for each of its 365 days."""
    years = days.astype("datetime64[Y]").astype(int) + 1970
    month = days.astype("datetime64[M]").astype(int) % 12
    in_month = (days - days.astype("datetime64[M]")).astype(int)
    column = MONTH_STARTS[month] + in_month - ((month == 1) & (in_month == 28))
    if south:
        years = years - (column < LAST_OF_JUNE)
        column = (column - LAST_OF_JUNE) % YEAR
    first = int(years.min()) - 1 if years.size else 0
    grid = np.full((int(years.max()) - first + 2 if years.size else 0, YEAR), np.nan)
    np.fmin.at(grid, (years - first, column), tenths)
    return grid


def _last_of_spring(grid: Floats, limit: int) -> Floats:
    counted = (~np.isnan(grid[1:, :LAST_OF_JUNE])).sum(axis=1) >= LAST_OF_JUNE - MOST_MISSING_DAYS
    start = FIRST_OF_AUGUST - 1
    rows = np.hstack([grid[:-1, start:], grid[1:, :start]])
    numbers = np.arange(FIRST_OF_AUGUST - YEAR, FIRST_OF_AUGUST)
    last: Floats = np.where(rows <= limit, numbers, -np.inf).max(axis=1)[counted]
    last[np.isinf(last)] = np.nan
    return last


def _first_of_autumn(grid: Floats, limit: int) -> Floats:
    start = FIRST_OF_AUGUST - 1
    present = (~np.isnan(grid[:-1, start:])).sum(axis=1)
    counted = present >= YEAR - start - MOST_MISSING_DAYS
    rows = np.hstack([grid[:-1, start:], grid[1:, :LAST_OF_JANUARY]])
    numbers = np.arange(FIRST_OF_AUGUST, YEAR + LAST_OF_JANUARY + 1)
    first: Floats = np.where(rows <= limit, numbers, np.inf).min(axis=1)[counted]
    first[np.isinf(first)] = np.nan
    return first
