"""The days on which one wish can be grafted, and why there are none."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING

from graftwright.actions.plan_doubts import chill_short, old_wood, waits_for_frost, windows_missed
from graftwright.actions.plan_parts import Dated

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from graftwright.actions.plan_windows import Clocks, Reach
    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.handbook.sheets import Sheet
    from graftwright.handbook.species import Species
    from graftwright.ledger.windows import Window

SEARCH_DAYS = 400  # no season reaches back further than this from the day the trees are wanted
_LONGEST_SPROUTING = 40  # days from bringing out to grafting
_USUAL_SPROUTING = 16  # bringing-out days are tried from here on, nearest first

Dates = tuple[date, date, date]


@dataclass(frozen=True)
class Sitting:
    """A day on which grafts could be made, and all that follows from it."""

    day: date
    windows: tuple[Dated, ...]
    ready: date
    chill_on: date | None = None
    bring_out: date | None = None
    warnings: tuple[str, ...] = ()
    cost: int = 0


@dataclass
class Days:
    """Finds the sittings of one wish."""

    wish: Wish
    wishes: Wishes
    sheet: Sheet
    species: Species
    clocks: Clocks
    today: date
    grafts: int
    why_not: str = field(default="", init=False)

    def sittings(self) -> list[Sitting]:
        """Return every day that keeps all rules, in order; if there is none, `why_not` says why."""
        if self.wish.by <= self.today:
            self.why_not = "that day has come already"
            return []
        reaches = self.clocks.after_grafting(self.sheet, self.species, self.grafts)
        if reaches_end(reaches) is None:
            self.why_not = (
                f"at {self.wishes.room.callusing_c:g} °C in the room these grafts never come to their end"
            )
            return []
        first = max(self.today, self.wish.by - timedelta(days=SEARCH_DAYS))
        days = [first + timedelta(days=n) for n in range((self.wish.by - first).days + 1)]
        days = self._narrow(days, self.wishes.free.is_free, "none of the days left until then is free")
        days = self._narrow(
            days, lambda day: self._ready(day, reaches) <= self.wish.by, self._too_late(reaches)
        )
        days = self._narrow(
            days, self._wood_lives, "the wood is not dormant, or not cut yet, on the days left"
        )
        return self._sprouted(days, reaches)

    def _narrow(self, days: list[date], keeps: Callable[[date], bool], why: str) -> list[date]:
        kept = [day for day in days if keeps(day)]
        if not kept and not self.why_not:
            self.why_not = why
        return kept

    def _too_late(self, reaches: Sequence[Reach]) -> str:
        frost = self.wish.last_frost
        if frost and self.wish.by <= frost:
            return f"{self.wish.by} is before the last frost on {frost}, and grafts harden after it"
        held = self._held_back()
        if frost and held and held.ready and frost + timedelta(days=1 + ceil(held.ready)) > self.wish.by:
            return (
                f"hardening waits for the last frost on {frost} and then takes up to {ceil(held.ready)} days"
            )
        needed = ceil(reaches_end(reaches) or 0)
        return f"grafts made on the first free day are not ready by then: they take up to {needed} days"

    # the days after grafting

    def windows(self, day: date, reaches: Sequence[Reach]) -> tuple[Dated, ...]:
        """Return the milestones of grafts made on a day; hardening waits for the last frost."""
        made: list[Dated] = []
        for one in reaches[:-1]:
            found = _days(day, one.half)
            made.append(Dated(one.name, *found) if found else self._after_frost(one.name, made[-1]))
        return (*made, self._planted(day, reaches[-1], made[-1]))

    def _after_frost(self, name: str, before: Dated) -> Dated:
        """A stage that the grower ends: as soon as its own has come, and not before the last frost."""
        spring = self._spring()
        return Dated(name, *(max(one, spring) for one in (before.earliest, before.likely, before.latest)))

    def _planted(self, day: date, last: Reach, hardening: Dated) -> Dated:
        plain = _days(day, last.half)
        held = self._held_back()
        found = [one for one in (plain, _days(self._spring(), held.half) if held else None) if one]
        if not found:
            return Dated(last.name, hardening.earliest, hardening.likely, hardening.latest)
        return Dated(last.name, *(max(days) for days in zip(*found, strict=True)))

    def _held_back(self) -> Reach | None:
        frost = self.wish.last_frost
        return self.clocks.after_hardening(self.sheet, self.species, self.grafts) if frost else None

    def _spring(self) -> date:
        frost = self.wish.last_frost
        return frost + timedelta(days=1) if frost else date.min

    def _ready(self, day: date, reaches: Sequence[Reach]) -> date:
        ready = day + timedelta(days=ceil(reaches_end(reaches) or 0))
        held = self._held_back()
        if held and held.ready is not None:
            ready = max(ready, self._spring() + timedelta(days=ceil(held.ready)))
        return ready

    # wood and sprouts

    def _wood_lives(self, day: date) -> bool:
        keeps = self.species.scionwood.keeps_days if self.species.scionwood else None
        lots = [one for one in self.wishes.wood if one.variety == self.wish.variety and one.buds]
        return all(one.cut <= day and (keeps is None or (day - one.cut).days <= keeps[1]) for one in lots)

    def _sprouted(self, days: list[date], reaches: Sequence[Reach]) -> list[Sitting]:
        if not days:
            return []
        if not self.species.seed_stages or not self.species.chill:
            return [self._sitting(day, reaches, None, None) for day in days]
        chill_on = self.chill_on()
        made = [
            self._sitting(day, reaches, chill_on, out)
            for day in days
            if (out := self._bring_out(day, chill_on)) is not None
        ]
        if not made:
            least = self.species.chill.minimum_days or 0
            self.why_not = (
                f"nuts put to chill on {chill_on} and kept there at least {least:g} days have no usable root "
                "on the days left"
            )
        return made

    def chill_on(self) -> date:
        """Return the day the nuts are put to chill: what was done, else the first free day from now."""
        lots = [one for one in self.wishes.seed if one.species == self.wish.species and one.count]
        if lots and all(one.chilled for one in lots):
            return max(one.chilled for one in lots if one.chilled)
        ready = max([self.today, *(one.received for one in lots)])
        return self.wishes.free.first_from(ready, ready + timedelta(days=60)) or ready

    def _bring_out(self, day: date, chill_on: date) -> date | None:
        """Return the free day for bringing out whose sprouting window holds the day of grafting."""
        least = int((self.species.chill.minimum_days if self.species.chill else None) or 0)
        first = max(chill_on + timedelta(days=least), day - timedelta(days=_LONGEST_SPROUTING), self.today)
        options = (first + timedelta(days=n) for n in range((day - first).days + 1))
        free = [one for one in options if self.wishes.free.is_free(one)]
        free.sort(key=lambda out: (abs((day - out).days - _USUAL_SPROUTING), out))
        return next((out for out in free if self._has_roots(day, chill_on, out)), None)

    def _has_roots(self, day: date, chill_on: date, out: date) -> bool:
        found = self.clocks.after_chilling(self.species, self.grafts, (out - chill_on).days)
        if found is None or found.half.earliest is None or found.most.latest is None:
            return False
        return found.half.earliest <= (day - chill_on).days <= found.most.latest

    def _sitting(
        self, day: date, reaches: Sequence[Reach], chill_on: date | None, out: date | None
    ) -> Sitting:
        windows = self.windows(day, reaches)
        told = [
            *windows_missed(windows, self.sheet, self.wishes), *chill_short(self.species, chill_on, out),
            *old_wood(day, self.wish, self.wishes, self.species), *waits_for_frost(windows, self.wish.last_frost),
        ]  # fmt: skip
        return Sitting(day, windows, self._ready(day, reaches), chill_on, out,
                       tuple(said for said, _ in told), sum(cost for _, cost in told))  # fmt: skip


def reaches_end(reaches: Sequence[Reach]) -> float | None:
    """Return after how many days grafts stand at the end of the sheet, told with care."""
    return reaches[-1].ready


def _days(day: date, window: Window) -> Dates | None:
    """Count from a day, rounded outward."""
    if window.earliest is None or window.likely is None or window.latest is None:
        return None
    return (day + timedelta(days=int(window.earliest)), day + timedelta(days=round(window.likely)),
            day + timedelta(days=ceil(window.latest)))  # fmt: skip
