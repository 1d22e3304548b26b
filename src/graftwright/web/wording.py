"""How pages say days and windows: one place, so that no page says them in a way of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


# how far to trust a figure of the handbook, in words a grower would use
GRADES = {
    "measured": "measured",
    "review": "reviewed",
    "practice": "practice",
    "memory": "from memory",
    "assumed": "first guess",
    "own": "yours",
}


def month_words(day: date) -> str:
    return MONTHS[day.month - 1]


def weekday_words(day: date) -> str:
    return WEEKDAYS[day.weekday()]


def day_words(day: date) -> str:
    """Return '14 April'."""
    return f"{day.day} {month_words(day)}"


def short_day(day: date, today: date | None = None) -> str:
    """Return '14 Apr', for margins and charts; with `today` another year than its own is said."""
    year = f" {day.year}" if today and day.year != today.year else ""
    return f"{day.day} {month_words(day)[:3]}{year}"


def week_day(day: date) -> str:
    """Return 'Tue 14 April': a grower thinks of a coming day by its weekday first."""
    return f"{weekday_words(day)[:3]} {day_words(day)}"


def full_day(day: date) -> str:
    """Return 'Tuesday 14 April 2026'."""
    return f"{weekday_words(day)} {day_words(day)} {day.year}"


_TO = "\N{EN DASH}"


def span_words(first: date, last: date) -> str:
    """Return '3-11 April' or '28 April - 6 May', with a longer dash."""
    if first == last:
        return day_words(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}{_TO}{day_words(last)}"
    years = (f" {first.year}", f" {last.year}") if (last - first).days > 300 else ("", "")
    return f"{day_words(first)}{years[0]} {_TO} {day_words(last)}{years[1]}"


def window_words(earliest: date, likely: date, latest: date) -> str:
    """Return '3-11 April, likely Tue 7 April'."""
    return f"{span_words(earliest, latest)}, likely {week_day(likely)}"
