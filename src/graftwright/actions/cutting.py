"""When scionwood may be cut, from the winters a site has had."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.actions.weather import Missing, hours_and_filled
from graftwright.errors import ContentComplaint
from graftwright.science.cutting import cutting_hours, spread_hours, winters_of
from graftwright.science.frost_levels import day_number, month_day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.series import Record

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
    record: Record,
    need_portions: float,
    budbreak_gdh: float,
    shares: Shares,
    *,
    leaf_fall: str,
    latitude: float | None,
) -> CuttingWindow:
    """Find the window of each winter and spread them."""
    _, hours = hours_and_filled(record, latitude, Missing())
    first_day = day_number(leaf_fall)
    winters = winters_of(hours, month_day(first_day), WINTER_DAYS)
    whole = [winter.celsius for winter in winters if winter.missing == 0]
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


def _days(hours: Sequence[int | None], first_day: int) -> DayRange:
    low, likely, high = (
        None if hour is None else month_day(first_day + hour // 24) for hour in spread_hours(hours)
    )
    return DayRange(low, likely, high)
