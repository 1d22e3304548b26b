"""Work and material that a sheet asks of units while they stand at its stages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from graftwright.handbook.sheets import Sheet
    from graftwright.handbook.species import Species
    from graftwright.handbook.stages import Stage, Task

_USUAL_CHECK = 7.0  # days


@dataclass(frozen=True)
class Stay:
    """Units at a stage, from a day to a day; `ended` is None where no plan looks so far ahead.

    `part` is the units' part of work that is done once for a whole lot.
    """

    stage: Stage
    began: float
    ended: float | None
    units: float
    per_place: int = 1
    kind: str = ""
    part: float = 1.0

    def minutes(self, task: Task) -> float:
        """Return how long one round of a task takes."""
        if task.per == "batch":
            return task.minutes * self.part
        together = self.per_place if task.per in ("place", self.kind) else 1
        return task.minutes * self.units / together


def work(stays: Iterable[Stay]) -> Iterator[tuple[float, float, Task]]:
    """Return day and minutes of each round of work; what only some sorts of wood need is left out."""
    for stay in stays:
        for task in stay.stage.work:
            if not task.only_from:
                for day in _days(task, stay):
                    yield day, stay.minutes(task), task


def _days(task: Task, stay: Stay) -> Iterator[float]:
    if task.at == "start":
        yield stay.began
    elif stay.ended is None:
        return  # work on planted trees belongs to no season's plan
    elif task.at == "end":
        yield stay.ended
    elif task.after_days:
        yield stay.began + round(task.after_days)
    else:
        yield from _rounds(task, stay, stay.ended)


def _rounds(task: Task, stay: Stay, ended: float) -> Iterator[float]:
    step = task.every_days or stay.stage.check_every or _USUAL_CHECK
    pulled = stay.stage.of == "nut" and stay.stage.ends == "by growth"
    for n in range(1, int((ended - stay.began) / step) + 1):
        day = stay.began + int(n * step)
        if not (pulled and day == ended):
            yield day
    if pulled:
        yield ended  # nuts are pulled on the day they are grafted


def graft_stays(
    sheet: Sheet, grafts: float, alive: Mapping[str, float], ends: Mapping[str, float], began: float = 0
) -> Iterator[Stay]:
    """Walk grafts along a sheet: `alive` after each stage, `ends` the day of each milestone."""
    place = sheet.per_place
    for stage, units in standing(sheet, grafts, alive):
        ended = ends.get(stage.milestone or "")
        yield Stay(stage, began, ended, units, place.units if place else 1, place.kind if place else "")
        began = began if ended is None else ended


def seed_stays(
    species: Species,
    nuts: float,
    days: tuple[float, float, float],
    part: float = 1.0,
    *,
    floated: bool = False,
) -> Iterator[Stay]:
    """Walk nuts to the bench; `days` are those of chilling, bringing out and grafting."""
    chill_on, bring_out, graft_on = days
    began = chill_on
    for stage in species.seed_stages:
        if stage.milestone is None:
            return
        ended = {"chill": chill_on, "bring-out": bring_out}.get(stage.ended_by or "", graft_on)
        if not (floated and stage.ended_by == "chill"):
            yield Stay(stage, began, ended, nuts, part=part)
        began = ended


def standing(sheet: Sheet, grafts: float, alive: Mapping[str, float]) -> Iterator[tuple[Stage, float]]:
    """Return how many grafts are expected to enter each stage."""
    units = float(grafts)
    for stage in sheet.stages:
        yield stage, units
        units = alive.get(stage.key, units)


def material(sheet: Sheet, grafts: float, alive: Mapping[str, float]) -> Iterator[tuple[str, float]]:
    """Return what is used up at each stage, for the grafts expected then."""
    for stage, units in standing(sheet, grafts, alive):
        for use in stage.uses:
            name = f"{use.item}, litres" if use.litres else use.item
            yield name, units * (use.litres or use.each or 0.0)
