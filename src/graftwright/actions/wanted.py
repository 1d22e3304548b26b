"""What a notebook knows that a plan needs: wishes, nuts and wood in hand, free time, the warmth of rooms."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.called import LINKS, link, with_origins
from graftwright.actions.wish_file import Room, Seed, Wish, Wishes, Wood
from graftwright.ledger.lines import THERE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from graftwright.actions.ports import Reading
    from graftwright.actions.site import Site
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.things import Thing

USUAL_SURE = 0.9
KEPT_DAYS = 500  # from the autumn or winter in which it came to the end of the next season; common practice
UNCOUNTED = 1_000_000  # nobody counted them: they hold up no plan
_NUTS = ("in hand", "chilling", "sprouting", "pulled")


@dataclass(frozen=True)
class Promise:
    """Trees of a variety promised to somebody and not given yet."""

    number: int
    variety: str
    count: int
    to_whom: str
    by: str = ""


def wanted(reading: Reading, site: Site, today: date, experience: Callable[[str], str]) -> Wishes:
    """Gather what a plan needs; a wish goes by the number of its entry."""
    return Wishes(
        wishes=tuple(
            replace(wish, last_frost=_spring(site.last_frost, wish.by, today))
            for wish in told_wishes(reading, experience) if wish.by >= today
        ),
        seed=tuple(_seed(reading)), wood=tuple(_wood(reading)), free=site.free, minutes=site.minutes,
        room=_room(reading.things_of("place")), time_zone=site.zone,
        stocks=_stocks(reading),
    )  # fmt: skip


def of_season(wishes: Wishes, by: date) -> Wishes:
    """Leave out nuts and wood that will be too old for trees wanted on that day."""
    return replace(
        wishes,
        seed=tuple(one for one in wishes.seed if (by - one.received).days < KEPT_DAYS),
        wood=tuple(one for one in wishes.wood if (by - one.cut).days < KEPT_DAYS),
    )


def told_wishes(reading: Reading, experience: Callable[[str], str]) -> list[Wish]:
    """Return every wish that stands, also those whose day is past."""
    told = reading.of_kind("wish")
    names = reading.things({e.subject for e in told})
    return [wish_of(e, names[e.subject].name, experience(e.get("sheet"))) for e in told]


def wish_of(e: Entry, variety: str, experience: str) -> Wish:
    """Return the wish that an entry tells of."""
    return Wish(
        e.number, variety, e.get("count"), date.fromisoformat(e.get("ready_by")), e.get("sure", USUAL_SURE),
        e.get("sheet"), e.get("genus"), experience, e.get("purpose", ""),
    )  # fmt: skip


def promises(reading: Reading) -> list[Promise]:
    """Return what is promised and not given yet, in the order in which it was promised."""
    told = reading.of_kind("promise")
    varieties = varieties_of(reading, {e.subject for e in told})
    given = Counter[tuple[str, str]]()
    gone = [e for kind in ("give", "sell") for e in reading.of_kind(kind)] if told else []
    for e, variety in zip(gone, _subjects(reading, gone), strict=True):
        given[variety, _who(e)] += _number_of(reading, e)
    found = []
    for e in told:
        variety, who = varieties[e.subject], _who(e)
        done = min(given[variety, who], e.get("count"))
        given[variety, who] -= done
        if e.get("count") > done:
            found.append(
                Promise(e.number, variety, e.get("count") - done, e.get("to_whom"), e.get("ready_by", ""))
            )
    return found


def _who(e: Entry) -> str:
    return str(e.get("to_whom", "")).casefold().strip()


def _number_of(reading: Reading, e: Entry) -> int:
    return sum(line.amount for line in reading.lines(e.number) if line.account.name in {"given", "sold"})


def _subjects(reading: Reading, entries: Sequence[Entry]) -> list[str]:
    varieties = varieties_of(reading, {e.subject for e in entries})
    return [varieties[e.subject] for e in entries]


def varieties_of(reading: Reading, codes: Iterable[str]) -> dict[str, str]:
    """Return the name of the variety of plants, batches, lots and varieties; '' where nobody said it."""
    known = reading.things(codes)
    around = with_origins(reading, known)
    return {code: _variety(thing, around) for code, thing in known.items()}


def _variety(thing: Thing, around: dict[str, Thing]) -> str:
    found: Thing | None = thing
    for name in LINKS:
        onward = around.get(link(found, name)) if found else None
        found = onward or found
    return found.name if found and found.kind == "variety" else ""


def _seed(reading: Reading) -> Iterable[Seed]:
    lots = [lot for lot in reading.things_of("seed") if lot.get("genus")]
    chilled: dict[str, date] = {}
    for e in reading.of_kind("chill"):
        chilled.setdefault(e.subject, date.fromisoformat(e.day))
    for lot, nuts in _in_hand(reading, lots, _NUTS):
        yield Seed(lot.get("genus"), nuts, date.fromisoformat(lot.get("day")), chilled.get(lot.code))


def _wood(reading: Reading) -> Iterable[Wood]:
    lots = reading.things_of("scionwood")
    varieties = varieties_of(reading, [lot.code for lot in lots])
    for lot, buds in _in_hand(reading, lots, ("in hand",)):
        yield Wood(varieties[lot.code], buds, date.fromisoformat(lot.get("day")))


def _stocks(reading: Reading) -> dict[str, int]:
    found = Counter[str]()
    for lot, stocks in _in_hand(reading, reading.things_of("stock"), ("in hand",)):
        found[str(lot.get("genus", ""))] += stocks
    return dict(found)


def _in_hand(reading: Reading, lots: Sequence[Thing], stages: Sequence[str]) -> Iterable[tuple[Thing, int]]:
    there = Counter[str]()
    for line in reading.accounts([lot.code for lot in lots]):
        if line.account.name == THERE and line.account.detail in stages:
            there[line.account.thing] += line.amount
    for lot in lots:
        n = UNCOUNTED if lot.get("uncounted") else there[lot.code]
        if n > 0:
            yield lot, n


def _room(places: Sequence[Thing]) -> Room:
    """Take the warmest place and the coldest refrigerator of which somebody said how warm they are."""
    warm: list[float] = []
    cold: list[float] = []
    for place in places:
        degrees = place.get("temperature_c")
        if degrees is not None:
            (cold if place.get("place_kind") == "refrigerator" else warm).append(float(degrees))
    usual = Room()
    return Room(max(warm, default=usual.callusing_c), min(cold, default=usual.refrigerator_c))


def _spring(frost: date | None, by: date, today: date) -> date | None:
    """Return the last frost of the spring before trees are wanted; a usual day holds for every year."""
    if frost is None:
        return None
    same_year, before = _in_year(frost, by.year), _in_year(frost, by.year - 1)
    return before if by < same_year and before > today else same_year


def _in_year(day: date, year: int) -> date:
    return day.replace(year=year) if (day.month, day.day) != (2, 29) else date(year, 2, 28)
