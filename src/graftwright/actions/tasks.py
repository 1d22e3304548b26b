"""Tasks of a batch: the next check of each place, steps that are ready, and steps that are expected."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from graftwright.ledger.stages import Path
from graftwright.ledger.windows import Task, outward

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from graftwright.actions.cohorts import Stay
    from graftwright.actions.course import Course
    from graftwright.handbook.sheets import Stage
    from graftwright.handbook.species import Species
    from graftwright.ledger.windows import Milestone


class Tasks:
    """Makes the tasks of grafts (or nuts) that walk together, place by place."""

    def __init__(
        self,
        code: str,
        course: Course,
        steps: Mapping[str, list[str]],
        milestones: Sequence[Milestone],
        look_by: Mapping[str, float],
        start: date,
    ) -> None:
        self.batch, self.sheet, self.steps = code, course, steps
        self.milestones = {one.stage: one for one in milestones}
        self.look_by, self.start = look_by, start
        self.path = Path(course.path)

    def all(self, members: Sequence[Stay], species: Species | None) -> list[Task]:
        """Return all tasks; what is expected of many places is said once."""
        if species is not None and self.sheet.stages[0].of == "nut":
            return [task for stay in members for task in seed_tasks(self, stay, species)]
        tasks = [task for stay in members for task in self.of(stay)]
        return [task for task in tasks if not task.expected] + _once(
            [task for task in tasks if task.expected]
        )

    def of(self, stay: Stay) -> Iterator[Task]:
        """Return the tasks of one place."""
        stages = sorted((stage for stage, n in stay.standing.items() if n), key=self.path.rank)
        if not stages:
            return
        yield self._check(stay, [self.sheet.stage(key) for key in stages])
        steps: dict[str, Task] = {}
        for key in reversed(stages):
            for task in self._step(stay, self.sheet.stage(key)):
                if task.what not in steps or (steps[task.what].expected and not task.expected):
                    steps[task.what] = task
        yield from steps.values()

    # the next check

    def _check(self, stay: Stay, stages: Sequence[Stage]) -> Task:
        last = date.fromisoformat(stay.last_look)
        every = min((stage.check_every for stage in stages if stage.check_every), default=7)
        by, why = last + timedelta(days=int(every)), self._rhythm(stay, stages, every)
        for stage in stages:
            risk = self._not_to_miss(stage)
            if risk and risk[0] < by:
                by, why = risk
        first = last + timedelta(days=1)
        return Task(
            "check",
            self.batch,
            stay.place,
            stay.last_look,
            first.isoformat(),
            max(by, first).isoformat(),
            why,
        )

    def _rhythm(self, stay: Stay, stages: Sequence[Stage], every: float) -> str:
        seen = "Last looked at" if any(look.looked for look in stay.days) else "There since"
        soonest = min(stages, key=lambda stage: stage.check_every or 1000)
        work = next((task.do for task in soonest.work if task.at == "check"), "look for mould and growth")
        rhythm = "every day" if every == 1 else f"every {every:g} days"
        return f"{seen} {stay.last_look}; {rhythm}: {work}."

    def _not_to_miss(self, stage: Stage) -> tuple[date, str] | None:
        """Return the latest day to look so that hardly more than a fifth have waited too long, and why."""
        day = self.look_by.get(stage.key)
        if day is None or stage.act_within is None:
            return None
        milestone = self.milestones[stage.key]
        likely = outward(self.start, milestone.half)[1] if milestone.half else None
        when = f"about {likely.isoformat()}" if likely else "soon"
        days, harm = stage.act_within.days, stage.act_within.harm
        return (
            self.start + timedelta(days=int(day // 1)),
            f"Half should show '{stage.sign}' {when}; left longer than {days:g} days, {harm}.",
        )

    # the grower's next step

    def _step(self, stay: Stay, stage: Stage) -> Iterator[Task]:
        if stage.key == self.path.stages[-1]:
            return
        if stage.started_by == "vent" and "vent" not in self.steps:
            yield self._vent(stay, stage)
        elif stage.steps and stage.started_by == "vent" and self._opening_left(stage):
            yield self._open_further(stay, stage)
        if (
            stage.ends == "by you"
            and stage.ended_by
            and (stage.started_by in {None, "graft"} or stage.started_by in self.steps)
        ):
            yield from self._ready(stay, stage, stage.ended_by)
        elif coming := self._coming(stay, stage):
            yield coming

    def _vent(self, stay: Stay, stage: Stage) -> Task:
        ready = stay.reached.get(stage.key, stay.came)
        before = self.sheet.stages[self.path.rank(stage.key) - 1]
        latest, harm = "", ""
        if before.act_within:
            latest = (date.fromisoformat(ready) + timedelta(days=int(before.act_within.days))).isoformat()
            harm = f"; after {before.act_within.days:g} days {before.act_within.harm}"
        n = stay.standing[stage.key]
        what = stage.steps[0].what if stage.steps else "open a little"
        why = f"{n} {'is' if n == 1 else 'are'} ready to wean since {ready}: {what}{harm}."
        return Task("vent", self.batch, stay.place, ready, ready, latest, why)

    def _usual(self, stage: Stage) -> list[tuple[str, float, str]]:
        usual = [step for step in stage.steps if step.variant == "usual"]
        days, listed = 0.0, []
        for step in usual:
            listed.append((step.what, days, step.sign))
            days += step.hours[0] / 24
        return listed

    def _opening_left(self, stage: Stage) -> bool:
        return 0 < self._opened() < len(self._usual(stage))

    def _opened(self) -> int:
        return len({*self.steps.get("vent", ()), *self.steps.get("open", ())})

    def _open_further(self, stay: Stay, stage: Stage) -> Task:
        began = date.fromisoformat(min(self.steps["vent"]))
        what, days, _ = self._usual(stage)[self._opened()]
        sign = self._usual(stage)[self._opened() - 1][2]
        day = (began + timedelta(days=int(days + 0.5))).isoformat()
        since = max([*self.steps["vent"], *self.steps.get("open", ())])
        why = f"Weaning since {began.isoformat()}: {what}, if {sign}. If leaves flag, close again."
        return Task("open", self.batch, stay.place, since, day, "", why)

    def _ready(self, stay: Stay, stage: Stage, step: str) -> Iterator[Task]:
        """Return the step that ends a stage, on its window where the clock of the stage gives one.

        A sheet that makes no windows for this genus does not know when the step is due either.
        """
        milestone = self.milestones.get(stage.key)
        since = stay.reached.get(stage.key, stay.came)
        if milestone and milestone.half:
            earliest, likely, latest = outward(self.start, milestone.half)
            if earliest and likely and latest:
                wait = int(stage.act_within.days) if stage.act_within else 0
                harm = f" Later {stage.act_within.harm}." if stage.act_within else ""
                why = f"Likely ready {likely.isoformat()}: {stage.sign or 'as the sheet says'}.{harm}"
                last = (latest + timedelta(days=wait)).isoformat()
                yield Task(step, self.batch, stay.place, since, earliest.isoformat(), last, why,
                           likely.isoformat())  # fmt: skip
                return
        if milestone is None:
            return
        why = f"'{stage.key}' since {since}; the next step is yours: {step}."
        yield Task(step, self.batch, stay.place, since, since, "", why)

    def _coming(self, stay: Stay, stage: Stage) -> Task | None:
        """Return the next step of the grower, expected when growth has brought the grafts there."""
        for later in self.sheet.stages[self.path.rank(stage.key) : -1]:
            follower = self.sheet.stages[self.path.rank(later.key) + 1]
            step = follower.started_by if later.ends == "by growth" else later.ended_by
            milestone = self.milestones.get(later.key)
            if step and step not in self.steps and step != later.started_by and milestone and milestone.half:
                earliest, likely, latest = outward(self.start, milestone.half)
                if earliest is None or likely is None:
                    return None
                sign = later.sign or milestone.name
                why = f"Expected: half of them show '{sign}' about {likely.isoformat()}."
                return Task(step, self.batch, stay.place, stay.last_look, earliest.isoformat(),
                            latest.isoformat() if latest else "", why, likely.isoformat(), expected=True)  # fmt: skip
        return None


def _once(expected: Sequence[Task]) -> list[Task]:
    """Say what is expected of many places once, for all of them."""
    by_what: dict[tuple[str, str, str], list[Task]] = {}
    for task in expected:
        by_what.setdefault((task.what, task.earliest, task.latest), []).append(task)
    return [
        replace(
            like[0], place=like[0].place if len(like) == 1 else "", why=_of_places(like[0].why, len(like))
        )
        for like in by_what.values()
    ]


def _of_places(why: str, places: int) -> str:
    return why if places == 1 else f"{why.removesuffix('.')}, in {places} places."


def seed_tasks(maker: Tasks, stay: Stay, species: Species) -> Iterator[Task]:
    """Tasks of a lot of seed in one place: chill, bring out when chilled, pull when sprouting."""
    if stay.standing["in hand"]:
        yield _chill(maker, stay)
    if stay.standing["chilling"]:
        yield _bring_out(maker, stay, species)
    if stay.standing["sprouting"]:
        yield from _pull(maker, stay)
    if stay.standing["pulled"]:
        yield _graft(maker, stay)


def _chill(maker: Tasks, stay: Stay) -> Task:
    stage = maker.sheet.stage("in hand")
    latest, harm = "", ""
    if stage.act_within:
        latest = (date.fromisoformat(stay.came) + timedelta(days=int(stage.act_within.days))).isoformat()
        harm = f"; longer than {stage.act_within.days:g} days and {stage.act_within.harm}"
    why = f"{stay.standing['in hand']} nuts in hand since {stay.came}{harm}."
    return Task("chill", maker.batch, stay.place, stay.came, stay.came, latest, why)


def _graft(maker: Tasks, stay: Stay) -> Task:
    pulled = stay.reached.get("pulled", stay.came)
    wait = maker.sheet.stage("sprouting").act_within
    latest, harm = "", ""
    if wait:
        latest = (date.fromisoformat(pulled) + timedelta(days=int(wait.days))).isoformat()
        harm = f"; left longer than {wait.days:g} days, {wait.harm}"
    n = stay.standing["pulled"]
    why = f"{n} with usable sprouts, the first pulled {pulled}{harm}."
    return Task("graft", maker.batch, stay.place, pulled, pulled, latest, why)


def _bring_out(maker: Tasks, stay: Stay, species: Species) -> Task:
    began = date.fromisoformat(min(maker.steps.get("chill", [stay.came])))
    chill = species.chill
    least = int(chill.minimum_days or 0) if chill else 0
    better = int(chill.days[0]) if chill and chill.days else least
    met = began + timedelta(days=least)
    day = (began + timedelta(days=better)).isoformat()
    why = f"{stay.standing['chilling']} nuts in the cold since {began.isoformat()}: chill is met on {met.isoformat()}"
    why += f", better from {day}. Bring out only what you can graft." if better > least else "."
    return Task("bring out", maker.batch, stay.place, began.isoformat(), day, "", why)


def _pull(maker: Tasks, stay: Stay) -> Iterator[Task]:
    stage = maker.sheet.stage("sprouting")
    milestone = maker.milestones.get("sprouting")
    if milestone is None or milestone.half is None or milestone.first is None:
        return
    first = outward(maker.start, milestone.first)[0]
    likely = outward(maker.start, milestone.half)[1]
    if first is None or likely is None:
        return
    first = max(first, date.fromisoformat(stay.reached.get("sprouting", stay.came)))
    if any(look.looked for look in stay.days):
        first = date.fromisoformat(stay.last_look) + timedelta(days=1)
        by = first + timedelta(days=int(stage.check_every or 3) - 1)
    else:
        by = maker.start + timedelta(days=int(maker.look_by.get("sprouting", 0)))
    harm = (
        f" Left longer than {stage.act_within.days:g} days, {stage.act_within.harm}."
        if stage.act_within
        else ""
    )
    why = f"Half should show '{stage.sign}' about {likely.isoformat()}.{harm}"
    latest = max(by, first).isoformat()
    yield Task(
        "pull", maker.batch, stay.place, stay.last_look, first.isoformat(), latest, why, likely.isoformat()
    )
