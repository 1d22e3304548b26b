"""Lays out a season, one wish after another, the one with the fewest days first.

Greedy: a wish takes the days that cost it least among those the wishes before it left over.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from graftwright.actions.chain import chain, expected, to_start
from graftwright.actions.plan_days import Days
from graftwright.actions.plan_parts import Batch, Plan, Unmet
from graftwright.actions.plan_supplies import floated, nuts_for, scarce_sprouts, scarce_wood, too_few
from graftwright.actions.plan_windows import Clocks
from graftwright.errors import NotEnoughComplaint
from graftwright.handbook.untried import untried

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence
    from datetime import date

    from graftwright.actions.plan_days import Sitting
    from graftwright.actions.wish_file import Wish, Wishes
    from graftwright.handbook import Handbook, Sheet, Species
    from graftwright.science.sizing import Stage


@dataclass
class Order:
    """One wish on its way into the plan."""

    wish: Wish
    sheet: Sheet
    species: Species
    chain: tuple[Stage, ...]
    needed: int
    grafts: int
    minutes_each: float
    sittings: list[Sitting] = field(default_factory=list)


@dataclass
class Ground:
    """What stays the same however many of the wishes are laid out: clocks, and the days found for an order."""

    wishes: Wishes
    handbook: Handbook
    today: date
    found: dict[tuple[int, int], tuple[list[Sitting], str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Set the clocks going."""
        self.clocks = Clocks(self.wishes.room.callusing_c, self.wishes.room.refrigerator_c)

    def days(self, order: Order) -> tuple[list[Sitting], str]:
        """Return the days on which an order can be grafted, and why there are none."""
        question = order.wish.number, order.grafts
        if question not in self.found:
            days = Days(
                order.wish, self.wishes, order.sheet, order.species, self.clocks, self.today, order.grafts
            )
            self.found[question] = days.sittings(), days.why_not
        return self.found[question]


def lay_out(ground: Ground, numbers: Collection[int]) -> Plan:
    """Lay out the wishes with these numbers."""
    return _placing(ground, numbers).plan()


def all_met(ground: Ground, numbers: Collection[int]) -> bool:
    """Whether all wishes with these numbers are met when they are laid out; supplies that run short tell it soonest."""
    placing = _placing(ground, numbers)
    return not (placing.runs_short() or placing.plan().unmet)


def _placing(ground: Ground, numbers: Collection[int]) -> _Placing:
    return _Placing(ground, [wish for wish in ground.wishes.wishes if wish.number in numbers])


