"""How pages say days and windows: one place, so that no page says them in a way of its own."""

from __future__ import annotations

import re
from datetime import date

_DAY = re.compile(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b")

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


# what a milestone is called on a ribbon; its own name where nothing shorter is clearer
MILESTONES = {
    "swollen": "buds swollen",
    "leafing": "first leaves",
    "weaning": "ready to wean",
    "potted": "ready to pot",
    "hardening": "out to harden",
    "planted": "ready to plant out",
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


def long_day(day: date, today: date) -> str:
    """Return '14 April', with the year where it is another than today's."""
    return day_words(day) + (f" {day.year}" if day.year != today.year else "")


def day_by_day(sentence: str, today: date) -> str:
    """Write the dates in a sentence as people say them."""
    return _DAY.sub(lambda found: _said(found[0], today), sentence)


def _said(text: str, today: date) -> str:
    try:
        return long_day(date.fromisoformat(text), today)
    except ValueError:  # somebody's own words that only look like a date
        return text


def capital(words: str) -> str:
    """Begin with a capital letter."""
    return words[:1].upper() + words[1:]


def many(count: int, word: str) -> str:
    """Return '1 bag' or '3 bags'."""
    return f"{count} {word}" if count == 1 else f"{count} {word}{'es' if word.endswith('x') else 's'}"
