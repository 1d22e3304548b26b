"""When scionwood may be cut, from the winters a site has had."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.actions.weather import Missing, filled_hours
from graftwright.errors import ContentComplaint
from graftwright.science.cutting import cutting_hours, spread_hours
from graftwright.science.frost_levels import day_number, month_day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from graftwright.actions.weather_series import Hours, Weather

WINTER_DAYS = 242


class NoWholeWinter(ContentComplaint):
    """The record holds no winter without a gap."""

    def __init__(self, leaf_fall: str) -> None:
        super().__init__(
            f"The file holds no whole winter: {WINTER_DAYS} days from {leaf_fall} on without a long gap.",
            do="Bring a longer record, or name another day with --leaf-fall.",
        )


@dataclass(frozen=True)
class Shares:
    """How much of the chill lets cutting begin, and how much of the forcing ends it."""

    chilled: float
    forced: float


@dataclass(frozen=True)
class DayRange:
    """The 10, 50 and 90 % winter as month and day; None where such a winter never came to it."""

    low: str | None
    likely: str | None
    high: str | None


@dataclass(frozen=True)
class CuttingWindow:
    """Where the window opens and closes, from so many winters."""

    winters: int
    left_out: int
    opens: DayRange
    closes: DayRange


def cutting_window(
    weather: Weather,
    need_portions: float,
    budbreak_gdh: float,
    shares: Shares,
    *,
    leaf_fall: str,
    latitude: float | None,
) -> CuttingWindow:
    """Find the window of each winter and spread them."""
    north = weather.latitude if latitude is None else latitude
    _, hours = filled_hours(weather, north, Missing())
    first_day = day_number(leaf_fall)
    winters = _winters(hours, month_day(first_day))
    whole = [winter for winter in winters if not np.isnan(winter).any()]
    if not whole:
        raise NoWholeWinter(leaf_fall)
    found = [
        cutting_hours(winter, need_portions, shares.chilled, budbreak_gdh, shares.forced) for winter in whole
    ]
    return CuttingWindow(
        len(whole),
        len(winters) - len(whole),
        _days([each.opens for each in found], first_day),
        _days([each.closes for each in found], first_day),
    )


def _winters(hours: Hours, leaf_fall: str) -> list[NDArray[np.float64]]:
    """Cut every winter out that the record spans."""
    found = []
    length = WINTER_DAYS * 24
    first_year = int(str(hours.first)[:4])
    for year in range(first_year, first_year + hours.celsius.size // 8760 + 2):
        start = int((np.datetime64(f"{year}-{leaf_fall}", "h") - hours.first).astype(int))
        if start >= 0 and start + length <= hours.celsius.size:
            found.append(hours.celsius[start : start + length])
    return found


def _days(hours: Sequence[int | None], first_day: int) -> DayRange:
    low, likely, high = (
        None if hour is None else month_day(first_day + hour // 24) for hour in spread_hours(hours)
    )
    return DayRange(low, likely, high)
