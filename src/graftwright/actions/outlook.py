"""Will the numbers be made? For each wish its chance, and what can still be done about it."""

from __future__ import annotations

from collections import Counter, defaultdict
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

MOST = 10_000  # nobody tops up by more
SEASON_DAYS = 400  # grafts made no longer before the wanted day belong to its season


@dataclass(frozen=True)
class Chance:
    """The outlook of one wish; wishes for the same trees are served in the order of their days.

    `before` are the trees that wishes served earlier take from the same batches. `top_up` is how many
    grafts more restore the wanted chance (None: no number does); `why_not` says why they cannot be made.
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
    since = min([asked.today, *(wish.by for wish in wishes.wishes)]) - timedelta(days=SEASON_DAYS)
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
        together += [(sheet, chance, error) for chance, error in table.together(mine)]
        for one in table.promised(
            given, asked.today
        ):  # a variety raised in two ways keeps it in the likelier one
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
    """One sheet and genus: its stages and all its batches."""

    def __init__(self, stages: Sequence[Stage], batches: Sequence[Standing]) -> None:
        self.stages, self.batches = stages, batches

    def _season(self, by: date) -> list[Standing]:
        """Return the batches of the season that a wanted day belongs to."""
        since = by - timedelta(days=SEASON_DAYS)
        return [one for one in self.batches if since <= one.start <= by]

    def chances(self, mine: Mapping[str, Sequence[Wish]], wishes: Wishes, asked: Asked) -> Iterable[Chance]:
        """Serve the wishes for each variety in the order of their days, as far as they share batches."""
        for variety, pool in mine.items():
            for n, wish in enumerate(pool):
                season = self._season(wish.by)
                own = {one.batch for one in season if one.variety == variety}
                sharing = [one for one in pool[:n] if own & {each.batch for each in self._season(one.by)}]
                yield self._chance(wish, sum(one.trees for one in sharing), season, wishes, asked)

    def _chance(
        self, wish: Wish, before: int, season: Sequence[Standing], wishes: Wishes, asked: Asked
    ) -> Chance:
        from graftwright.science.outlook import outlooks

        own, others = _law(season, wish.variety, before + wish.trees), _others(season, {wish.variety})
        (seen,) = outlooks(self.stages, [own], others)
        batches = [one for one in season if one.variety == wish.variety]
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
        found = replace(found, top_up=top_up(self.stages, [own], 0, found.wish.sure, MOST, others))
        most, why = asked.most(found.wish, wishes)
        if most and found.top_up and found.top_up <= most:
            return found
        if most:
            (at_most,) = outlooks(self.stages, [_grown(own, most)], others)
            why = f"{why} is {most} grafts, and they make it {at_most.chance:.0%}"
        return replace(found, why_not=why)

    def together(self, mine: Mapping[str, Sequence[Wish]]) -> Iterable[tuple[float, float]]:
        """Return the chance that all wishes of one season are met, for each season with several, and its error."""
        from graftwright.science.outlook import together

        seasons: dict[tuple[str, ...], list[Wish]] = defaultdict(list)
        for wish in (wish for pool in mine.values() for wish in pool):
            seasons[tuple(one.batch for one in self._season(wish.by))].append(wish)
        for batches, wishes in seasons.items():
            wanted = Counter[str]()
            for wish in wishes:
                wanted[wish.variety] += wish.trees
            if batches and len(wanted) > 1:
                season = [one for one in self.batches if one.batch in batches]
                laws = [_law(season, variety, want) for variety, want in wanted.items()]
                yield together(self.stages, laws, _others(season, set(wanted)))

    def promised(self, given: Sequence[Promise], today: date) -> Iterable[Kept]:
        """Serve promises of a variety in the order in which they were made."""
        from graftwright.science.outlook import outlooks, promised

        season = self._season(today)
        for variety in sorted({one.variety for one in given} & {one.variety for one in season}):
            own = [one for one in given if one.variety == variety]
            still = _law(season, variety, sum(one.count for one in own))
            here = sum(one.finished for one in season if one.variety == variety)  # those given keep no more
            (seen,) = outlooks(self.stages, [replace(still, done=here)], _others(season, {variety}))
            chances = promised(seen.left, [one.count for one in own])
            yield from (Kept(one, chance) for one, chance in zip(own, chances, strict=True))


def _law(season: Sequence[Standing], variety: str, want: int) -> law.Wish:
    from graftwright.science.outlook import Wish

    own = [one for one in season if one.variety == variety]
    entered = tuple(each for one in own for each in one.entered)
    return Wish(want, entered, sum(one.finished + one.given for one in own))


def _others(season: Sequence[Standing], varieties: set[str]) -> list[Entered]:
    """What the batches of other varieties tell of the season."""
    return [each for one in season if one.variety not in varieties for each in one.entered]


def _grown(own: law.Wish, more: int) -> law.Wish:
    from graftwright.science.shares import Entered

    return replace(own, own=(*own.own, Entered(0, waiting=more)))
