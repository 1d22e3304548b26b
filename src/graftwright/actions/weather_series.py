"""Temperatures as a file gives them, and as sums and chances need them: whole hours, whole days.

Times are local standard time without a zone; hours and days that are not there hold NaN.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEAST_HOURS_A_DAY = 20


@dataclass(frozen=True)
class Readings:
    """Readings of one thermometer in rising time, and what was noticed while reading them."""

    times: NDArray[np.datetime64]
    celsius: Floats
    notes: tuple[str, ...] = ()
    latitude: float | None = None


@dataclass(frozen=True)
class Hours:
    """One temperature for each hour from `first` on."""

    first: np.datetime64
    celsius: Floats


@dataclass(frozen=True)
class Days:
    """The lowest and highest temperature of each day from `first` on."""

    first: np.datetime64
    tmin_c: Floats
    tmax_c: Floats
    notes: tuple[str, ...] = ()
    latitude: float | None = None

    @property
    def dates(self) -> NDArray[np.datetime64]:
        """The date of each day."""
        return self.first + np.arange(self.tmin_c.size)


Weather = Readings | Days


def hours_of(readings: Readings) -> Hours:
    """Average the readings of each hour."""
    hour = readings.times.astype("datetime64[h]").astype(np.int64)
    known = ~np.isnan(readings.celsius)
    place = (hour - hour[0])[known]
    count = np.bincount(place, minlength=int(hour[-1] - hour[0]) + 1)
    total = np.bincount(place, weights=readings.celsius[known], minlength=count.size)
    celsius = np.divide(total, count, out=np.full(count.size, np.nan), where=count > 0)
    return Hours(np.datetime64(int(hour[0]), "h"), celsius)


def days_of(weather: Weather) -> Days:
    """Find the extremes of each day; a day with fewer than 20 hours is missing."""
    if isinstance(weather, Days):
        return weather
    hours = hours_of(weather)
    first = hours.first.astype("datetime64[D]")
    before = int((hours.first - first).astype(np.int64))
    after = -(before + hours.celsius.size) % 24
    grid = np.pad(hours.celsius, (before, after), constant_values=np.nan).reshape(-1, 24)
    whole = (~np.isnan(grid)).sum(axis=1) >= LEAST_HOURS_A_DAY
    low = np.where(whole, np.fmin.reduce(grid, axis=1), np.nan)
    high = np.where(whole, np.fmax.reduce(grid, axis=1), np.nan)
    return Days(first, low, high, weather.notes, weather.latitude)
