"""The only maker of windows: joins the sheet, the places' temperatures and the checks to the science of pace."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.clockwork import Windows
from graftwright.actions.cohorts import merged_looks, stays
from graftwright.actions.course import Course
from graftwright.actions.fates import due, left
from graftwright.actions.own import names_of_own, stored_sheet, stored_species
from graftwright.actions.routes import hourly, said_temperature, walks
from graftwright.actions.tasks import Tasks
from graftwright.errors import ValueComplaint
from graftwright.handbook.untried import untried
from graftwright.ledger.stages import Path
from graftwright.ledger.things import OWN
from graftwright.ledger.windows import FORMULA, Forecast, Group, Milestone

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from graftwright.actions.ports import Page
    from graftwright.actions.ports import Sheet as StoredSheet
    from graftwright.actions.routes import Walk
    from graftwright.handbook.species import Species
    from graftwright.ledger.book import Change

_WALK = {"batch", "plant", "seed"}  # kinds of thing whose units walk along stages
HORIZON_DAYS = 200  # how far beyond the last entry windows are looked for


def rewrite(page: Page, change: Change) -> None:
    """Rewrite the windows of every batch that a change touches, in the transaction of the change."""
    touched = _touched(page, change)
    batches = {batch for code in touched for batch in batches_of(page, code, within=code in change.things)}
    page.save_forecasts({batch: forecast(page, batch) for batch in sorted(batches)})


def _touched(page: Page, change: Change) -> set[str]:
    """Things that entries are about or move; a place that something else is carried to stays as it was."""
    about = {page.entry(number).subject for number in change.lines} | set(change.things)
    moved = {
        line.account.thing
        for side in (change.lines, change.before)
        for lines in side.values()
        for line in lines
        if line.amount
    }
    return (about | moved) - {""}


def batches_of(page: Page, code: str, *, within: bool = False) -> Iterable[str]:
    """Return the batches and seed lots whose windows rest on a thing, or also on what is `within` a place."""
    thing = page.thing(code)
    if thing is None:
        return ()
    if thing.kind == "place":
        return page.batches_in(code, within=within)
    if thing.kind == "handbook":
        return page.batches_of(code.removeprefix(OWN))
    return (thing.part_of or code,) if thing.kind in _WALK else ()


def forecast(page: Page, batch: str) -> Forecast:
    """Work out the windows and tasks of one batch."""
    thing = page.thing(batch)
    if thing is None or not thing.exists or not thing.get("sheet") or thing.get("uncounted"):
        return Forecast(batch, "", 0)  # seed of an unknown genus, or nobody counted it
    stored = page.sheet(thing.get("sheet"))
    genus = str(thing.get("genus", ""))
    course, species, reason, own = (
        _seed_course(page, stored, genus) if thing.kind == "seed" else _graft_course(page, stored, genus)
    )
    told = page.told_of(batch)
    start = thing.get("day")
    found = stays(batch, page.parts(batch), told, Path(course.path))
    began = date.fromisoformat(start)
    until = max((date.fromisoformat(e.day) for e, _ in told), default=began)
    days = (until - began).days + HORIZON_DAYS
    maker = _Maker(batch, began, days, course, genus, None if reason else species)
    groups = tuple(maker.group(walk) for walk in walks(found.values(), start, page.thing))
    rests_on = {"sheet": stored.version, "genus": genus, "entries_to": max((e.number for e, _ in told), default=0),
                "formula": FORMULA, **({"own": own} if own else {})}  # fmt: skip
    return Forecast(batch, start, sum(group.living for group in groups), groups, reason, rests_on,
                    left(batch, page.parts(batch), told, Path(course.path)))  # fmt: skip


_Known = tuple[Course, "Species | None", str, list[str]]


def _graft_course(page: Page, stored: StoredSheet, genus: str) -> _Known:
    """Return the stages of a method sheet, what is known of the genus, why there are no windows (or ''), own values."""
    sheet = stored_sheet(page, stored)
    species = stored_species(page, stored.species[genus], genus) if genus in stored.species else None
    reason = untried(sheet, species, genus) if genus else "Nobody has said what genus this is."
    return Course(sheet.stages), species, reason or "", names_of_own(sheet, species)


def _seed_course(page: Page, stored: StoredSheet, genus: str) -> _Known:
    species = stored_species(page, stored.text, genus)
    return Course(species.seed_stages), species, "", names_of_own(species)


@dataclass(frozen=True)
class _Maker:
    """Works out the groups of one batch or lot of seed."""

    code: str
    start: date
    days: int  # how many days from the start on the temperatures are followed
    course: Course
    genus: str
    species: Species | None  # None where the sheet is untried for the genus: no windows then

    def group(self, walk: Walk) -> Group:
        """Work out windows and tasks of grafts that walk together."""
        stages = sum((stay.standing for stay in walk.members), Counter[str]())
        milestones: list[Milestone] = []
        look_by: dict[str, float] = {}
        said = "no windows"
        passes: dict[str, float] = {}
        if self.species is not None:
            assumed = self._assumed(walk.steps)
            warmth = hourly(walk.route, self.start, self.days, assumed)
            said = said_temperature(walk.route, assumed)
            clocks = Windows(self.course, self.genus, self.species, self.start, walk, warmth)
            try:
                milestones, look_by = clocks.all()
                passes = clocks.due
            except (
                ValueComplaint
            ) as trouble:  # what was told does not fit together: keep the record, show no windows
                said = f"no windows: {trouble.sentence}"
        tasks = Tasks(self.code, self.course, walk.steps, milestones, look_by, self.start).all(
            walk.members, self.species
        )
        looks = merged_looks(walk.members)
        return Group(
            places=tuple(stay.place for stay in walk.members), living=sum(stages.values()),
            stages={stage: n for stage, n in stages.items() if n}, temperature=said, milestones=tuple(milestones),
            tasks=tuple(tasks), looks=tuple((look.day, dict(look.seen)) for look in looks if look.seen),
            due=due(self.course, self.genus, walk.members, passes),
        )  # fmt: skip

    def _assumed(self, steps: Mapping[str, list[str]]) -> float:
        """Temperature where nobody said one: the middle of the sheet's range for the stage the last step led to."""
        begun = [stage for stage in self.course.stages if stage.started_by in {"graft", *steps}]
        if "bring-out" in steps:
            begun = [stage for stage in begun if stage.key != "chilling"]
        for stage in begun:
            figures = stage.figures(self.genus)
            if figures and figures.keep and figures.keep.temperature:
                return sum(figures.keep.temperature) / 2
        return 20.0
