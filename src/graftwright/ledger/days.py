"""Bench-local days, and dates that are only partly known.

An entry keeps what was typed ('spring 2023') beside the day it is ordered by. A partial date is a
span; the day is chosen once, as the first of the span on which the entry can stand.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint, as_typed

if TYPE_CHECKING:
    from collections.abc import Iterator

_SEASONS = {"spring": 3, "summer": 6, "autumn": 9, "winter": 12}  # first month in the north
_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NUMBERS = {word: n for n, word in enumerate(_WORDS, start=1)} | {"a": 1, "an": 1}
_SPANS = {"day": 1, "week": 7, "month": 30}
_AGO = re.compile(r"(?:about |some )?([a-z]+|[0-9]{1,3}) (day|week|month)s? ago")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class UnreadableDay(ValueComplaint):
    """A date that cannot be read, or that means two things."""

    key = "day"

    def __init__(self, typed: str, do: str = "") -> None:
        remedy = do or "Type it as 2026-04-10, 2026-04, 'spring 2026', 'yesterday' or '2 weeks ago'."
        super().__init__(f"'{as_typed(typed)}' is not a date I can read.", do=remedy)


class FutureDay(ValueComplaint):
    """Something is said to have happened that has not yet come."""

    key = "day"

    def __init__(self, typed: str, today: date) -> None:
        super().__init__(
            f"{typed} is still to come (today is {today.isoformat()}).",
            do="A ledger holds what has happened: type the day it was done.",
        )


@dataclass(frozen=True)
class Happened:
    """When something happened: as typed, and the span of days it can mean."""

    typed: str
    first: date
    last: date
    partial: bool = False  # the day itself is not known

    @property
    def has_time(self) -> bool:
        """Whether a time of day was typed; it is shown but does not order."""
        return len(self.typed) > 10 and _DAY.match(self.typed) is not None

    def days(self) -> Iterator[str]:
        """Every day it can mean, first to last."""
        for ahead in range((self.last - self.first).days + 1):
            yield (self.first + timedelta(days=ahead)).isoformat()


def read_happened(typed: str, today: date, *, southern: bool = False) -> Happened:
    """Read what a person typed as a date, a moment, a month, a season, a year or 'about two weeks ago'."""
    text = " ".join(typed.strip().lower().split())
    first, last = _span(text, typed.strip(), today, southern=southern)
    if first > today:
        raise FutureDay(typed.strip(), today)
    return Happened(typed.strip(), first, min(last, today), partial=first != last)


def _span(text: str, typed: str, today: date, *, southern: bool) -> tuple[date, date]:
    if text in {"today", "now", ""}:
        return today, today
    if text == "yesterday":
        day = today - timedelta(days=1)
        return day, day
    if ago := _AGO.fullmatch(text):
        return _ago(ago, typed, today)
    if _DAY.fullmatch(text[:10]) and text[10:11] in {"", "t", " "}:
        return _exact(text, typed)
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}", text):
        return _months(typed, int(text[:4]), int(text[5:]), 1)
    if re.fullmatch(r"[0-9]{4}", text):
        return _months(typed, int(text), 1, 12)
    return _season(text, typed, southern=southern)


def _ago(ago: re.Match[str], typed: str, today: date) -> tuple[date, date]:
    count = _NUMBERS.get(ago[1]) or (int(ago[1]) if ago[1].isdecimal() else 0)
    if not count:
        raise UnreadableDay(typed)
    day = today - timedelta(days=count * _SPANS[ago[2]])
    return day, day


def _exact(text: str, typed: str) -> tuple[date, date]:
    try:
        day = datetime.fromisoformat(text.upper()).date() if len(text) > 10 else date.fromisoformat(text)
    except ValueError:
        raise UnreadableDay(typed) from None
    return day, day


def _season(text: str, typed: str, *, southern: bool) -> tuple[date, date]:
    season = re.fullmatch(r"(spring|summer|autumn|winter) ([0-9]{4})(?:[/-]([0-9]{2}|[0-9]{4}))?", text)
    if not season:
        raise UnreadableDay(typed)
    year, next_year = int(season[2]), season[3]
    month = (_SEASONS[season[1]] + (6 if southern else 0) - 1) % 12 + 1
    if (month == 12) != bool(next_year) or (next_year and int(next_year) % 100 != (year + 1) % 100):
        example = f"{season[1]} {year}/{(year + 1) % 100:02d}" if month == 12 else f"{season[1]} {year}"
        raise UnreadableDay(typed, f"Type '{example}' or a month.")
    return _months(typed, year, month, 3)


def _months(typed: str, year: int, month: int, count: int) -> tuple[date, date]:
    try:
        first = date(year, month, 1)
        end = year * 12 + month - 1 + count
        return first, date(end // 12, end % 12 + 1, 1) - timedelta(days=1)
    except ValueError:
        raise UnreadableDay(typed) from None


def read_day(typed: str) -> date:
    """Read one exact day, past or to come."""
    if _DAY.fullmatch(typed.strip()):
        with suppress(ValueError):
            return date.fromisoformat(typed.strip())
    raise UnreadableDay(typed, "Type it as 2026-04-10.")
