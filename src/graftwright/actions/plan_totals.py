"""What a plan takes: material, and hours in each week."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from graftwright.actions.plan import Batch, Plan
    from graftwright.handbook import Handbook, Sheet
    from graftwright.handbook.stages import Stage, Task


def totals(plan: Plan, handbook: Handbook) -> dict[str, float]:
    """Return nuts, buds and each item of the sheets; what is used up later, for the grafts expected then."""
    sums: dict[str, float] = defaultdict(float)
    for batch in plan.batches:
        sheet = handbook.sheet(batch.sheet)
        sums["nuts"] += batch.nuts
        sums["buds"] += batch.grafts * int((sheet.buds_per_scion or (1, 1))[0])
        for stage, standing in _standing(batch, sheet):
            for use in stage.uses:
                name = f"{use.item}, litres" if use.litres else use.item
                sums[name] += standing * (use.litres or use.each or 0.0)
    return {name: round(n, 1) if "litres" in name else ceil(n - 1e-9) for name, n in sums.items()}


def hours(plan: Plan, handbook: Handbook) -> dict[str, float]:
    """Return the hours of work of each ISO week, such as 2027-W06."""
    minutes: dict[str, float] = defaultdict(float)
    for batch in plan.batches:
        for day, spent in _work(batch, handbook.sheet(batch.sheet)):
            year, week, _ = day.isocalendar()
            minutes[f"{year}-W{week:02}"] += spent
    return {week: round(minutes[week] / 60, 2) for week in sorted(minutes)}


def _standing(batch: Batch, sheet: Sheet) -> Iterator[tuple[Stage, float]]:
    """Return how many grafts are expected to enter each stage."""
    alive = {one.name: one.expected for one in batch.counts}
    standing = float(batch.grafts)
    for stage in sheet.stages:
        yield stage, standing
        standing = alive.get(stage.key, standing)


def _work(batch: Batch, sheet: Sheet) -> Iterator[tuple[date, float]]:
    """Return the days and minutes of a batch's work; it is done on the likely days."""
    began = batch.graft_on
    ends = {one.name: one.likely for one in batch.windows}
    for stage, standing in _standing(batch, sheet):
        ended = ends.get(stage.milestone or "")
        per_place = sheet.per_place.units if sheet.per_place else 1
        for task in stage.work:
            if task.only_from:
                continue
            units = 1.0 if task.per == "batch" else standing if task.per == "graft" else standing / per_place
            for day in _days(task, stage, began, ended):
                yield day, task.minutes * units
        began = ended or began


def _days(task: Task, stage: Stage, began: date, ended: date | None) -> Iterator[date]:
    if task.at == "start":
        yield began
    elif ended is None:
        return  # work on planted trees belongs to no season's plan
    elif task.at == "end":
        yield ended
    elif task.after_days:
        yield began + timedelta(days=round(task.after_days))
    else:
        step = task.every_days or stage.check_every or 7.0
        for n in range(1, int((ended - began).days / step) + 1):
            yield began + timedelta(days=int(n * step))


def as_json(plan: Plan, handbook: Handbook) -> dict[str, Any]:
    """Return the plan as scripts receive it."""
    return {
        "today": plan.today.isoformat(),
        "batches": [_batch_json(batch) for batch in plan.batches],
        "unmet": [
            {"wish": one.wish, "variety": one.variety, "needed": one.needed, "placed": one.placed,
             "sentence": one.sentence, "clashes": list(one.clashes)}
            for one in plan.unmet
        ],
        "warnings": list(plan.warnings),
        "totals": totals(plan, handbook),
        "hours": hours(plan, handbook),
    }  # fmt: skip


def _batch_json(batch: Batch) -> dict[str, Any]:
    return {
        "wish": batch.wish, "variety": batch.variety, "species": batch.species, "sheet": batch.sheet,
        "grafts": batch.grafts, "nuts": batch.nuts, "chill_on": _said(batch.chill_on),
        "bring_out": _said(batch.bring_out), "graft_on": _said(batch.graft_on), "ready": _said(batch.ready),
        "windows": [
            {"name": one.name, "earliest": _said(one.earliest), "likely": _said(one.likely),
             "latest": _said(one.latest)}
            for one in batch.windows
        ],
        "counts": [
            {"name": one.name, "expected": one.expected, "low": one.low, "high": one.high} for one in batch.counts
        ],
        "warnings": list(batch.warnings),
    }  # fmt: skip


def _said(day: date | None) -> str | None:
    return day.isoformat() if day else None
