"""The only maker of windows: joins the sheet, the places' temperatures and the checks to the science of pace."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.cohorts import Spot, spots
from graftwright.actions.tasks import tasks_of
from graftwright.handbook.sheets import parse_sheet
from graftwright.handbook.species import parse_species
from graftwright.handbook.untried import untried
from graftwright.ledger.stages import Path
from graftwright.ledger.windows import FORMULA, Forecast, Group, Milestone, Window

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from graftwright.actions.ports import Page
    from graftwright.handbook.sheets import Sheet, Stage
    from graftwright.handbook.species import Species
    from graftwright.ledger.book import Change
    from graftwright.science import clock as clocks
    from graftwright.science import dates
    from graftwright.science.laws import Law

HORIZON_DAYS = 200  # how far ahead windows are looked for


def rewrite(page: Page, change: Change) -> None:
    """Rewrite the windows of every batch that a change touches, in the transaction of the change."""
    codes = {account.thing for side in (change.lines, change.before) for lines in side.values()
             for account in (line.account for line in lines)} | set(change.things)  # fmt: skip
    batches = {batch for code in codes for batch in _batches(page, code)}
    page.save_forecasts({batch: forecast(page, batch) for batch in sorted(batches)})


def _batches(page: Page, code: str) -> Iterable[str]:
    thing = page.thing(code)
    if thing is None:
        return ()
    if thing.kind == "place":
        owners = filter(None, map(page.thing, page.owners_under(code)))
        return {owner.part_of or owner.code for owner in owners if owner.kind in {"batch", "plant"}}
    return (thing.part_of or code,) if thing.kind in {"batch", "plant"} else ()


def forecast(page: Page, batch: str) -> Forecast:
    """Work out the windows and tasks of one batch."""
    thing = page.thing(batch)
    if thing is None or not thing.exists:
        return Forecast(batch, "", 0)
    stored = page.sheet(thing.get("sheet"))
    sheet = parse_sheet(stored.text, stored.version)
    genus = str(thing.get("genus", ""))
    species = parse_species(stored.species[genus], genus) if genus in stored.species else None
    reason = untried(sheet, species, genus) if genus else "Nobody has said what genus this is."
    told = page.told_of(batch)
    start = thing.get("day")
    maker = _Maker(page, batch, date.fromisoformat(start), sheet, genus, None if reason else species)
    found = spots(batch, page.parts(batch), told, Path(sheet.path))
    groups = tuple(maker.group(members) for members in maker.alike(found.values()))
    rests_on = {"sheet": stored.version, "genus": genus, "entries_to": max((e.number for e, _ in told), default=0),
                "formula": FORMULA}  # fmt: skip
    return Forecast(batch, start, sum(group.living for group in groups), groups, reason or "", rests_on)


@dataclass
class _Maker:
    """Works out the groups of one batch."""

    page: Page
    batch: str
    start: date
    sheet: Sheet
    genus: str
    species: Species | None  # None where the sheet is untried for the genus: no windows then

    def alike(self, found: Iterable[Spot]) -> list[list[Spot]]:
        """Put places together whose grafts stood equally warm and were treated on the same days."""
        groups: dict[object, list[Spot]] = {}
        every = {spot.place: spot for spot in found}
        for spot in every.values():
            if spot.living:
                steps = tuple(
                    sorted((step, min(days)) for step, days in self._inherited(spot, every).items())
                )
                groups.setdefault((self._route(spot, every), steps), []).append(spot)
        self._every = every
        return list(groups.values())

    def _inherited(self, spot: Spot, every: Mapping[str, Spot]) -> dict[str, list[str]]:
        """Steps done here and, before they came, where they came from."""
        steps = dict(spot.steps)
        before = every.get(spot.before) if spot.before is not None else None
        if before and before is not spot:
            for step, days in self._inherited(before, {**every, spot.place: before}).items():
                earlier = [day for day in days if day <= spot.came]
                if earlier:
                    steps[step] = sorted([*earlier, *steps.get(step, [])])
        return steps

    # temperatures

    def _route(self, spot: Spot, every: Mapping[str, Spot]) -> tuple[tuple[str, float | None], ...]:
        """From which day on the grafts stood at which temperature, as far as anybody said."""
        before = every.get(spot.before) if spot.before is not None else None
        earlier = self._route(before, {**every, spot.place: before}) if before and before is not spot else ()
        route = [step for step in earlier if step[0] < spot.came]
        came = spot.came if earlier else self.start.isoformat()
        for day, temperature in self._temperatures(spot.place, came):
            if not route or route[-1][1] != temperature:
                route.append((day, temperature))
        return tuple(route)

    def _temperatures(self, place: str, came: str) -> list[tuple[str, float | None]]:
        """Temperatures of a place since a day: its own, else that of the place it stood in then."""
        days, chain = {came}, [place]
        while chain:
            thing = self.page.thing(chain.pop())
            for name in ("within", "temperature_c"):
                sayings = thing.said.get(name, ()) if thing else ()
                days |= {one.key[:10] for one in sayings if one.key[:10] > came}
                chain += [one.value for one in sayings if name == "within" and len(days) < 400]
        return [(day, self._at(place, f"{day} 9")) for day in sorted(days)]

    def _at(self, place: str, key: str) -> float | None:
        for _ in range(50):
            thing = self.page.thing(place) if place else None
            if thing is None:
                return None
            own = thing.get("temperature_c", at=key)
            if own is not None:
                return float(own)
            place = thing.get("within", "", at=key)
        return None

    def _hourly(self, route: Sequence[tuple[str, float | None]], assumed: float) -> list[float]:
        hours: list[float] = []
        for n, (day, temperature) in enumerate(route):
            until = HORIZON_DAYS if n + 1 == len(route) else self._day(route[n + 1][0])
            since = 0 if n == 0 else self._day(day)
            hours += [assumed if temperature is None else temperature] * (24 * max(int(until - since), 0))
        return hours

    def _day(self, day: str) -> float:
        return float((date.fromisoformat(day) - self.start).days)

    # one group

    def group(self, members: list[Spot]) -> Group:
        """Work out windows and tasks of grafts that walk together."""
        steps = self._inherited(members[0], self._every)
        route = self._route(members[0], self._every)
        stages = sum((spot.standing for spot in members), Counter[str]())
        milestones: list[Milestone] = []
        look_by: dict[str, float] = {}
        said = "no windows"
        if self.species is not None:
            assumed = self._assumed()
            hourly = self._hourly(route, assumed)
            said = _said(route, assumed)
            milestones, look_by = _Windows(self, members, steps, hourly).all()
        looks = _looks(members)
        tasks = tasks_of(self.batch, self.sheet, members, steps, milestones, look_by, self.start)
        return Group(
            places=tuple(spot.place for spot in members), living=sum(stages.values()),
            stages={stage: n for stage, n in stages.items() if n}, temperature=said, milestones=tuple(milestones),
            tasks=tuple(tasks), looks=tuple((look.day, dict(look.seen)) for look in looks if look.seen),
        )  # fmt: skip

    def _assumed(self) -> float:
        """Temperature where nobody said one: the middle of the sheet's range for the first stage."""
        for stage in self.sheet.stages:
            figures = stage.figures(self.genus)
            if figures and figures.keep and figures.keep.temperature:
                return sum(figures.keep.temperature) / 2
        return 20.0


