"""Rows in rising time, each time once; days laid out without a gap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.adapters.files.complaints import ReadingsDiffer, SpanTooLong
from graftwright.science.series import Days

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from graftwright.science.series import Record

    Seconds = NDArray[np.int64]
    Floats = NDArray[np.float64]

STUCK_HOURS = 48
LONGEST_SPAN_S = 300 * 366 * 86_400


@dataclass(frozen=True)
class WeatherFile:
    """What a file holds, how it was understood, and the latitude where it says so."""

    record: Record
    notes: tuple[str, ...]
    latitude: float | None = None


def in_order(seconds: Seconds, celsius: Floats, lines: Sequence[int]) -> tuple[Seconds, Floats, int]:
    """Sort by time and drop what stands there twice; two values for one time are refused."""
    _check_span(seconds, lines)
    if (np.diff(seconds) > 0).all():
        return seconds, celsius, 0
    order = np.argsort(seconds, kind="stable")
    seconds, celsius = seconds[order], celsius[order]
    same = np.flatnonzero(np.diff(seconds) == 0)
    keep = np.ones(seconds.size, dtype=bool)
    for row in same.tolist():
        one, other = celsius[row], celsius[row + 1]
        if one != other and not np.isnan(one) and not np.isnan(other):
            time = str(seconds[row].astype("datetime64[s]")).replace("T", " ")[:16]
            raise ReadingsDiffer(time, lines[order[row]], lines[order[row + 1]])
        keep[row] = False
        celsius[row + 1] = one if np.isnan(other) else other
    return seconds[keep], celsius[keep], same.size


def _check_span(seconds: Seconds, lines: Sequence[int]) -> None:
    """Refuse a file in which one mistyped year would make centuries of missing hours."""
    early, late = int(np.argmin(seconds)), int(np.argmax(seconds))
    if seconds[late] - seconds[early] > LONGEST_SPAN_S:
        first, last = (str(seconds[row].astype("datetime64[s]"))[:10] for row in (early, late))
        raise SpanTooLong(first, last, (lines[early], lines[late]))


def days_between(day: Seconds, tmin: Floats, tmax: Floats) -> Days:
    """Fill a day with NaN wherever the record has none."""
    place = day - day[0]
    low, high = (np.full(int(place[-1]) + 1, np.nan) for _ in range(2))
    low[place], high[place] = tmin, tmax
    return Days(np.datetime64(int(day[0]), "D"), low, high)


def stuck_notes(seconds: Seconds, celsius: Floats) -> list[str]:
    """Point at a thermometer that shows one figure for two days on end."""
    edges = np.flatnonzero(np.concatenate(([True], celsius[1:] != celsius[:-1], [True])))
    lasting = (seconds[edges[1:] - 1] - seconds[edges[:-1]]) / 3600
    longest = int(np.argmax(lasting))
    if lasting[longest] < STUCK_HOURS:
        return []
    row = int(edges[longest])
    since = str(seconds[row].astype("datetime64[s]")).replace("T", " ")[:16]
    return [
        f"{celsius[row]:g} °C stands there for {lasting[longest]:.0f} h from {since} on: is the sensor stuck?"
    ]
