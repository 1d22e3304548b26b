"""One look at a batch: what a check counts, and when its counts cannot be."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.clock import Clock


class CheckDoesNotAddUp(ValueComplaint):
    """A check counts more plants than there are."""

    def __init__(self, day: float, because: str) -> None:
        super().__init__(
            f"A check does not add up: {because}.",
            where=f"day {day:g} of the clock",
            do="Correct the check or the losses before it.",
        )


class CheckOutOfPlace(ValueComplaint):
    """A check lies before the one it follows, or outside the temperatures."""

    def __init__(self, day: float, first: float, last: float) -> None:
        super().__init__(
            f"A check must lie between the check before it (day {first:g}) "
            f"and the end of the temperatures (day {last:g}).",
            where=f"day {day:g} of the clock",
            do="Put the checks in order or give temperatures up to the last of them.",
        )


@dataclass(frozen=True)
class Check:
    """One look at a batch; all looks of one day are given as one.

    `seen` plants were looked at and alive; `passed[j]` of them had milestone j behind them, so the
    counts never rise along the clock. `lost[i]` plants died or were taken away since the check before,
    having i milestones behind them when last seen; of `lost_anyhow` more nothing is known.
    """

    day: float
    passed: tuple[int, ...]
    seen: int
    lost: tuple[int, ...] = ()
    lost_anyhow: int = 0

    @property
    def all_lost(self) -> int:
        """How many are gone since the check before."""
        return sum(self.lost) + self.lost_anyhow


def check_checks(clock: Clock, plants: int, checks: Sequence[Check], last_day: float) -> None:
    """Refuse checks that lie out of order or count more plants than there are.

    Assumes `plants` stood on the clock when it started and none joined later.

    Parameters
    ----------
    clock : Clock
        Its number of milestones is the length of each `passed`.
    plants : int
        How many plants the clock started with.
    checks : sequence of Check
        In the order of their days.
    last_day : float
        Where the temperatures end [d].

    Raises
    ------
    CheckOutOfPlace
        Where a day lies before the check before it, or after the temperatures end.
    CheckDoesNotAddUp
        Where more are seen or lost than there are, or the passed counts rise or exceed those seen.

    Notes
    -----
    Rules of counting; no source needed.

    Examples
    --------
    >>> from graftwright.science.clock import Clock, Milestone
    >>> check_checks(Clock((Milestone("settled", 14.0, 0.2),), 0.1), 3, [Check(2.0, (1,), 3)], 20.0)
    """
    alive, before = plants, 0.0
    for check in checks:
        if not before <= check.day <= last_day:
            raise CheckOutOfPlace(check.day, before, last_day)
        alive -= check.all_lost
        trouble = _what_does_not_add_up(check, len(clock.milestones), alive)
        if trouble:
            raise CheckDoesNotAddUp(check.day, trouble)
        before = check.day


def _what_does_not_add_up(check: Check, milestones: int, alive: int) -> str:
    counts = (check.seen, *check.passed, 0)
    if min(*check.lost, check.lost_anyhow, alive, check.seen, *check.passed, 0) < 0:
        return "more are gone than there were, or a count is below 0"
    if len(check.passed) != milestones or len(check.lost) > milestones + 1:
        return f"it does not give one count for each of the {milestones} milestones"
    if any(later > earlier for earlier, later in pairwise(counts)):
        return "more are at a milestone than at the one before it, or than were looked at"
    if check.seen > alive:
        return f"{check.seen} were looked at where {alive} are alive"
    return ""
