"""From times as written to standard time: UTC offsets, time zones, clocks that leap."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from graftwright.adapters.files.complaints import TimeNeverWas, UnknownZone

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Seconds = NDArray[np.int64]

DAY_S = 86_400


def zone_named(name: str) -> ZoneInfo:
    """Find a time zone."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as trouble:
        raise UnknownZone(name) from trouble


def from_offsets(seconds: Seconds, offsets_s: Seconds, zone: ZoneInfo | None) -> Seconds:
    """Bring times with offsets to one: the zone's standard time, else the smallest offset written."""
    utc = seconds - offsets_s
    if utc.size == 0:
        return utc
    return utc + (_standard_s(zone, int(utc[0])) if zone else int(offsets_s.min()))


def from_clock(seconds: Seconds, zone: ZoneInfo, lines: Sequence[int]) -> Seconds:
    """Bring the zone's clock to its standard time; where clocks went back the order of rows decides."""
    result = seconds.copy()
    days = seconds // DAY_S
    leaping: dict[int, bool] = {}
    for day in np.unique(days).tolist():
        early, late = (_offset_s(zone, (day + more) * DAY_S, 0) for more in (0, 1))
        leaping[day] = early != late
        if not leaping[day]:
            result[days == day] -= early
    rows = [row for row, day in enumerate(days.tolist()) if leaping[day]] if any(leaping.values()) else []
    for row in rows:
        before = int(result[row - 1]) if row else None
        result[row] = _utc_s(int(seconds[row]), zone, before, lines[row])
    return result + _standard_s(zone, int(seconds[0])) if seconds.size else result


def _utc_s(local_s: int, zone: ZoneInfo, before: int | None, line: int) -> int:
    first, second = (local_s - _offset_s(zone, local_s, fold) for fold in (0, 1))
    if first + _offset_at(zone, first) != local_s:
        shown = _clock(local_s).strftime("%Y-%m-%d %H:%M")
        raise TimeNeverWas(shown, zone.key, line)
    return second if before is not None and first <= before else first


def _offset_s(zone: ZoneInfo, local_s: int, fold: int) -> int:
    offset = zone.utcoffset(_clock(local_s).replace(fold=fold))
    return int(offset.total_seconds()) if offset else 0


def _offset_at(zone: ZoneInfo, utc_s: int) -> int:
    offset = datetime.fromtimestamp(utc_s, UTC).astimezone(zone).utcoffset()
    return int(offset.total_seconds()) if offset else 0


def _standard_s(zone: ZoneInfo, near_s: int) -> int:
    """Return the smaller of the offsets of January and July."""
    year = _clock(near_s).year
    offsets = (zone.utcoffset(datetime(year, month, 1)) for month in (1, 7))  # noqa: DTZ001
    return min(int(offset.total_seconds()) for offset in offsets if offset is not None)


def _clock(local_s: int) -> datetime:
    return datetime(1970, 1, 1) + timedelta(seconds=local_s)  # noqa: DTZ001
