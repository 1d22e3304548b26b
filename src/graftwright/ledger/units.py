"""Which units an entry means: finding them, choosing among them, moving them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, Protocol

from graftwright.ledger import errors
from graftwright.ledger.kinds import KINDS
from graftwright.ledger.lines import Line, outside, there
from graftwright.ledger.stages import LOTS, Path

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.things import Thing


class Slot(NamedTuple):
    """A stage in a place."""

    stage: str
    place: str


@dataclass(frozen=True, slots=True)
class Death:
    """Units that some earlier entry took out of a batch."""

    number: int
    reason: str
    place: str
    count: int


class View(Protocol):
    """What an entry sees: everything that stands before it in the order."""

    def thing(self, code: str) -> Thing | None:
        """Return the thing with that code or key."""

    def standing(self, code: str) -> Mapping[Slot, int]:
        """Units of one lot, batch (without its coded plants) or plant."""

    def plants(self, batch: str) -> Sequence[str]:
        """Coded plants of a batch that have not left it."""

    def deaths(self, batch: str) -> Sequence[Death]:
        """Deaths of a batch, its coded plants included."""

    def path(self, sheet: str) -> Path:
        """Return the stages of a method sheet."""

    def is_new(self, e: Entry) -> bool:
        """Whether the entry stands at the door and must be right as it is."""


@dataclass(frozen=True, slots=True)
class Units:
    """Some units that stand together: whose they are, at which stage, where, how many."""

    thing: str
    slot: Slot
    count: int


def known(view: View, code: str, kinds: Sequence[str], doing: str) -> Thing:
    """Return the thing a code means; refuses an unknown one or one of the wrong kind."""
    thing = view.thing(code)
    if thing is None or not thing.exists:
        raise errors.NothingKnown(code)
    if thing.kind not in kinds:
        raise errors.WrongThing(code, thing.kind, tuple(kinds), doing)
    return thing


def subject(view: View, e: Entry) -> Thing:
    """Return what the entry is about, if it was there by then."""
    thing = known(view, e.subject, KINDS[e.kind].about, e.kind)
    if thing.made_at > e.key:
        raise errors.NotYet(e.subject, e.day, thing.made_at[:10])
    return thing


def place_of(view: View, e: Entry, name: str = "place") -> str:
    """Return the place an entry names, or '' where it names none."""
    code = e.get(name)
    if not code:
        return ""
    return known(view, code, ("place",), e.kind).code


def path_of(view: View, thing: Thing) -> Path:
    """Return the stages that the units of a lot, batch or plant walk."""
    if thing.kind in LOTS:
        return Path(LOTS[thing.kind][1])
    batch = known(view, batch_of(thing), ("batch",), "")
    return view.path(batch.get("sheet"))


def batch_of(thing: Thing) -> str:
    """Return the batch a plant belongs to; a batch belongs to itself."""
    return thing.part_of or thing.code


def unit_of(thing: Thing) -> str:
    """Return the unit that a lot, batch or plant is counted in."""
    return LOTS[thing.kind][0] if thing.kind in LOTS else "graft"


def all_units(view: View, thing: Thing) -> list[Units]:
    """Everything that stands under a code, the coded plants of a batch included."""
    owners = [thing.code, *view.plants(thing.code)] if thing.kind == "batch" else [thing.code]
    return [
        Units(owner, slot, count)
        for owner in owners
        for slot, count in sorted(view.standing(owner).items())
        if count
    ]


def places_of(units: Sequence[Units]) -> tuple[str, ...]:
    """Where units stand, each place once."""
    return tuple(sorted({one.slot.place for one in units}))


def in_place(view: View, e: Entry, thing: Thing) -> list[Units]:
    """Return the units an entry can mean: those in its place, if it names one."""
    units = all_units(view, thing)
    place = e.get("place")
    if not place:
        return units
    here = [one for one in units if one.slot.place == place]
    if not here:
        known(view, place, ("place",), e.kind)
        raise errors.NoSuchPlace(thing.code, place, places_of(units))
    return here


def _named(e: Entry, units: list[Units]) -> list[Units]:
    """Keep the plants that the entry names, if it names any."""
    plants = e.get("plants")
    if not plants:
        return units
    missing = set(plants) - {one.thing for one in units}
    if missing:
        raise errors.NothingKnown(min(missing), "living plant's")
    return [one for one in units if one.thing in plants]


def standing_at(view: View, e: Entry, thing: Thing, units: list[Units]) -> list[Units]:
    """Keep the units at the stage that the entry names, if it names one."""
    stage = e.get("stage")
    if not stage:
        return units
    path_of(view, thing).rank(stage)
    return [one for one in units if one.slot.stage == stage]


_ALIVE = {
    "pot", "settle", "harden", "plant", "store", "unwrap", "head-back", "carry", "give", "step-back",
}  # fmt: skip


def take(view: View, e: Entry, thing: Thing, count: int | None, order: Callable[[Units], tuple[object, ...]],
         *, keep: Callable[[Units], bool] = lambda _: True) -> list[Units]:  # fmt: skip
    """Choose `count` units (all of them, if None) of those the entry can mean, first in `order` first.

    A number never chooses among plants with codes of their own: it takes all of them or they are named. More
    grafts than an entry knew of when it took all of the plants with codes are the ones without.
    At the door a step with living grafts never chooses among stages either; `order` decides for deaths, and
    where a check that was told later has put units that stood together at different stages.
    """
    units = standing_at(view, e, thing, [one for one in _named(e, in_place(view, e, thing)) if keep(one)])
    have = sum(one.count for one in units)
    wanted = have if count is None else count
    where = f"at '{e.get('stage')}'" if e.get("stage") else "there" if e.get("place") else ""
    if not wanted:
        raise errors.NothingLeft(thing.code, where)
    if wanted > have:
        raise errors.TooMany(thing.code, wanted, have, where)
    coded = [one.thing for one in units if one.thing != thing.code]
    if wanted < have and coded:
        if view.is_new(e) or wanted < len(coded) or not all(_told_before(view, e, plant) for plant in coded):
            raise errors.NamePlants(thing.code)
        return split_off(sorted(units, key=lambda one: (one.thing == thing.code, *order(one))), wanted)
    stages = {one.slot.stage for one in units}
    if wanted < have and len(stages) > 1 and e.kind in _ALIVE and thing.kind == "batch" and view.is_new(e):
        raise errors.WhichStage(thing.code, tuple(sorted(stages, key=path_of(view, thing).rank)))
    return split_off(sorted(units, key=order), wanted)


def _told_before(view: View, e: Entry, plant: str) -> bool:
    """Whether a plant had its code already when an entry was told; a correction keeps the turn of what it corrects."""
    thing = view.thing(plant)
    first = min((sayings[0] for sayings in thing.said.values()), key=lambda one: one.key) if thing else None
    return first is not None and (first.number < e.number or first.turn < e.turn)


def split_off(units: Sequence[Units], wanted: int) -> list[Units]:
    """Return the first `wanted` of the units, in the order given."""
    taken = []
    for one in units:
        if wanted <= 0:
            break
        n = min(one.count, wanted)
        taken.append(Units(one.thing, one.slot, n))
        wanted -= n
    return taken


def least_advanced(path: Path) -> Callable[[Units], tuple[object, ...]]:
    """Order for deaths: the laggards first (common practice: what dies is seldom ahead)."""
    return lambda one: (path.rank(one.slot.stage), one.slot.place, one.thing)


def most_advanced(path: Path) -> Callable[[Units], tuple[object, ...]]:
    """Order for the grower's steps: what is furthest goes first."""
    return lambda one: (-path.rank(one.slot.stage), one.slot.place, one.thing)


def move(units: Sequence[Units], unit: str, stage: str | None, place: str | None) -> list[Line]:
    """Lines that bring units to another stage, another place, or both."""
    lines = []
    for one in units:
        to = Slot(stage or one.slot.stage, one.slot.place if place is None else place)
        lines += [there(one.thing, unit, *one.slot, -one.count), there(one.thing, unit, *to, one.count)]
    return lines


def out(units: Sequence[Units], reasons: Mapping[str, int], name: str) -> list[Line]:
    """Lines that take units out for the reasons given; the place of death is kept."""
    lines: list[Line] = []
    left = dict(reasons)
    for one in units:
        lines.append(there(one.thing, "graft", *one.slot, -one.count))
        waiting = one.count
        for why in reasons:
            n = min(waiting, left[why])
            left[why] -= n
            waiting -= n
            lines += [outside(name, one.thing, "graft", n, why, one.slot.place)] if n else []
    return lines
