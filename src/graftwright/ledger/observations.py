"""Checks and stock-takings: they say what is there now; their postings are the difference.

A check in the order accounts for every unit in its place. When an entry that belongs earlier arrives
later and takes some of those units out, the check gives way: first the deaths it named for the same
reason, then deaths of unknown reason, then those it found missing, then what it did not look at, then
other deaths. It never gives way on what it saw alive. When more are there than it accounted for, those
it counted too many are explained, and the rest were not looked at.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from graftwright.ledger import errors
from graftwright.ledger.lines import Line, noted, outside, there
from graftwright.ledger.reasons import DEATHS, UNKNOWN
from graftwright.ledger.units import (
    Slot,
    Units,
    View,
    all_units,
    batch_of,
    in_place,
    known,
    least_advanced,
    move,
    out,
    path_of,
    place_of,
    places_of,
    split_off,
    subject,
    unit_of,
)  # fmt: skip

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.stages import Path
    from graftwright.ledger.things import Thing


_MISSING, _NOT_LOOKED = "(missing)", "(not looked at)"  # in brackets: no reason of a death


@dataclass(frozen=True)
class Account:
    """What a check says of the units it is about, adding up to what is there."""

    seen: Mapping[str, int]
    dead: Mapping[str, int]
    not_looked: int
    miscounted: int

    @property
    def total(self) -> int:
        """All that the check accounts for."""
        return sum(self.seen.values()) + sum(self.dead.values()) + self.not_looked - self.miscounted


def said_by(e: Entry) -> Account:
    """Return what a check says, before anything gives way."""
    return Account(e.get("seen", {}), e.get("dead", {}), e.get("not_looked", 0), e.get("miscounted", 0))


def check(view: View, e: Entry) -> list[Line]:
    """Postings of a check: the difference between what was seen and what stands before it."""
    thing = subject(view, e)
    path = path_of(view, thing)
    for stage in e.get("seen", {}):
        path.rank(stage)
    units = _in_no_place(e, in_place(view, e, thing) if view.is_new(e) else _still_there(view, e, thing))
    named, lines = _named_plants(view, e, units, path, thing)
    rest = [one for one in units if one.thing not in named]
    account = _settled(view, e, thing, said_by(e), rest)
    if not view.is_new(e):
        rest, account = _without_the_unknown(e, thing, path, rest, account)
    if view.is_new(e):
        _one_place(e, thing, rest, account)
    if thing.kind == "plant" and (alive := account.not_looked + sum(account.seen.values())) > 1:
        raise errors.OnePlant(thing.code, alive)
    return [*lines, *_rest(e, thing, path, rest, account), noted(thing.code, e.get("place") or "")]


def _in_no_place(e: Entry, units: list[Units]) -> list[Units]:
    """A check that names no place is about those that stand in none, where others of the batch stand in one."""
    nowhere = [one for one in units if not one.slot.place]
    return units if e.get("place") or not nowhere else nowhere


def _still_there(view: View, e: Entry, thing: Thing) -> list[Units]:
    """Units in the place of a check made before; earlier entries may have emptied it since."""
    return [one for one in all_units(view, thing) if e.get("place") in (None, "", one.slot.place)]


def _named_plants(
    view: View, e: Entry, units: Sequence[Units], path: Path, thing: Thing
) -> tuple[set[str], list[Line]]:
    """Plants whose own fate the check tells, wherever an earlier entry has put them since."""
    outcomes: Mapping[str, str] = e.get("plants") or {}
    found = units if view.is_new(e) else all_units(view, thing)
    standing = {one.thing: one for one in found if one.thing != thing.code}
    lines: list[Line] = []
    for plant, outcome in outcomes.items():
        one = standing.get(plant)
        if one is None:
            _gone_before(view, e, plant, outcome)
        elif outcome in DEATHS:
            lines += out([one], {outcome: 1}, "lost")
        elif path.rank(outcome) < path.rank(one.slot.stage):
            raise errors.PastSeen(thing.code, e.day, outcome)
        else:
            lines += move([one], "graft", outcome, None)
    return set(outcomes), lines


def _gone_before(view: View, e: Entry, plant: str, outcome: str) -> None:
    """Let a death stand that an earlier entry holds already; refuse what was seen of a plant that is not there."""
    known(view, plant, ("plant",), e.kind)
    if view.is_new(e):
        raise errors.NothingKnown(plant, "living plant's")
    if outcome not in DEATHS:
        raise errors.FewerThanSeen(plant, e.day, 1, 0)


def _settled(view: View, e: Entry, thing: Thing, said: Account, units: Sequence[Units]) -> Account:
    """The check's account, brought to what stands before it now.

    At the door it must add up as it is.
    """
    have = sum(one.count for one in units)
    if said.total == have:
        return said
    if view.is_new(e):
        where = "there" if e.get("place") else ""
        raise errors.DoesNotAddUp(thing.code, said.total, have, where)
    if said.total < have:
        more = have - said.total
        explained = min(more, max(said.miscounted, 0))
        return Account(said.seen, said.dead, said.not_looked + more - explained, said.miscounted - explained)
    return _given_way(view, e, thing, said, have)


def _given_way(view: View, e: Entry, thing: Thing, said: Account, have: int) -> Account:
    alive = sum(said.seen.values())
    if alive > have + max(said.miscounted, 0):
        raise errors.FewerThanSeen(thing.code, e.day, alive, have)
    late: Counter[str] = Counter()
    for death in view.deaths(batch_of(thing)):
        if death.number > e.number and e.get("place") in (None, "", death.place):
            late[death.reason] += death.count
    short = said.total - have
    left = Counter(said.dead) | Counter({_MISSING: max(-said.miscounted, 0), _NOT_LOOKED: said.not_looked})
    for what, most in (*sorted(late.items()), *((what, short) for what in (UNKNOWN, _MISSING, _NOT_LOOKED)),
                       *((reason, short) for reason in sorted(said.dead))):  # fmt: skip
        less = min(short, left[what], most)
        left[what] -= less
        short -= less
    dead = {reason: left[reason] for reason in said.dead if left[reason]}
    return Account(said.seen, dead, left[_NOT_LOOKED], max(said.miscounted, 0) - left[_MISSING])


def _without_the_unknown(
    e: Entry, thing: Thing, path: Path, units: list[Units], account: Account
) -> tuple[list[Units], Account]:
    """Set aside more grafts than a check of plants with codes knew of: they are some of those without."""
    bare = [one for one in units if one.thing == thing.code]
    more = account.not_looked - e.get("not_looked", 0)
    if len(bare) == len(units) or _all_alike(account) or more > sum(one.count for one in bare):
        return units, account
    unknown = split_off(sorted(bare, key=least_advanced(path)), more)
    return _less(units, unknown), replace(account, not_looked=account.not_looked - more)


def _one_place(e: Entry, thing: Thing, units: Sequence[Units], account: Account) -> None:
    """A check that does not treat all units alike must name the one place it is about."""
    places = places_of(units)
    if len(places) < 2 or e.get("place") or _all_alike(account):
        return
    raise errors.WhichPlace(thing.code, places)


def _all_alike(account: Account) -> bool:
    said = [n for n in (*account.seen.values(), *account.dead.values(), account.not_looked) if n]
    return len(said) <= 1 and not account.miscounted


def _rest(e: Entry, thing: Thing, path: Path, units: list[Units], account: Account) -> list[Line]:
    """Lines for the units that the check tells by number."""
    coded = any(one.thing != thing.code for one in units)
    if coded and not _all_alike(account):
        raise errors.NamePlants(thing.code)
    lines: list[Line] = []
    if account.miscounted > 0:
        extra = min(account.seen or {path.first: 1}, key=path.rank)
        place = units[0].slot.place if units else e.get("place") or ""
        lines += [outside("recount", thing.code, "graft", -account.miscounted),
                  there(thing.code, "graft", extra, place, account.miscounted)]  # fmt: skip
        units = _with(units, Units(thing.code, Slot(extra, place), account.miscounted))
    left = sorted(units, key=least_advanced(path))
    for stage in sorted((stage for stage, n in account.seen.items() if n), key=path.rank, reverse=True):
        chosen = _seen_at(left, path, stage, account.seen[stage])
        if chosen is None:
            raise errors.PastSeen(thing.code, e.day, stage)
        left = _less(left, chosen)
        lines += move(chosen, "graft", stage, None)
    gone = split_off(left, sum(account.dead.values()))
    lines += out(gone, account.dead, "lost")
    if account.miscounted < 0:
        fewer = split_off(_less(left, gone), -account.miscounted)
        lines += [there(one.thing, "graft", *one.slot, -one.count) for one in fewer]
        lines.append(outside("recount", thing.code, "graft", sum(one.count for one in fewer)))
    return lines


def _seen_at(units: Sequence[Units], path: Path, stage: str, count: int) -> list[Units] | None:
    """Choose units that can be the `count` seen at a stage: the most advanced that are not past it."""
    able = [one for one in reversed(units) if path.rank(one.slot.stage) <= path.rank(stage)]
    chosen = split_off(able, count)
    return chosen if sum(one.count for one in chosen) == count else None


def _less(units: Sequence[Units], taken: Sequence[Units]) -> list[Units]:
    gone = Counter[tuple[str, Slot]]()
    for one in taken:
        gone[one.thing, one.slot] += one.count
    return [
        Units(one.thing, one.slot, one.count - gone[one.thing, one.slot])
        for one in units
        if one.count > gone[one.thing, one.slot]
    ]


def _with(units: Sequence[Units], more: Units) -> list[Units]:
    same = [one for one in units if (one.thing, one.slot) == (more.thing, more.slot)]
    others = [one for one in units if (one.thing, one.slot) != (more.thing, more.slot)]
    return [*others, Units(more.thing, more.slot, more.count + sum(one.count for one in same))]


def stock_taking(view: View, e: Entry) -> list[Line]:
    """A count of a lot or batch; the difference is a recount, never a death."""
    thing = subject(view, e)
    path, place = path_of(view, thing), place_of(view, e)
    if thing.kind == "batch" and view.plants(thing.code):
        raise errors.NamePlants(thing.code)
    lines: list[Line] = [noted(thing.code)]
    if thing.said_by("uncounted", e.key):
        if view.is_new(e):
            raise errors.NoBalance(thing.code)
        return lines
    for stage, counted in e.get("counted").items():
        path.rank(stage)
        units = [one for one in all_units(view, thing)
                 if one.slot.stage == stage and place in ("", one.slot.place)]  # fmt: skip
        if len(places_of(units)) > 1 and view.is_new(e):
            raise errors.WhichPlace(thing.code, places_of(units))
        lines += _recounted(thing, units, Slot(stage, place or next(iter(places_of(units)), "")), counted)
    return lines


def _recounted(thing: Thing, units: Sequence[Units], slot: Slot, counted: int) -> list[Line]:
    unit, more = unit_of(thing), counted - sum(one.count for one in units)
    if not more:
        return []
    fewer = [there(one.thing, unit, *one.slot, -one.count) for one in split_off(units, -more)]
    return [
        outside("recount", thing.code, unit, -more),
        *(fewer or [there(thing.code, unit, *slot, more)]),
    ]
