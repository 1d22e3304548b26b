"""Dates and times as exporters write them: the order of day, month and year is found, never guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal

import numpy as np

from graftwright.adapters.files.complaints import DateDoubtful, NotATime, TimeWithoutOffset

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

Order = Literal["ymd", "dmy", "mdy"]
ORDERS: tuple[Order, ...] = ("ymd", "dmy", "mdy")
FIRST_SHORT_YEAR = 1970
DAY_S = 86_400

_STAMP = re.compile(
    r"\s*(?P<date>\d{1,4}([-/.])\d{1,2}\2\d{1,4}|\d{8})"
    r"(?:[T\s,]\s*(?P<clock>\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?)\s*(?P<half>[AaPp]\.?\s?[Mm]\.?)?"
    r"\s*(?P<zone>Z|UTC|GMT|[+-]\d{2}(?::?\d{2})?)?)?\s*"
)
_CLOCK = re.compile(r"(\d{1,2})(?::(\d{2})(?::(\d{2})(?:[.,]\d+)?)?)?")


@dataclass(frozen=True)
class Stamps:
    """Seconds since 1970 as written, UTC offsets where written, whether times of day were written."""

    seconds: NDArray[np.int64]
    offsets_s: NDArray[np.int64] | None
    with_clock: bool
    order: Order


def read_stamps(texts: list[str], lines: list[int], order: Order | None) -> Stamps:
    """Read a column of stamps."""
    found = []
    for text, line in zip(texts, lines, strict=True):
        match = _STAMP.fullmatch(text)
        if match is None:
            raise NotATime(text.strip(), line)
        found.append(match.group("date", "clock", "half", "zone"))
    chosen = order_of(((parts[0], line) for parts, line in zip(found, lines, strict=True)), order)
    days = {text: _day(text, chosen) for text in {parts[0] for parts in found}}
    clocks = {pair: _clock_s(*pair) for pair in {(clock, half) for _, clock, half, _ in found}}
    seconds = np.empty(len(found), dtype=np.int64)
    for row, (text, clock, half, _) in enumerate(found):
        day, since_midnight = days[text], clocks[clock, half]
        if day is None or since_midnight is None:
            raise NotATime(texts[row].strip(), lines[row])
        seconds[row] = day * DAY_S + since_midnight
    zones = [zone for _, _, _, zone in found]
    with_clock = any(clock for _, clock, _, _ in found)
    return Stamps(seconds, _offsets(zones, texts, lines), with_clock, chosen)


def order_of(dates: Iterable[tuple[str, int]], order: Order | None) -> Order:
    """Find the only order in which every date of the file exists; ask where two are left."""
    first: dict[str, int] = {}
    for text, line in dates:
        first.setdefault(text, line)
    left = [order] if order else list(ORDERS)
    for text, line in first.items():
        possible = [each for each in left if _day(text, each) is not None]
        if not possible:
            raise NotATime(text, line)
        left = possible
    if len(left) > 1:
        text, line = next(iter(first.items()))
        raise DateDoubtful(text, line, list(left))
    return left[0]


def _day(text: str, order: Order) -> int | None:
    """Days since 1970, or None where the text is no date in this order."""
    parts = re.split(r"[-/.]", text) if len(text) != 8 or not text.isdigit() else _compact(text)
    if len(parts[0]) > 2 and order != "ymd":
        return None
    if len(parts[0]) <= 2 and order == "ymd" and len(parts[2]) > 2:
        return None
    places = {name: int(part) for name, part in zip(order, parts, strict=True)}
    year = places["y"]
    if len(parts[order.index("y")]) <= 2:
        year += 1900 if year >= FIRST_SHORT_YEAR % 100 else 2000
    try:
        return date(year, places["m"], places["d"]).toordinal() - date(1970, 1, 1).toordinal()
    except ValueError:
        return None


def _compact(text: str) -> list[str]:
    return [text[:4], text[4:6], text[6:]]


def _clock_s(clock: str | None, half: str | None) -> int | None:
    """Seconds since midnight, or None; 24:00 ends the day."""
    if clock is None:
        return 0
    match = _CLOCK.fullmatch(clock)
    if match is None:
        return None
    hour, minute, second = (int(part or 0) for part in match.groups())
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half[0] in "Pp" else 0)
    total = hour * 3600 + minute * 60 + second
    return total if minute < 60 and second < 60 and total <= DAY_S else None


def _offsets(zones: list[str | None], texts: list[str], lines: list[int]) -> NDArray[np.int64] | None:
    known = {zone: _offset_s(zone) for zone in set(zones) if zone is not None}
    if not known:
        return None
    for row, zone in enumerate(zones):
        if zone is None:
            raise TimeWithoutOffset(texts[row].strip(), lines[row])
    return np.array([known[zone] for zone in zones if zone is not None], dtype=np.int64)


def _offset_s(zone: str) -> int:
    if zone in {"Z", "UTC", "GMT"}:
        return 0
    digits = zone[1:].replace(":", "").ljust(4, "0")
    return (-1 if zone[0] == "-" else 1) * (int(digits[:2]) * 3600 + int(digits[2:]) * 60)
