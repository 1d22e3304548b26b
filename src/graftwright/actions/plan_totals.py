"""What a plan takes: material, and hours in each week."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from math import ceil
from typing import TYPE_CHECKING

from graftwright.actions.plan_steps import owed
from graftwright.actions.plan_work import graft_stays, material, seed_stays, work

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from graftwright.actions.plan_parts import Batch, Plan
    from graftwright.handbook import Handbook, Sheet, Species

Spent = tuple[date, float]  # minutes


def totals(plan: Plan, handbook: Handbook) -> dict[str, float]:
    """Return nuts, buds and each item of the sheets; what is used up later, for the grafts expected then."""
    sums: dict[str, float] = defaultdict(float)
    for batch in plan.batches:
        sheet = handbook.sheet(batch.sheet)
        sums["nuts"] += batch.nuts
        sums["buds"] += batch.grafts * int((sheet.buds_per_scion or (1, 1))[0])
        for name, used in material(sheet, batch.grafts, _alive(batch)):
            sums[name] += used
    return rounded(sums)


def rounded(sums: dict[str, float]) -> dict[str, float]:
    """Round litres to tenths and all else up to whole pieces."""
    return {name: round(n, 1) if "litres" in name else ceil(n - 1e-9) for name, n in sums.items()}


def hours(plan: Plan, handbook: Handbook) -> dict[str, float]:
    """Return the hours of work of each ISO week from today on, such as 2027-W06."""
    minutes: dict[str, float] = defaultdict(float)
    for day, spent in _all_work(plan, handbook):
        if day >= plan.today:
            year, week, _ = day.isocalendar()
            minutes[f"{year}-W{week:02}"] += spent
    return {week: round(minutes[week] / 60, 2) for week in sorted(minutes)}


def _all_work(plan: Plan, handbook: Handbook) -> Iterator[Spent]:
    lots: dict[tuple[str, date | None], int] = defaultdict(int)
    for batch in plan.batches:
        lots[batch.species, batch.chill_on] += batch.nuts
    for batch in plan.batches:
        part = batch.nuts / (lots[batch.species, batch.chill_on] or 1)
        yield from _seed_work(batch, handbook.species[batch.species], part)
        yield from _graft_work(batch, handbook.sheet(batch.sheet))


def _seed_work(batch: Batch, species: Species, part: float) -> Iterable[Spent]:
    if batch.chill_on is None or batch.bring_out is None:
        return ()
    days = (batch.chill_on.toordinal(), batch.bring_out.toordinal(), batch.graft_on.toordinal())
    stays = seed_stays(species, batch.nuts, days, part, floated=batch.floated)
    return [(date.fromordinal(int(day)), spent) for day, spent, _ in work(stays)]


def _graft_work(batch: Batch, sheet: Sheet) -> Iterator[Spent]:
    """Return work on the likely days, and steps on the days they have; what has none, on the likely day."""
    ends = {one.name: float(one.likely.toordinal()) for one in batch.windows}
    stays = graft_stays(sheet, batch.grafts, _alive(batch), ends, batch.graft_on.toordinal())
    steps = list(owed(batch, sheet, batch.ready))
    own_day = [task for one in steps for task in one.tasks if task.at in ("start", "end")]
    for day, spent, task in work(stays):
        if task not in own_day:
            yield date.fromordinal(int(day)), spent
    yield from ((step.on, step.minutes) for step in batch.steps)
    for one in steps:
        booked = sum(step.plants for step in batch.steps if step.name == one.name)
        yield one.likely, (one.plants - booked) * one.minutes_each


def _alive(batch: Batch) -> dict[str, float]:
    return {one.name: one.expected for one in batch.counts}
