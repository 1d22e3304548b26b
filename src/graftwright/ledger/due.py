"""What is late, due and coming: tasks, the grower's free days, and a date.

A task's own day follows from what is recorded and from the free days, never from the date it is asked
on. So with no new record a later date never turns late into not due.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from graftwright.ledger.windows import Task

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LATE, DUE, COMING = "late", "due", "coming"
HORIZON_DAYS = 14  # how far ahead the list of the day looks


@dataclass(frozen=True)
class FreeDays:
    """The days a grower is at the bench: some weekdays, less the days away."""

    weekdays: tuple[str, ...] = WEEKDAYS
    away: tuple[tuple[date, date], ...] = ()

    def is_free(self, day: date) -> bool:
        """Whether the grower is at the bench on a day."""
        return WEEKDAYS[day.weekday()] in self.weekdays and self.trip_on(day) is None

    def trip_on(self, day: date) -> tuple[date, date] | None:
        """Return the days away that a day belongs to."""
        return next((trip for trip in self.away if trip[0] <= day <= trip[1]), None)

    def last_until(self, first: date, last: date) -> date | None:
        """Return the last free day from `first` to `last`."""
        days = (last - timedelta(days=n) for n in range((last - first).days + 1))
        return next((day for day in days if self.is_free(day)), None)

    def first_from(self, first: date, last: date) -> date | None:
        """Return the first free day from `first` to `last`."""
        days = (first + timedelta(days=n) for n in range((last - first).days + 1))
        return next((day for day in days if self.is_free(day)), None)


@dataclass(frozen=True)
class DueLine:
    """One line of the list of the day."""

    what: str
    subject: str
    place: str
    state: str
    day: date
    reason: str
    window: tuple[date | None, date | None, date | None]
    urgent: bool = False


def due_lines(tasks: Iterable[Task], free: FreeDays, today: date, ahead: int = HORIZON_DAYS) -> list[DueLine]:
    """Return the lines of a day: what is late, what is due, and what comes within so many days ahead.

    What was expected and whose whole window has passed comes no more: the check tells what became of it.
    """
    lines = (_line(task, free, today) for task in tasks if not _passed(task, today))
    soon = today + timedelta(days=ahead)
    return [line for line in lines if line.state != COMING or line.day <= soon]


def _passed(task: Task, today: date) -> bool:
    last = _day(task.latest)
    return task.expected and last is not None and last < today


def _line(task: Task, free: FreeDays, today: date) -> DueLine:
    earliest, latest = _on(task.earliest), _day(task.latest)
    likely = _day(task.likely) or latest
    if task.expected:
        return _expected(task, free, (earliest, likely, latest))
    day, missed = _when(task, free)
    return DueLine(
        task.what, task.subject, task.place, _state(task, day, today, missed=missed), day,
        _reason(task, free, missed=missed), (earliest, likely, latest), urgent=bool(latest),
    )  # fmt: skip


def _state(task: Task, day: date, today: date, *, missed: bool) -> str:
    """Return the state on a date.

    A check is late when its own day has passed, a step when the last day it can wait for has. A task
    with no free day left is late from its first day on; one that can wait is never late.
    """
    deadline = day if task.what == "check" else _day(task.latest)
    if deadline and (today > deadline or (missed and today >= _on(task.earliest))):
        return LATE
    return DUE if today >= day else COMING


def _expected(task: Task, free: FreeDays, window: tuple[date, date | None, date | None]) -> DueLine:
    earliest, likely, _ = window
    day = likely or earliest
    trip = free.trip_on(day)
    away = f" You are away {_said(*trip)} then." if trip else ""
    return DueLine(task.what, task.subject, task.place, COMING, day, task.why + away, window)


def _when(task: Task, free: FreeDays) -> tuple[date, bool]:
    """Return the day a task is for, and whether no free day is left for it.

    A check is put as late as it may be, on a free day; a step is done on the first free day.
    """
    earliest, latest = _on(task.earliest), _day(task.latest)
    if latest is None:
        far = earliest + timedelta(days=60)
        return free.first_from(earliest, far) or earliest, False
    chosen = free.last_until(earliest, latest) if task.what == "check" else free.first_from(earliest, latest)
    return (chosen, False) if chosen else (latest, True)


def _reason(task: Task, free: FreeDays, *, missed: bool) -> str:
    if not missed:
        return task.why
    trip = free.trip_on(_on(task.latest))
    because = f": you are away {_said(*trip)}" if trip else ""
    return f"{task.why} No day at the bench is left for it{because}."


def _said(first: date, last: date) -> str:
    return f"{first.isoformat()} to {last.isoformat()}"


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _on(text: str) -> date:
    return date.fromisoformat(text)


def in_order(lines: Iterable[DueLine], walk: Sequence[str]) -> list[DueLine]:
    """Late lines first, then due, then coming by day; within a day in walking order."""
    ranks = {LATE: 0, DUE: 1, COMING: 2}
    steps = {place: n for n, place in enumerate(walk)}
    return sorted(
        lines,
        key=lambda line: (
            ranks[line.state], date.min if line.state == DUE else line.day, steps.get(line.place, len(steps)),
            line.place, line.subject, line.what, line.day, line.reason, str(line.window),
        ),
    )  # fmt: skip
