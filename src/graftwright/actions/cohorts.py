"""From the entries about a batch to cohorts: grafts that stood in like places and were treated alike."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from graftwright.ledger.lines import THERE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line
    from graftwright.ledger.stages import Path

# steps of the grower that move units along their stages
_STEPS = {"chill", "bring-out", "pot", "settle", "harden", "plant", "store", "unwrap", "head-back"}

Told = tuple["Entry", tuple["Line", ...]]
_Counts = dict[tuple[str, str], int]  # (place, stage) -> units


@dataclass
class Look:
    """What was seen of a place on a day, and which units left it since the look before."""

    day: str
    seen: Counter[str] = field(default_factory=Counter)
    lost: Counter[str] = field(default_factory=Counter)
    looked: bool = False
    whole: bool = True  # whether every unit there was looked at


@dataclass
class Stay:
    """What happened to a batch's grafts in one place, from the day they came until the last has left it.

    Those that come back to a place where others of them have stayed join these.
    """

    place: str
    path: Path
    came: str = ""  # first day there
    before: Stay | None = None  # where they came from
    standing: Counter[str] = field(default_factory=Counter)
    days: list[Look] = field(default_factory=list)
    steps: dict[str, list[str]] = field(default_factory=dict)  # step of the grower -> days
    reached: dict[str, str] = field(default_factory=dict)  # stage -> first day it was seen or made

    @property
    def living(self) -> int:
        """How many stand there now."""
        return sum(self.standing.values())

    @property
    def last_look(self) -> str:
        """Return the day anyone last looked or had them in hand, or the day they came."""
        in_hand = [day for step in _STEPS for day in self.steps.get(step, ())]
        return max([self.came, *in_hand, *(look.day for look in self.days if look.looked and look.whole)])

    def on(self, day: str) -> Look:
        """Return the look of a day that is still to be; what happens after a look waits for the next one."""
        if not self.days or self.days[-1].day != day or self.days[-1].looked:
            self.days.append(Look(day))
        return self.days[-1]


def stays(batch: str, parts: Iterable[str], told: Sequence[Told], path: Path) -> dict[str, Stay]:
    """Follow a batch's grafts from place to place through all that is told; return the last stay in each place."""
    owners = {batch, *parts}
    found: dict[str, Stay] = {}
    for e, lines in told:
        own = [line for line in lines if line.account.thing in owners]
        _stand(found, e, own, path)
        _steps(found, e, owners)
        if e.kind == "check":
            _seen(found, e, owners)
        elif e.kind == "pull":
            _pulled(found, e, own)
    return found


def _stand(found: dict[str, Stay], e: Entry, lines: Sequence[Line], path: Path) -> None:
    """Let an entry's lines move units, and note where they came from and which were lost."""
    stands = [line for line in lines if line.account.name == THERE]
    came, left = _net(stands, 1), _net(stands, -1)
    _arrive(found, e.day, came, left, path)
    for place in sorted({place for place, _ in left}):
        out = sum(n for (where, _), n in left.items() if where == place)
        still = sum(n for (where, _), n in came.items() if where == place)
        stages = {stage: n for (where, stage), n in left.items() if where == place}
        if e.kind != "pull":
            _leave(found[place], e.day, stages, out - still)
    for line in stands:
        found[line.account.place].standing[line.account.detail] += line.amount
    if e.kind in _STEPS:
        for place in {place for place, _ in came} or {place for place, _ in left}:
            found[place].steps.setdefault(e.kind, []).append(e.day)


def _arrive(found: dict[str, Stay], day: str, came: _Counts, left: _Counts, path: Path) -> None:
    """Begin a stay where nobody was left, and note since when those that came are at their stages."""
    origins = [found[place] for place in sorted({place for place, _ in left})]
    for place in sorted({place for place, _ in came}):
        before = next((stay for stay in origins if stay.place != place), None)
        since = before.reached if before else {}
        if place not in found or not found[place].living:
            found[place] = Stay(place, path, came=day, before=before)
        for stage in (stage for where, stage in came if where == place):
            found[place].reached.setdefault(stage, since.get(stage, day))


def _net(lines: Iterable[Line], sign: int) -> _Counts:
    totals: Counter[tuple[str, str]] = Counter()
    for line in lines:
        totals[line.account.place, line.account.detail] += sign * line.amount
    return {slot: n for slot, n in totals.items() if n > 0}


def _leave(stay: Stay, day: str, left: Mapping[str, int], gone: int) -> None:
    """Count units that left a place (dead, given, carried on) at the least advanced stage they can have had."""
    for stage in sorted(left, key=stay.path.rank):
        n = min(gone, left[stage])
        if n > 0:
            stay.on(day).lost[stage] += n
            gone -= n


def _steps(found: dict[str, Stay], e: Entry, owners: set[str]) -> None:
    """Note what was done to the air of a place, or of all (or one) of the places of a batch."""
    if e.kind not in {"vent", "open", "close-again"}:
        return
    place = e.get("place")
    for stay in found.values():
        meant = e.subject == stay.place or (e.subject in owners and place in (None, stay.place))
        if stay.living and meant:
            stay.steps.setdefault(e.kind, []).append(e.day)


def _seen(found: dict[str, Stay], e: Entry, owners: set[str]) -> None:
    """Note what a check saw; one without a place saw all of them."""
    if e.subject not in owners:
        return
    place = e.get("place")
    here = [stay for stay in found.values() if stay.living and place in (None, stay.place)]
    if not place and "" in found and found[""].living:
        here = [found[""]]
    named = (
        Counter(stage for stage in (e.get("plants") or {}).values() if stage in here[0].path.stages)
        if here
        else {}
    )
    for stay in here:
        look = stay.on(e.day)
        look.looked, look.whole = True, not e.get("not_looked")
        seen = e.get("seen", {}) if len(here) == 1 else _share(stay, e)
        look.seen.update({stage: n for stage, n in seen.items() if n})
        look.seen.update(named)


def _pulled(found: dict[str, Stay], e: Entry, lines: Sequence[Line]) -> None:
    """A pull looks through every place it takes from; it sees what it takes, and what it puts back there."""
    gone = Counter[str]()
    for line in lines:
        if line.account.name == THERE:
            gone[line.account.place] -= line.amount
    put_back = e.get("put_back", 0)
    for place in sorted(gone):
        stay, out = found[place], max(gone[place], 0)
        look = stay.on(e.day)
        look.looked = True
        look.seen["pulled"] += stay.standing["pulled"] + out
        if gone[place] >= 0:
            look.seen["sprouting"], put_back = put_back, 0
        if out:
            stay.on(e.day).lost["pulled"] += out


def _share(stay: Stay, e: Entry) -> Mapping[str, int]:
    """Part of a check of all places that fell to one: it said the same of every unit."""
    stages = [stage for stage, n in e.get("seen", {}).items() if n]
    return {stages[0]: stay.living} if stages else {}


def merged_looks(members: Iterable[Stay]) -> list[Look]:
    """Join the first look at each place on a day, then the second, if any."""
    merged: dict[tuple[str, int], Look] = {}
    for stay in members:
        times = Counter[str]()
        for look in stay.days:
            one = merged.setdefault((look.day, times[look.day]), Look(look.day))
            times[look.day] += 1
            one.seen.update(look.seen)
            one.lost.update(look.lost)
    return [merged[when] for when in sorted(merged)]
