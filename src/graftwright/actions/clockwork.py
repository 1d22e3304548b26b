"""Windows from the clocks of a course: the science of pace, asked with what the entries tell."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.cohorts import merged_looks
from graftwright.actions.fates import looked
from graftwright.ledger.stages import Path
from graftwright.ledger.windows import Milestone, Window

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from graftwright.actions.course import Course
    from graftwright.actions.routes import Walk
    from graftwright.handbook.species import Species
    from graftwright.handbook.stages import Pace, Stage
    from graftwright.science import clock as clocks
    from graftwright.science import dates
    from graftwright.science.checks import Check
    from graftwright.science.laws import Law


class Windows:
    """Windows of the milestones of grafts that walk together, clock after clock."""

    def __init__(
        self, course: Course, genus: str, species: Species, start: date, walk: Walk, hourly_c: list[float]
    ) -> None:
        self.course, self.genus, self.species, self.start = course, genus, species, start
        self.members, self.steps, self.hourly = walk.members, walk.steps, hourly_c
        self.path = Path(course.path)
        self.looks = merged_looks(walk.members)
        self.law: Law | None = None  # when half the plants end the stage before
        self.due: dict[str, float] = {}  # share of each stage's passes that were due by the last look

    def all(self) -> tuple[list[Milestone], dict[str, float]]:
        """Return every milestone's windows, and for each stage the latest day to look so as not to miss its end."""
        milestones: list[Milestone] = []
        look_by: dict[str, float] = {}
        for step, stages in _by_clock(self.course):
            began = self._began(step)
            paced = [stage for stage in stages if self._pace(stage)]
            milestones += [self._plain(stage) for stage in stages if stage not in paced]
            if not paced:
                continue
            if began is None:
                milestones += self._to_come(self._clock(paced), paced)
            else:
                milestones += self._running(self._clock(paced), paced, began, look_by)
        return milestones, look_by

    def _day(self, day: str) -> float:
        return float((date.fromisoformat(day) - self.start).days)

    def _began(self, step: str | None) -> float | None:
        if step == "graft":
            return 0.0
        days = self.steps.get(step or "")
        return self._day(min(days)) if days else None

    def _pace(self, stage: Stage) -> Pace | None:
        figures = stage.figures(self.genus)
        return figures.pace if figures else None

    def _clock(self, stages: Sequence[Stage]) -> clocks.Clock:
        from graftwright.science.clock import Clock, Milestone
        from graftwright.science.response import Response

        species = self.species
        found, spread = [], 0.0
        for stage in stages:
            pace = self._pace(stage)
            assert pace is not None
            known = species.responses.get(pace.response or "")
            response = Response(known.base, known.optimum, known.ceiling) if known else None
            found.append(Milestone(stage.milestone or "", pace.days, pace.spread, response))
            spread = pace.batch_spread
        chilled = stages[0].started_by == "chill" and species.chill
        not_before = (species.chill.minimum_days or 0.0) if chilled and species.chill else 0.0
        return Clock(tuple(found), spread, not_before)

    def _counted(self, stage: Stage) -> tuple[int, int]:
        """How many count at a stage's end, and how many of them are past it."""
        rank = self.path.rank(stage.key)
        standing = sum((stay.standing for stay in self.members), Counter[str]())
        past = sum(n for key, n in standing.items() if self.path.rank(key) > rank)
        return sum(standing.values()), past

    def _plain(self, stage: Stage) -> Milestone:
        of, reached = self._counted(stage)
        return Milestone(stage.key, stage.milestone or "", of, reached, by_growth=stage.ends == "by growth")

    # a clock that runs

    def _running(
        self, clock: clocks.Clock, stages: Sequence[Stage], began: float, look_by: dict[str, float]
    ) -> list[Milestone]:
        from graftwright.science.clock import clock_progress, share_due
        from graftwright.science.dates import look_by as latest_look
        from graftwright.science.dates import more_than_a_fifth, windows
        from graftwright.science.laws import laws
        from graftwright.science.posterior import posterior

        progress = clock_progress(clock, self.hourly[int(began * 24) :])
        seen_to = self._day(looked(self.members) or self.start.isoformat())
        shares = share_due(clock, progress, max(seen_to - began, 0.0))
        self.due |= {stage.key: float(share) for stage, share in zip(stages, shares, strict=True)}
        plants, checks = self._checks(stages, began)
        known = posterior(clock, progress, plants, checks)
        made = []
        for n, stage in enumerate(stages):
            made.append(self._with(stage, windows(known, n), began))
            counted = known.counted(n)
            if counted:
                self.law = _shifted(laws(known, n, [-(-counted // 2)])[0], began)
            if counted and stage.act_within:
                fifth = laws(known, n, [min(more_than_a_fifth(counted), counted)])[0]
                day = latest_look(fifth, stage.act_within.days)
                if day is not None:
                    look_by[stage.key] = day + began
        return made

    def _checks(self, stages: Sequence[Stage], began: float) -> tuple[int, list[Check]]:
        """Return the plants that started on this clock, and its checks."""
        from graftwright.science.checks import Check

        ranks = [self.path.rank(stage.key) for stage in stages]
        checks: list[Check] = []
        gone, waiting = 0, Counter[int]()
        for look in self.looks:
            day = self._day(look.day) - began
            if day < 0:
                continue
            waiting += self._behind(ranks, look.lost)
            seen = {key: n for key, n in look.seen.items() if self.path.rank(key) >= ranks[0]}
            if seen or waiting:
                passed = tuple(
                    sum(n for key, n in seen.items() if self.path.rank(key) > rank) for rank in ranks
                )
                lost = tuple(waiting[i] for i in range(len(ranks) + 1))
                checks.append(Check(day, passed, sum(seen.values()), lost))
                gone, waiting = gone + sum(lost), Counter()
        alive = sum(stay.living for stay in self.members)
        return alive + gone + sum(waiting.values()), checks

    def _behind(self, ranks: Sequence[int], lost: Mapping[str, int]) -> Counter[int]:
        """Count lost units by how many milestones of the clock they had behind them."""
        behind = Counter[int]()
        for key, n in lost.items():
            behind[sum(self.path.rank(key) > rank for rank in ranks)] += n
        return behind

    def _with(self, stage: Stage, found: dates.Windows | None, began: float) -> Milestone:
        plain = self._plain(stage)
        if found is None or plain.reached == plain.of:
            return plain
        stalled = "it is too cold or too hot there: nothing moves on" if found.stalled else ""
        return replace(
            plain, first=_later(found.first, began), tenth=_later(found.ten, began), half=_later(found.fifty, began),
            most=_later(found.ninety, began), stalled=stalled,
        )  # fmt: skip

    # a clock that has not started

    def _to_come(self, clock: clocks.Clock, stages: Sequence[Stage]) -> list[Milestone]:
        from graftwright.science.clock import clock_progress
        from graftwright.science.dates import windows_following
        from graftwright.science.laws import laws_following
        from graftwright.science.posterior import posterior

        living = sum(stay.living for stay in self.members)
        if self.law is None or not living:
            return [self._plain(stage) for stage in stages]
        start = self.law
        known = posterior(clock, clock_progress(clock, self.hourly), living, [])
        made = []
        for n, stage in enumerate(stages):
            made.append(self._with(stage, windows_following(start, known, n), 0.0))
            self.law = laws_following(start, known, n, [-(-living // 2)])[0]
        return made


def _later(window: dates.Window, by: float) -> Window:
    """Count a window's days from the batch's first day, not from its clock's."""
    days = (window.earliest, window.likely, window.latest)
    return Window(*(None if day is None else day + by for day in days))


def _shifted(law: Law, by: float) -> Law:
    from graftwright.science.laws import Law

    return Law(law.day + by, law.chance)


def _by_clock(sheet: Course) -> list[tuple[str | None, list[Stage]]]:
    """Stages that run on one clock, each clock with the step that starts it; the last stage has no end."""
    clocked: list[tuple[str | None, list[Stage]]] = []
    for stage in sheet.stages[:-1]:
        if clocked and stage.started_by and clocked[-1][0] == stage.started_by:
            clocked[-1][1].append(stage)
        else:
            clocked.append((stage.started_by, [stage]))
    return clocked