class _Placing:
    def __init__(self, ground: Ground, wanted: Sequence[Wish]) -> None:
        self.ground, self.wishes = ground, ground.wishes
        self.used: dict[date, float] = defaultdict(float)  # minutes
        self.taken: dict[date, list[int]] = defaultdict(list)  # wishes
        self.batches: list[Batch] = []
        self.unmet: list[Unmet] = []
        self.orders = [order for wish in wanted if (order := self._order(wish))]

    def runs_short(self) -> bool:
        return bool(self.unmet) or too_few(self.orders, self.wishes)

    def plan(self) -> Plan:
        orders = self._shared(self.orders)
        for order in orders:
            self._find_days(order)
        for order in sorted(orders, key=lambda one: (len(one.sittings), one.wish.by, one.wish.number)):
            if order.sittings:
                self._place(order)
        batches = sorted(
            nuts_for(self.batches, orders, self.wishes), key=lambda one: (one.graft_on, one.wish)
        )
        unmet = sorted(self.unmet, key=lambda one: one.wish)
        return Plan(self.ground.today, tuple(batches), tuple(unmet), ())

    def _order(self, wish: Wish) -> Order | None:
        sheet, species = (
            self.ground.handbook.sheet(wish.sheet),
            self.ground.handbook.species.get(wish.species),
        )
        why = untried(sheet, species, wish.species)
        if why or species is None:
            self._refuse(wish, 0, 0, why or f"Nothing is known of {wish.species}.")
            return None
        passes = chain(sheet.stages, wish.species, wish.experience)
        try:
            needed = to_start(wish.trees, wish.sure, passes) if wish.start is None else wish.start
        except NotEnoughComplaint as trouble:
            self._refuse(wish, 0, 0, f"{trouble.sentence} {trouble.do}")
            return None
        each = sum(task.minutes for task in sheet.stages[0].work if task.at == "start" and not task.only_from)
        return Order(wish, sheet, species, passes, needed, needed, each)

    def _shared(self, orders: Sequence[Order]) -> list[Order]:
        """Share scarce wood and scarce sprouts; say which wishes go short."""
        for what, split in (("wood", scarce_wood), ("sprouts", scarce_sprouts)):
            for order, given, others in split(orders, self.wishes):
                short = f"only {given} of {order.grafts} grafts have {what}"
                said = f"{order.wish.name}: {short}{_with(others)}."
                self._refuse(order.wish, order.needed, given, said, others)
                order.grafts = given
        return [order for order in orders if order.grafts]

    def _find_days(self, order: Order) -> None:
        order.sittings, why_not = self.ground.days(order)
        if not order.sittings:
            sentence = f"{order.wish.name} cannot be ready by {order.wish.by}: {why_not}."
            self._refuse(order.wish, order.needed, 0, sentence)

    def _room(self, order: Order, day: date) -> int:
        """How many of these grafts a day still has minutes for."""
        if not order.minutes_each:
            return order.grafts
        return int((self.wishes.minutes - self.used[day] + 1e-9) / order.minutes_each)

    def _place(self, order: Order) -> None:
        left = order.grafts
        for sitting in self._chosen(order):
            grafts = min(left, self._room(order, sitting.day))
            self._book(order, sitting, grafts)
            left -= grafts
        if left:
            self._crowded(order, order.grafts - left)

    def _chosen(self, order: Order) -> list[Sitting]:
        """Return the sittings that hold all grafts: the cheapest first day that is enough, else the roomiest."""
        open_days = [one for one in order.sittings if self._room(order, one.day) > 0]
        runs = [self._run(order, open_days[n:]) for n in range(len(open_days))]
        if not runs:
            return []
        return min(runs, key=lambda run: (-self._held(order, run), sum(one.cost for one in run), len(run),
                                          run[0].ready - run[0].day, run[0].day))  # fmt: skip

    def _run(self, order: Order, days: Sequence[Sitting]) -> list[Sitting]:
        run: list[Sitting] = []
        for one in days:
            if self._held(order, run) >= order.grafts:
                break
            run.append(one)
        return run

    def _held(self, order: Order, run: Iterable[Sitting]) -> int:
        return min(order.grafts, sum(self._room(order, one.day) for one in run))

    def _book(self, order: Order, sitting: Sitting, grafts: int) -> None:
        wish, minutes = order.wish, grafts * order.minutes_each
        self.used[sitting.day] += minutes
        self.taken[sitting.day].append(wish.number)
        self.batches.append(Batch(
            wish.number, wish.variety, wish.species, wish.sheet, grafts, 0, sitting.day, sitting.chill_on,
            sitting.bring_out, sitting.ready, minutes, sitting.windows, expected(grafts, order.chain),
            sitting.warnings, wish.purpose, floated(self.wishes, wish.species),
        ))  # fmt: skip

    def _crowded(self, order: Order, placed: int) -> None:
        others = tuple(
            sorted({n for one in order.sittings for n in self.taken[one.day]} - {order.wish.number})
        )
        short = f"the free days have minutes for {placed} of {order.grafts} grafts"
        self._refuse(order.wish, order.needed, placed, f"{order.wish.name}: {short}{_with(others)}.", others)

    def _refuse(
        self, wish: Wish, needed: int, placed: int, sentence: str, clashes: tuple[int, ...] = ()
    ) -> None:
        said = sentence if wish.name in sentence else f"{wish.name}: {sentence}"
        said = said[0].upper() + said[1:]
        self.unmet.append(
            Unmet(wish.number, wish.variety, needed, placed, said, clashes, purpose=wish.purpose)
        )


def _with(others: Sequence[int]) -> str:
    return f"; it shares them with {listed(others)}" if others else ""


def listed(numbers: Sequence[int]) -> str:
    """Name wishes by their numbers."""
    return ("wish " if len(numbers) == 1 else "wishes ") + ", ".join(map(str, numbers))
