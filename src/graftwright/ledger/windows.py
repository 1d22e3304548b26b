"""Windows: earliest, likely and latest date of a milestone, and what they rest on."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any


@dataclass(frozen=True)
class Window:
    """A span of time on one clock of days: the 10, 50 and 90 % point of a date's law.

    Days are unrounded, counted from the start of the batch's first day; pages round outward.
    """

    earliest: float
    likely: float
    latest: float

    def dates(self, start: date) -> tuple[date, date, date]:
        """Return the calendar days, rounded outward: never later than early, never earlier than late."""
        whole = (int(self.earliest // 1), int(self.likely + 0.5), -int(-self.latest // 1))
        first, middle, last = (start + timedelta(days=n) for n in whole)
        return first, min(max(middle, first), last), last


@dataclass(frozen=True)
class Milestone:
    """When the first, a tenth, half and nine tenths of the plants reach a milestone.

    `reached` counts those that have; a milestone everybody has reached has no windows any more.
    """

    stage: str  # the stage that ends there
    name: str  # the milestone
    of: int
    reached: int
    by_growth: bool
    first: Window | None = None
    tenth: Window | None = None
    half: Window | None = None
    most: Window | None = None
    stalled: bool = False


@dataclass(frozen=True)
class Forecast:
    """All windows of a batch, the latest day for its next check, and what they rest on."""

    batch: str
    start: str  # the first day, from which days are counted
    milestones: tuple[Milestone, ...] = ()
    check_by: float | None = None
    check_why: str = ""
    living: int = 0
    untried: str = ""
    rests_on: dict[str, Any] = field(default_factory=dict)
