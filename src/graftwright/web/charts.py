"""What a ribbon shows: windows of growth along the days, what was seen, and all of it as a table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.web.wording import short_day, span_words, week_day, window_words

if TYPE_CHECKING:
    from datetime import date

PLANTS = ("first plant", "10 % plant", "50 % plant", "90 % plant")


@dataclass(frozen=True)
class Span:
    """How surely the day of one plant is known."""

    earliest: date
    likely: date
    latest: date


@dataclass(frozen=True)
class Milestone:
    """One row: the window of the 10, 50 and 90 % plant, and the day it was seen reached.

    `first`, `tenth`, `half` and `ninetieth` say how surely the day of that plant is known; the
    table and the thin line show them where they are given.
    """

    name: str
    earliest: date
    likely: date
    latest: date
    seen: date | None = None
    first: Span | None = None
    tenth: Span | None = None
    half: Span | None = None
    ninetieth: Span | None = None

    @property
    def plants(self) -> tuple[tuple[str, Span], ...]:
        """Return the spans that were given, with the words of their column."""
        spans = zip(PLANTS, (self.first, self.tenth, self.half, self.ninetieth), strict=True)
        return tuple((words, span) for words, span in spans if span is not None)


@dataclass(frozen=True)
class Check:
    """One check: its day and what was seen, in words."""

    day: date
    words: str


@dataclass(frozen=True)
class Away:
    """Days on which nobody is at the bench, both included."""

    first: date
    last: date


@dataclass(frozen=True)
class Ribbon:
    """What one ribbon shows; `key` is the code of its batch or plant and names its parts."""

    key: str
    title: str
    start: date
    start_words: str
    today: date
    milestones: tuple[Milestone, ...]
    checks: tuple[Check, ...] = ()
    away: tuple[Away, ...] = ()


def described(of: Ribbon) -> str:
    """Say in sentences what the drawing shows, for those who do not see it."""
    said = [f"{of.start_words} {short_day(of.start, of.today)}."]
    said += [f"{row.name}: {row_words(row, of.today)}." for row in of.milestones]
    said += [
        f"Check {n}, {short_day(check.day, of.today)}: {check.words}." for n, check in enumerate(of.checks, 1)
    ]
    said += [f"Away {span_words(gone.first, gone.last)}." for gone in of.away]
    return " ".join([*said, f"Today is {week_day(of.today)}."])


def row_words(row: Milestone, today: date) -> str:
    if row.seen:
        return f"seen {short_day(row.seen, today)}"
    return window_words(row.earliest, row.likely, row.latest)


def ribbon_columns(of: Ribbon) -> tuple[str, ...]:
    """Return the heads of the table below a ribbon: only columns that some row fills."""
    known = {words for row in of.milestones for words, _ in row.plants}
    extra = tuple(words for words in PLANTS if words in known)
    return ("milestone", "earliest", "likely", "latest", "seen", *extra)


def ribbon_rows(of: Ribbon) -> tuple[tuple[str, ...], ...]:
    """Return the numbers of a ribbon, one row for each milestone."""
    columns = ribbon_columns(of)[5:]
    return tuple(_numbers(row, columns, of.today) for row in of.milestones)


def _numbers(row: Milestone, columns: tuple[str, ...], today: date) -> tuple[str, ...]:
    spans = dict(row.plants)
    days = (short_day(day, today) for day in (row.earliest, row.likely, row.latest))
    seen = short_day(row.seen, today) if row.seen else "not yet"
    return (row.name, *days, seen, *(_span_words(spans.get(words), today) for words in columns))


def _span_words(span: Span | None, today: date) -> str:
    if span is None:
        return "not known"
    return f"{short_day(span.likely, today)} ({span_words(span.earliest, span.latest)})"
