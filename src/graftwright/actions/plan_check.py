"""Proves a plan against the rules it must keep, from the handbook's figures and with none of the planner's code."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from graftwright.actions.plan_parts import Batch, Plan
    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.handbook import Handbook, Sheet


def broken_rules(plan: Plan, wishes: Wishes, handbook: Handbook) -> list[str]:
    """Return a line for each rule a plan breaks; none for a sound plan."""
    by_number = {wish.number: wish for wish in wishes.wishes}
    broken = [
        said for batch in plan.batches for said in _batch(batch, by_number[batch.wish], wishes, handbook)
    ]
    early = [f"batch of {b.variety} lies before today" for b in plan.batches if b.graft_on < plan.today]
    return [
        *broken,
        *early,
        *_minutes(plan, wishes, handbook),
        *_supplies(plan, wishes),
        *_explained(plan, wishes),
    ]


def _at_the_bench(day: date, wishes: Wishes) -> bool:
    name = day.strftime("%a").lower()
    return name in wishes.free.weekdays and not any(first <= day <= last for first, last in wishes.free.away)


def _batch(batch: Batch, wish: Wish, wishes: Wishes, handbook: Handbook) -> Iterator[str]:
    here = f"batch of {batch.variety} on {batch.graft_on}"
    if batch.grafts < 1:
        yield f"{here}: no grafts"
    if not _at_the_bench(batch.graft_on, wishes):
        yield f"{here}: not a free day"
    if batch.ready > wish.by:
        yield f"{here}: ready too late"
    if batch.ready < batch.graft_on or batch.ready < batch.windows[-1].likely:
        yield f"{here}: ready before the likely end"
    yield from (f"{here}: {one.name} out of order" for one in batch.windows
                if not batch.graft_on <= one.earliest <= one.likely <= one.latest)  # fmt: skip
    if wish.last_frost and any(
        one.name == "hardening" and one.earliest <= wish.last_frost for one in batch.windows
    ):
        yield f"{here}: set out before the last frost"
    yield from _steps(batch, wish, wishes, handbook.sheets[batch.sheet], here)
    yield from _cold(batch, wishes, handbook, here)
    yield from _wood(batch, wishes, handbook, here)


def _steps(batch: Batch, wish: Wish, wishes: Wishes, sheet: Sheet, here: str) -> Iterator[str]:
    """Steps lie in their windows, on free days, for as many plants as are expected; what is left is told."""
    for window in batch.windows:
        name, at_end, _ = _asked(sheet, window.name)
        if not name:
            continue
        mine = [step for step in batch.steps if step.name == name]
        last = max(window.latest, wish.by) if at_end else window.latest
        if not all(window.earliest <= step.on <= last for step in mine):
            yield f"{here}: {name} outside its window"
        if not all(_at_the_bench(step.on, wishes) for step in mine):
            yield f"{here}: {name} on no free day"
        there = _entering(batch, sheet, sheet.path.index(name) - at_end)
        done = sum(step.plants for step in mine)
        if done >= there + 1:
            yield f"{here}: {name} for {done} plants, {there:g} are expected"
        if done < there - 1e-9 and not any(said.startswith(f"{name}: ") for said in batch.warnings):
            yield f"{here}: {there - done:g} plants have no day for {name}, without a warning"


def _entering(batch: Batch, sheet: Sheet, number: int) -> float:
    return {one.name: one.expected for one in batch.counts}[sheet.path[number - 1]]


def _asked(sheet: Sheet, name: str) -> tuple[str, bool, float]:
    """Return the step that opens a stage, whether it ends the one before, and its minutes for a plant."""
    number = sheet.path.index(name)
    before, stage = sheet.stages[number - 1], sheet.stages[number]
    ending = [task.minutes for task in before.work if task.at == "end" and not task.only_from]
    if ending:
        return name, True, sum(ending)
    if not before.act_within or stage.started_by in (None, before.started_by):
        return "", False, 0.0
    starting = [task.minutes for task in stage.work if task.at == "start" and not task.only_from]
    looks = [task.minutes for task in stage.work if task.at == "check" and not task.only_from]
    bag = sheet.per_place.units if sheet.per_place else 1
    return name, False, sum(starting) or sum(looks) / bag


def _cold(batch: Batch, wishes: Wishes, handbook: Handbook, here: str) -> Iterator[str]:
    species = handbook.species[batch.species]
    chill = species.chill
    if chill is None or not species.seed_stages:
        return
    if batch.chill_on is None or batch.bring_out is None:
        yield f"{here}: nobody chills or brings out"
        return
    days = (batch.bring_out - batch.chill_on).days
    if days < (chill.minimum_days or 0):
        yield f"{here}: {days} days of chill"
    if not batch.bring_out <= batch.graft_on <= batch.bring_out + timedelta(days=60):
        yield f"{here}: brought out on {batch.bring_out}"
    if not _at_the_bench(batch.bring_out, wishes):
        yield f"{here}: brought out on no free day"
    if chill.days and days < chill.days[0] and not any("chill short" in said for said in batch.warnings):
        yield f"{here}: short chill without a warning"


def _wood(batch: Batch, wishes: Wishes, handbook: Handbook, here: str) -> Iterator[str]:
    wood = handbook.species[batch.species].scionwood
    for lot in wishes.wood:
        age = (batch.graft_on - lot.cut).days
        if lot.variety == batch.variety and lot.buds and wood and wood.keeps_days:
            if not 0 <= age <= wood.keeps_days[1]:
                yield f"{here}: wood {age} days old"
            if age > wood.keeps_days[0] and not any("wood cut on" in said for said in batch.warnings):
                yield f"{here}: old wood without a warning"


def _minutes(plan: Plan, wishes: Wishes, handbook: Handbook) -> Iterator[str]:
    spent: dict[date, float] = defaultdict(float)
    for batch in plan.batches:
        for task in handbook.sheets[batch.sheet].stages[0].work:
            if task.at == "start" and task.only_from is None:
                spent[batch.graft_on] += task.minutes * batch.grafts
        for step in batch.steps:
            spent[step.on] += step.plants * _asked(handbook.sheets[batch.sheet], step.name)[2]
    yield from (f"{day}: {n:g} minutes" for day, n in spent.items() if n > wishes.minutes + 1e-6)


def _supplies(plan: Plan, wishes: Wishes) -> Iterator[str]:
    nuts, buds = Counter[str](), Counter[str]()
    for batch in plan.batches:
        nuts[batch.species] += batch.nuts
        buds[batch.variety] += batch.grafts
    for genus, used in nuts.items():
        lots = [lot.count for lot in wishes.seed if lot.species == genus]
        if lots and used > sum(lots):
            yield f"{used} of {sum(lots)} nuts of {genus}"
    for variety, used in buds.items():
        lots = [lot.buds for lot in wishes.wood if lot.variety == variety]
        if lots and used > sum(lots):
            yield f"{used} of {sum(lots)} buds of {variety}"


def _explained(plan: Plan, wishes: Wishes) -> Iterator[str]:
    """Every wish is planned for or has a sentence."""
    told = {one.wish for one in plan.unmet} | {batch.wish for batch in plan.batches}
    yield from (f"wish {wish.number}: not a word" for wish in wishes.wishes if wish.number not in told)
    for one in plan.unmet:
        if not one.sentence.endswith(".") or one.placed > one.needed:
            yield f"wish {one.wish}: {one.sentence}"
