"""Will the numbers be made? For each wish its chance, and what can still be done about it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from graftwright.actions.chain import chain
from graftwright.actions.standing import sheet_of, standing
from graftwright.actions.wanted import promises, wanted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from datetime import date

    from graftwright.actions.ports import Reading
    from graftwright.actions.site import Site
    from graftwright.actions.standing import Standing
    from graftwright.actions.wanted import Promise
    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.handbook import Handbook
    from graftwright.ledger.windows import Forecast
    from graftwright.science import outlook as law
    from graftwright.science.shares import Entered
    from graftwright.science.sizing import Stage

SEASON_DAYS = 400  # grafts made no longer before the wanted day belong to its season


@dataclass(frozen=True)
class Chance:
    """The outlook of one wish; wishes for the same trees are served in the order of their days.

    `before` are the trees that wishes served earlier take from the same batches.
    """

    wish: Wish
    made: int
    living: int
    done: int
    before: int
    chance: float
    error: float
    median: int
    low: int
    high: int
    planned: int = 0
    with_planned: float | None = None
    top_up: int | None = None
    why_not: str = ""
    late: tuple[str, ...] = ()


@dataclass(frozen=True)
class Kept:
    """A promise and the chance that its trees will be there."""

    promise: Promise
    chance: float


@dataclass(frozen=True)
class Outlook:
    """All wishes, the chance that those on one sheet are met together, and what is promised."""

    today: date
    chances: tuple[Chance, ...]
    together: tuple[tuple[str, float, float], ...]  # sheet, chance, error
    promised: tuple[Kept, ...]


@dataclass(frozen=True)
class Asked:
    """What an outlook rests on besides the notebook."""

    handbook: Handbook
    today: date
    experience: Callable[[str], str]
    most: Callable[[Wish, Wishes], tuple[int, str]]  # how many can still be grafted, or why none
    planned: Mapping[int, int] = field(default_factory=dict)  # wish -> grafts that a kept plan still has


def outlook(reading: Reading, site: Site, asked: Asked) -> Outlook:
    """Work out the outlook of every wish whose day has not come yet."""
    wishes = wanted(reading, site, asked.today, asked.experience)
    given = promises(reading)
    pools = _pools(wishes.wishes)
    since = min((wish.by for wish in wishes.wishes), default=asked.today) - timedelta(days=SEASON_DAYS)
    season = reading.season(since.isoformat()) if wishes.wishes or given else []
    chances: list[Chance] = []
    together = []
    kept: dict[int, Kept] = {one.number: Kept(one, 0.0) for one in given}
    for sheet, genus in sorted({(wish.sheet, wish.species) for wish in wishes.wishes} | _raised(season)):
        stages = _chain(asked, sheet, genus)
        if not stages:
            continue
        table = _Table(stages, standing(reading, season, sheet, genus, stages, asked.handbook))
        mine = {
            variety: pool for (one, kind, variety), pool in pools.items() if (one, kind) == (sheet, genus)
        }
        chances += table.chances(mine, wishes, asked)
        if len(mine) > 1:
            together.append((sheet, *table.together(mine)))
        for one in table.promised(mine, given):  # a variety raised in two ways keeps it in the likelier one
            kept[one.promise.number] = max(one, kept[one.promise.number], key=lambda each: each.chance)
    return Outlook(
        asked.today, tuple(sorted(chances, key=lambda one: one.wish.number)), tuple(together),
        tuple(kept.values()),
    )  # fmt: skip


Pools = dict[tuple[str, str, str], list["Wish"]]


def _pools(wishes: Iterable[Wish]) -> Pools:
    """Wishes for the same trees, the earliest day first."""
    pools: Pools = defaultdict(list)
    for wish in sorted(wishes, key=lambda one: (one.by, one.number)):
        pools[wish.sheet, wish.species, wish.variety].append(wish)
    return pools


def _raised(season: Iterable[Forecast]) -> set[tuple[str, str]]:
    return {(sheet_of(one), str(one.rests_on.get("genus", ""))) for one in season} - {("", "")}


def _chain(asked: Asked, sheet: str, genus: str) -> tuple[Stage, ...]:
    known = asked.handbook.sheets.get(sheet)
    return chain(known.stages, genus, asked.experience(sheet)) if known else ()


# the chances


class _Table:
    """One sheet and genus in a season: its stages and all its batches."""

    def __init__(self, stages: Sequence[Stage], batches: Sequence[Standing]) -> None:
        self.stages = stages
        self.batches: dict[str, list[Standing]] = defaultdict(list)
        for one in batches:
            self.batches[one.variety].append(one)

    def chances(self, mine: Mapping[str, Sequence[Wish]], wishes: Wishes, asked: Asked) -> Iterable[Chance]:
        for pool in mine.values():
            before = 0
            for wish in pool:
                yield self._chance(wish, before, wishes, asked)
                before += wish.trees

    def _chance(self, wish: Wish, before: int, wishes: Wishes, asked: Asked) -> Chance:
        from graftwright.science.outlook import outlooks

        own, others = self._law(wish.variety, before + wish.trees), self._others(wish.variety)
        (seen,) = outlooks(self.stages, [own], others)
        batches = self.batches.get(wish.variety, ())
        found = Chance(
            wish, sum(one.made for one in batches), sum(one.living for one in batches), own.done, before,
            seen.chance, seen.error, seen.median, seen.low, seen.high, asked.planned.get(wish.number, 0),
            late=tuple(one.batch for one in batches if one.ready and one.ready > wish.by),
        )  # fmt: skip
        if found.planned:
            (with_planned,) = outlooks(self.stages, [_grown(own, found.planned)], others)
            found = replace(found, with_planned=with_planned.chance)
        return self._topped_up(found, own, others, wishes, asked)

    def _topped_up(
        self, found: Chance, own: law.Wish, others: Sequence[Entered], wishes: Wishes, asked: Asked
    ) -> Chance:
        from graftwright.science.outlook import outlooks, top_up

        if found.chance >= found.wish.sure:
            return replace(found, top_up=0)
        most, why = asked.most(found.wish, wishes)
        if not most:
            return replace(found, why_not=why)
        more = top_up(self.stages, [own], 0, found.wish.sure, most, others)
        if more is not None:
            return replace(found, top_up=more)
        (at_most,) = outlooks(self.stages, [_grown(own, most)], others)
        return replace(found, why_not=f"even {most} more grafts, {why}, make it {at_most.chance:.0%}")

    def _law(self, variety: str, want: int) -> law.Wish:
        from graftwright.science.outlook import Wish

        batches = self.batches.get(variety, ())
        entered = tuple(each for one in batches for each in one.entered)
        return Wish(want, entered, sum(one.finished + one.given for one in batches))

    def _others(self, variety: str) -> list[Entered]:
        """What the batches of other varieties tell of the season."""
        return [each for name, batches in self.batches.items() if name != variety for one in batches
                for each in one.entered]  # fmt: skip

    def together(self, mine: Mapping[str, Sequence[Wish]]) -> tuple[float, float]:
        """Return the chance that all wishes on this sheet are met, and its error."""
        from graftwright.science.outlook import together

        laws = [self._law(variety, sum(wish.trees for wish in pool)) for variety, pool in mine.items()]
        others = [each for name, batches in self.batches.items() if name not in mine for one in batches
                  for each in one.entered]  # fmt: skip
        return together(self.stages, laws, others)

    def promised(self, mine: Mapping[str, Sequence[Wish]], given: Sequence[Promise]) -> Iterable[Kept]:
        """Serve promises of a variety in the order in which they were made."""
        from graftwright.science.outlook import outlooks, promised

        for variety in sorted({one.variety for one in given} & (mine.keys() | self.batches.keys())):
            own = [one for one in given if one.variety == variety]
            still = self._law(variety, sum(one.count for one in own))
            here = sum(
                one.finished for one in self.batches.get(variety, ())
            )  # those given keep no promise more
            (seen,) = outlooks(self.stages, [replace(still, done=here)], self._others(variety))
            chances = promised(seen.left, [one.count for one in own])
            yield from (Kept(one, chance) for one, chance in zip(own, chances, strict=True))


def _grown(own: law.Wish, more: int) -> law.Wish:
    from graftwright.science.shares import Entered

    return replace(own, own=(*own.own, Entered(0, waiting=more)))
