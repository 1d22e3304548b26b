"""Windows: earliest, likely and latest date of a milestone, and the tasks that follow from them.

Both are worked out when something is entered and stored; the list of the day only reads them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

FORMULA = 2  # the version of the way windows are worked out; stored beside them


@dataclass(frozen=True)
class Window:
    """The 10, 50 and 90 % point of a date's law, in days since the batch's first day, unrounded.

    None stands for a day behind the horizon of the forecast.
    """

    earliest: float | None
    likely: float | None
    latest: float | None


@dataclass(frozen=True)
class Milestone:
    """When the first, a tenth, half and nine tenths of the plants end a stage.

    `stalled` says that the temperature lets nothing move on.
    """

    stage: str
    name: str
    of: int
    reached: int
    by_growth: bool
    first: Window | None = None
    tenth: Window | None = None
    half: Window | None = None
    most: Window | None = None
    stalled: str = ""


@dataclass(frozen=True)
class Task:
    """Something to do at one place, from a day on and, if it will not wait, until a day.

    `expected` tasks wait for a milestone that nobody has seen yet: their days are a window.
    """

    what: str
    subject: str
    place: str
    since: str  # the last day on which it was done, or something was seen
    earliest: str
    latest: str
    why: str
    likely: str = ""
    expected: bool = False


@dataclass(frozen=True)
class Group:
    """Grafts of a batch that have stood in like places and walk together.

    `due` holds, for stages they stand at, the shares of passes and of losses due by the last look.
    """

    places: tuple[str, ...]
    living: int
    stages: dict[str, int]
    temperature: str
    milestones: tuple[Milestone, ...] = ()
    tasks: tuple[Task, ...] = ()
    looks: tuple[tuple[str, dict[str, int]], ...] = ()
    due: dict[str, tuple[float, float | None]] = field(default_factory=dict)


@dataclass(frozen=True)
class Forecast:
    """All windows and tasks of a batch, what they rest on, and who `left` it: stage, how, number."""

    batch: str
    start: str  # the first day, from which days are counted
    living: int
    groups: tuple[Group, ...] = ()
    untried: str = ""
    rests_on: dict[str, Any] = field(default_factory=dict)
    left: dict[str, dict[str, int]] = field(default_factory=dict)


def outward(start: date, window: Window) -> tuple[date | None, date | None, date | None]:
    """Return the days of a window, rounded outward: never later than early, never earlier than late."""
    earliest = None if window.earliest is None else start + timedelta(days=int(window.earliest // 1))
    likely = None if window.likely is None else start + timedelta(days=int(window.likely + 0.5))
    latest = None if window.latest is None else start + timedelta(days=-int(-window.latest // 1))
    return earliest, likely, latest