def _said(route: Sequence[tuple[str, float | None]], assumed: float) -> str:
    now = route[-1][1] if route else None
    return f"assumed {assumed:g} °C" if now is None else f"{now:g} °C as you said"


@dataclass
class _Merged:
    """All looks at a group on one day."""

    day: str
    seen: Counter[str]
    lost: Counter[str]


def _looks(members: Sequence[Spot]) -> list[_Merged]:
    """Join the first look of each place on a day, then the second, if any."""
    merged: dict[tuple[str, int], _Merged] = {}
    for spot in members:
        times = Counter[str]()
        for look in spot.days:
            one = merged.setdefault((look.day, times[look.day]), _Merged(look.day, Counter(), Counter()))
            times[look.day] += 1
            one.seen.update(look.seen)
            one.lost.update(look.lost)
    return [merged[when] for when in sorted(merged)]


class _Windows:
    """Windows of a group's milestones, clock after clock."""

    def __init__(
        self, maker: _Maker, members: Sequence[Spot], steps: Mapping[str, list[str]], hourly: list[float]
    ) -> None:
        self.maker, self.members, self.steps, self.hourly = maker, members, steps, hourly
        self.path = Path(maker.sheet.path)
        self.looks = _looks(members)
        self.started = sum(spot.started for spot in members)
        self.law: Law | None = None  # when half the plants end the stage before

    def all(self) -> tuple[list[Milestone], dict[str, float]]:
        """Return every milestone's windows, and for each stage the latest day to look so as not to miss its end."""
        milestones: list[Milestone] = []
        look_by: dict[str, float] = {}
        for step, stages in _by_clock(self.maker.sheet):
            began = self._began(step)
            clock = self._clock(stages)
            if clock is None:
                milestones += [self._plain(stage) for stage in stages]
            elif began is None:
                milestones += self._to_come(clock, stages)
            else:
                milestones += self._running(clock, stages, began, look_by)
        return milestones, look_by

    def _began(self, step: str | None) -> float | None:
        if step == "graft":
            return 0.0
        days = self.steps.get(step or "")
        return self.maker._day(min(days)) if days else None  # noqa: SLF001 - one maker in two parts

    def _clock(self, stages: Sequence[Stage]) -> clocks.Clock | None:
        from graftwright.science.clock import Clock, Milestone
        from graftwright.science.response import Response

        found, spread = [], 0.0
        for stage in stages:
            figures = stage.figures(self.maker.genus)
            pace = figures.pace if figures else None
            if pace is None:
                return None
            known = self.maker.species.responses.get(pace.response or "") if self.maker.species else None
            response = Response(known.base, known.optimum, known.ceiling) if known else None
            found.append(Milestone(stage.milestone or "", pace.days, pace.spread, response))
            spread = pace.batch_spread
        return Clock(tuple(found), spread) if found else None

    def _counted(self, stage: Stage) -> tuple[int, int]:
        """How many count at a stage's end, and how many of them are past it."""
        rank = self.path.rank(stage.key)
        standing = sum((spot.standing for spot in self.members), Counter[str]())
        past = sum(n for key, n in standing.items() if self.path.rank(key) > rank)
        return sum(standing.values()), past

    def _plain(self, stage: Stage) -> Milestone:
        of, reached = self._counted(stage)
        return Milestone(stage.key, stage.milestone or "", of, reached, by_growth=stage.ends == "by growth")

    # a clock that runs

    def _running(
        self, clock: clocks.Clock, stages: Sequence[Stage], began: float, look_by: dict[str, float]
    ) -> list[Milestone]:
        from graftwright.science.clock import clock_progress
        from graftwright.science.dates import look_by as latest_look
        from graftwright.science.dates import more_than_a_fifth, windows
        from graftwright.science.laws import laws
        from graftwright.science.posterior import posterior

        progress = clock_progress(clock, self.hourly[int(began * 24) :])
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

    def _checks(self, stages: Sequence[Stage], began: float) -> tuple[int, list[clocks.Check]]:
        """Return the plants that started on this clock, and its checks."""
        from graftwright.science.clock import Check

        first = self.path.rank(stages[0].key)
        ranks = [self.path.rank(stage.key) for stage in stages]
        checks: list[clocks.Check] = []
        alive = sum(spot.living for spot in self.members)
        lost_before = 0
        lost = Counter[int]()
        for look in self.looks:
            day = self.maker._day(look.day) - began  # noqa: SLF001
            behind = Counter({milestones_behind(ranks, self.path.rank(key)): 0 for key in look.lost})
            for key, n in look.lost.items():
                behind[milestones_behind(ranks, self.path.rank(key))] += n
            if day < 0:
                continue
            lost += behind
            lost_before += sum(behind.values())
            seen = {key: n for key, n in look.seen.items() if self.path.rank(key) >= first}
            passed = tuple(sum(n for key, n in seen.items() if self.path.rank(key) > rank) for rank in ranks)
            if seen or lost:
                gone = tuple(lost[i] for i in range(len(ranks) + 1))
                checks.append(Check(day, passed, sum(seen.values()), gone))
                lost = Counter()
        return alive + lost_before, checks

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

        living = sum(spot.living for spot in self.members)
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


def milestones_behind(ranks: Sequence[int], stage: int) -> int:
    """How many milestones of a clock a unit at a stage has behind it."""
    return sum(stage > rank for rank in ranks)


def _shifted(law: Law, by: float) -> Law:
    from graftwright.science.laws import Law

    return Law(law.day + by, law.chance)


def _by_clock(sheet: Sheet) -> list[tuple[str | None, list[Stage]]]:
    """Stages that run on one clock, each clock with the step that starts it; the last stage has no end."""
    clocked: list[tuple[str | None, list[Stage]]] = []
    for stage in sheet.stages[:-1]:
        if clocked and stage.started_by and clocked[-1][0] == stage.started_by:
            clocked[-1][1].append(stage)
        else:
            clocked.append((stage.started_by, [stage]))
    return clocked
