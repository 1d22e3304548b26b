"""Temperatures in order: as a thermometer gave them, by whole hours, by whole days.

Times are local standard time without a zone; hours and days that are not there hold NaN.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.gaps import bridged, gaps
from graftwright.science.hourly import hours_from_extremes

if TYPE_CHECKING:
    from datetime import date

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Window = tuple[date | None, date | None]

LEAST_HOURS_A_DAY = 20


@dataclass(frozen=True)
class Readings:
    """Readings of one thermometer [°C] in rising time, at least one of them known."""

    times: NDArray[np.datetime64]
    celsius: Floats

    @property
    def span(self) -> tuple[str, str]:
        """First and last day."""
        return str(self.times[0])[:10], str(self.times[-1])[:10]


@dataclass(frozen=True)
class Gap:
    """A run of missing hours: when it starts, how long it is [h], and whether it lies at an end."""

    start: str
    hours: int
    at_end: bool


@dataclass(frozen=True)
class Hours:
    """One temperature [°C] for each hour from `first` on."""

    first: np.datetime64
    celsius: Floats

    @property
    def known(self) -> Floats:
        """The temperatures that are there."""
        return self.celsius[~np.isnan(self.celsius)]

    @property
    def missing(self) -> int:
        """How many are not."""
        return int(np.isnan(self.celsius).sum())

    def longest_gap(self) -> Gap | None:
        """Return the longest run of missing hours, the first of equals."""
        found = gaps(self.celsius)
        if not found:
            return None
        start, length = max(found, key=lambda gap: gap[1])
        time = str((self.first + start).astype("datetime64[m]")).replace("T", " ")
        return Gap(time, length, start == 0 or start + length == self.celsius.size)

    def within(self, window: Window) -> Hours:
        """Cut to whole days, both ends in it; where the record is shorter, hours are missing."""
        first = self.first if window[0] is None else np.datetime64(window[0], "h")
        end = self.first + self.celsius.size if window[1] is None else np.datetime64(window[1], "h") + 24
        celsius = np.full(max(_steps(first, end), 0), np.nan)
        shift = _steps(first, self.first)
        piece = self.celsius[max(-shift, 0) : max(celsius.size - shift, 0)]
        celsius[max(shift, 0) : max(shift, 0) + piece.size] = piece
        return Hours(first, celsius)


@dataclass(frozen=True)
class Days:
    """The lowest and highest temperature [°C] of each day from `first` on."""

    first: np.datetime64
    tmin_c: Floats
    tmax_c: Floats

    @property
    def dates(self) -> NDArray[np.datetime64]:
        """The date of each day."""
        return self.first + np.arange(self.tmin_c.size)

    @property
    def span(self) -> tuple[str, str]:
        """First and last day."""
        return str(self.first), str(self.first + self.tmin_c.size - 1)

    @property
    def lacks(self) -> str | None:
        """Which of the two extremes no day has; None if both are there."""
        if np.isnan(self.tmin_c).all():
            return "lowest"
        return "highest" if np.isnan(self.tmax_c).all() else None

    @property
    def whole(self) -> tuple[Floats, Floats]:
        """Both extremes of the days that have both."""
        known = ~(np.isnan(self.tmin_c) | np.isnan(self.tmax_c))
        return self.tmin_c[known], self.tmax_c[known]

    def within(self, window: Window) -> Days:
        """Cut to the days of a window, both ends in it, as far as the record goes."""
        first, last = (None if day is None else np.datetime64(day, "D") for day in window)
        dates = self.dates
        inside = np.ones(dates.size, dtype=bool)
        if first is not None:
            inside &= dates >= first
        if last is not None:
            inside &= dates <= last
        start = dates[inside][0] if inside.any() else self.first
        return Days(start, self.tmin_c[inside], self.tmax_c[inside])


Record = Readings | Days


def hours_of(readings: Readings) -> Hours:
    """Average the readings of each hour.

    Parameters
    ----------
    readings : Readings
        Readings in rising time.

    Returns
    -------
    Hours
        From the first hour to the last [°C].

    Notes
    -----
    An hour holds the readings from its beginning to before the next.

    Examples
    --------
    >>> times = np.array(["2024-01-01T10:15", "2024-01-01T10:45", "2024-01-01T12:00"], "datetime64[s]")
    >>> hours_of(Readings(times, np.array([4.0, 6.0, 8.0]))).celsius.tolist()
    [5.0, nan, 8.0]
    """
    hour = readings.times.astype("datetime64[h]").astype(np.int64)
    known = ~np.isnan(readings.celsius)
    place = (hour - hour[0])[known]
    count = np.bincount(place, minlength=int(hour[-1] - hour[0]) + 1)
    total = np.bincount(place, weights=readings.celsius[known], minlength=count.size)
    celsius = np.divide(total, count, out=np.full(count.size, np.nan), where=count > 0)
    return Hours(np.datetime64(int(hour[0]), "h"), celsius)


def days_of(record: Record) -> Days:
    """Find the extremes of each day.

    Parameters
    ----------
    record : Readings or Days
        Days are given back as they are.

    Returns
    -------
    Days
        Extremes of the hourly means [°C]; a day with fewer than 20 hours is missing.

    Notes
    -----
    The 20 hours are our own rule.

    Examples
    --------
    >>> times = np.arange("2024-01-01T00", "2024-01-02T06", dtype="datetime64[h]")
    >>> days = days_of(Readings(times, np.arange(30.0)))
    >>> days.tmin_c.tolist(), days.tmax_c.tolist()
    ([0.0, nan], [23.0, nan])
    """
    if isinstance(record, Days):
        return record
    hours = hours_of(record)
    first = hours.first.astype("datetime64[D]")
    before = _steps(first.astype("datetime64[h]"), hours.first)
    after = -(before + hours.celsius.size) % 24
    grid = np.pad(hours.celsius, (before, after), constant_values=np.nan).reshape(-1, 24)
    whole = (~np.isnan(grid)).sum(axis=1) >= LEAST_HOURS_A_DAY
    low = np.where(whole, np.fmin.reduce(grid, axis=1), np.nan)
    high = np.where(whole, np.fmax.reduce(grid, axis=1), np.nan)
    return Days(first, low, high)


def bridged_hours(hours: Hours, longest_h: int) -> Hours:
    """Draw a straight line over short gaps.

    Parameters
    ----------
    hours : Hours
        Hours, NaN where missing.
    longest_h : int
        Longest gap to bridge [h], at least 0.

    Returns
    -------
    Hours
        Longer gaps and those at the ends stay.

    Notes
    -----
    As `bridged`.

    Examples
    --------
    >>> bridged_hours(Hours(np.datetime64("2024-01-01", "h"), np.array([1.0, np.nan, 3.0])), 3).celsius.tolist()
    [1.0, 2.0, 3.0]
    """
    return Hours(hours.first, bridged(hours.celsius, longest_h))


def rebuilt_hours(days: Days, latitude: float, longest_days: int = 0) -> Hours:
    """Rebuild the hours of days from their extremes.

    Parameters
    ----------
    days : Days
        Extremes, NaN where missing.
    latitude : float
        Latitude [°], -65 to 65.
    longest_days : int
        Longest gap to bridge in the extremes first [d], at least 0.

    Returns
    -------
    Hours
        24 for each day [°C]; NaN on days that stay missing.

    Raises
    ------
    OutOfRange
        Where the latitude lies outside its range.

    Notes
    -----
    As `hours_from_extremes`; nights use the neighbouring days of the record.

    Examples
    --------
    >>> days = Days(np.datetime64("2024-03-20"), np.array([5.0]), np.array([15.0]))
    >>> rebuilt_hours(days, 50.0).celsius.size
    24
    """
    low, high = (bridged(extreme, longest_days) for extreme in (days.tmin_c, days.tmax_c))
    dates = days.dates
    numbers = (dates - dates.astype("datetime64[Y]")).astype(int) + 1
    return Hours(
        days.first.astype("datetime64[h]"), hours_from_extremes(low, high, numbers, latitude).ravel()
    )


def _steps(first: np.datetime64, last: np.datetime64) -> int:
    return int((last - first).astype(np.int64))
