"""Steps of the grower that cannot wait: put on free days that have the minutes for them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from graftwright.actions.plan_parts import Step
from graftwright.actions.plan_work import graft_stays

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.actions.plan_parts import Batch, Plan
    from graftwright.actions.plan_work import Stay
    from graftwright.actions.wish_file import Wishes
    from graftwright.handbook import Handbook, Sheet
    from graftwright.handbook.stages import Stage, Task


@dataclass(frozen=True)
class Owed:
    """A step, the plants it is for, and the days on which it can be done."""

    name: str
    tasks: tuple[Task, ...]
    plants: int
    minutes_each: float
    first: date
    likely: date
    last: date


def with_steps(plan: Plan, wishes: Wishes, handbook: Handbook) -> Plan:
    """Put the steps of all batches on free days, the one that must be done soonest first.

    They take the minutes that grafting leaves.
    """
    minutes = _Minutes(wishes, plan)
    by = {wish.number: wish.by for wish in wishes.wishes}
    asked = [
        (one.last, n, one) for n, batch in enumerate(plan.batches)
        for one in owed(batch, handbook.sheet(batch.sheet), by[batch.wish])
    ]  # fmt: skip
    batches = list(plan.batches)
    for _, n, one in sorted(asked, key=lambda each: each[:2]):
        steps = tuple(minutes.booked(one))
        batch, told = batches[n], tuple(_short(one, steps, wishes))
        batches[n] = replace(batch, steps=(*batch.steps, *steps), warnings=(*batch.warnings, *told))
    return replace(plan, batches=tuple(map(_in_order, batches)))


def _in_order(batch: Batch) -> Batch:
    return replace(batch, steps=tuple(sorted(batch.steps, key=lambda one: one.on)))


def owed(batch: Batch, sheet: Sheet, by: date) -> Iterator[Owed]:
    """Return the steps of a batch; trees may be planted until the day they are wanted."""
    windows = {one.name: one for one in batch.windows}
    for name, stay, tasks, at_end in _steps(batch, sheet):
        window, minutes = windows.get(name), sum(map(stay.minutes, tasks))
        if window and minutes:
            last = max(window.latest, by) if at_end else window.latest
            plants = ceil(stay.units - 1e-9)
            yield Owed(name, tasks, plants, minutes / stay.units, window.earliest, window.likely, last)


def _steps(batch: Batch, sheet: Sheet) -> Iterator[tuple[str, Stay, tuple[Task, ...], bool]]:
    alive = {one.name: one.expected for one in batch.counts}
    for before, stay in pairwise(graft_stays(sheet, batch.grafts, alive, {})):
        yield before.stage.milestone or "", before, _at("end", before.stage), True
        if _cannot_wait(before.stage, stay.stage):
            yield stay.stage.key, stay, _at("start", stay.stage) or _at("check", stay.stage), False


def that_cannot_wait(sheet: Sheet) -> set[str]:
    """Return the stages that a step of the grower begins, for which plants cannot wait."""
    return {stage.key for before, stage in pairwise(sheet.stages) if _cannot_wait(before, stage)}


def _cannot_wait(before: Stage, stage: Stage) -> bool:
    """Whether a step begins this stage, and plants that wait for it come to harm."""
    return bool(before.act_within and stage.started_by and stage.started_by != before.started_by)


def _at(when: str, stage: Stage) -> tuple[Task, ...]:
    return tuple(task for task in stage.work if task.at == when and not task.only_from)


class _Minutes:
    """The minutes that free days still have."""

    def __init__(self, wishes: Wishes, plan: Plan) -> None:
        self.wishes, self.today = wishes, plan.today
        self.used: dict[date, float] = {}
        for batch in plan.batches:
            self.used[batch.graft_on] = self.used.get(batch.graft_on, 0.0) + batch.minutes

    def booked(self, one: Owed) -> Iterator[Step]:
        """Take days for a step, those nearest to the likely one first."""
        waiting = one.plants
        for day in sorted(self._free(one), key=lambda day: (abs((day - one.likely).days), day)):
            left = self.wishes.minutes - self.used.get(day, 0.0)
            plants = min(waiting, int((left + 1e-9) / one.minutes_each))
            if plants:
                self.used[day] = self.used.get(day, 0.0) + plants * one.minutes_each
                waiting -= plants
                yield Step(one.name, day, plants, plants * one.minutes_each)

    def _free(self, one: Owed) -> Iterator[date]:
        days = (one.first + timedelta(days=n) for n in range((one.last - one.first).days + 1))
        return (day for day in days if day >= self.today and self.wishes.free.is_free(day))


def _short(one: Owed, steps: tuple[Step, ...], wishes: Wishes) -> Iterator[str]:
    booked = sum(step.plants for step in steps)
    if booked < one.plants:
        yield missed(one.name, one.first, one.last, wishes) or (
            f"{one.name}: the free days from {one.first} to {one.last} have minutes for {booked} of {one.plants} plants"
        )


def missed(name: str, first: date, last: date, wishes: Wishes) -> str:
    """Say that a window holds no free day, and if you are away then; empty where it holds one."""
    if wishes.free.first_from(first, last):
        return ""
    trips = (trip for trip in wishes.free.away if trip[0] <= last and trip[1] >= first)
    away = next((f", you are away {trip[0]} to {trip[1]}" for trip in trips), "")
    return f"{name}: no free day from {first} to {last}{away}"
