"""The book: entries in their order, what each posts, and what happens when one arrives late.

One idea: the lines of an entry follow from what it says and from what stands before it. An entry put
into the middle (late, corrected, or taken out by crossing out) changes what stands before the entries
behind it; those whose lines change are derived again, and the change travels on until it has died out.
If any of them cannot stand any more, nothing is changed and they are named.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from graftwright.errors import Refusal
from graftwright.ledger import errors, moves, observations
from graftwright.ledger.lines import THERE, Account, Line, noted, summed
from graftwright.ledger.makings import makings
from graftwright.ledger.things import Thing
from graftwright.ledger.units import Death, Slot

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.stages import Path
    from graftwright.ledger.things import Making
    from graftwright.ledger.units import View

_POSTS: dict[str, Callable[[View, Entry], list[Line]]] = {
    "receive": moves.receive,
    "cut-scions": moves.receive,
    "chill": moves.seed_step,
    "bring-out": moves.seed_step,
    "return-to-cold": moves.seed_step,
    "pull": moves.seed_step,
    "discard": moves.discard,
    "check-wood": moves.discard,
    "graft": moves.graft,
    "regraft": moves.graft,
    "codes": moves.give_codes,
    "pot": moves.step,
    "settle": moves.step,
    "harden": moves.step,
    "plant": moves.step,
    "store": moves.step,
    "unwrap": moves.step,
    "head-back": moves.step,
    "step-back": moves.step_back,
    "lose": moves.leave,
    "cull": moves.leave,
    "fail": moves.fail,
    "carry": moves.carry,
    "give": moves.give,
    "check": observations.check,
    "stock-taking": observations.stock_taking,
}


def derive(view: View, e: Entry) -> tuple[Line, ...]:
    """Return the lines of an entry, given what stands before it; refuses an entry that cannot stand there.

    Every place it names is in its lines, so that it is found when the place vanishes.
    """
    lines = summed(_POSTS.get(e.kind, moves.remark)(view, e))
    told = touched(lines) | {line.account.place for line in lines}
    named = {place for place in (e.get("place"), e.get("to")) if place} - told
    return lines + tuple(noted(e.subject, place) for place in sorted(named))


@dataclass(frozen=True, slots=True)
class Posted:
    """An entry of a thing's history with its lines on that thing and the thing's parts."""

    key: str
    number: int
    lines: tuple[Line, ...]


class Source(Protocol):
    """Where the history comes from: memory or a database."""

    def thing(self, code: str) -> Thing | None:
        """Return the thing with that code or key."""

    def parts(self, batch: str) -> Sequence[str]:
        """Codes of the plants of a batch."""

    def history(self, code: str, behind: str = "") -> Sequence[Posted]:
        """Entries with lines on a thing, in order.

        Those before `behind` may come summed into one, if nothing about the thing stands there or behind it.
        """

    def naming(self, place: str) -> Sequence[int]:
        """Numbers of the entries that are about a place or about something in it."""

    def entry(self, number: int) -> Entry:
        """Return an accepted entry."""

    def lines(self, number: int) -> tuple[Line, ...]:
        """Return the lines an entry has now."""

    def path(self, sheet: str) -> Path:
        """Return the stages of a stored method sheet."""


@dataclass
class Change:
    """What accepting one entry does: its own lines, and the lines of others that are derived again."""

    lines: dict[int, tuple[Line, ...]] = field(default_factory=dict)
    before: dict[int, tuple[Line, ...]] = field(default_factory=dict)
    things: dict[str, Thing] = field(default_factory=dict)
    crossed: tuple[int, ...] = ()

    def deltas(self) -> dict[Account, int]:
        """How much each account changes; a place that was only passed through is named, too, with nought."""
        totals: dict[Account, int] = {}
        for sign, side in ((1, self.lines), (-1, self.before)):
            for lines in side.values():
                for line in lines:
                    totals[line.account] = totals.get(line.account, 0) + sign * line.amount
        return {account: n for account, n in totals.items() if n or account.name == THERE}


class _Standing:
    """What stands on one thing, up to a moving point of its history."""

    def __init__(self, history: Iterable[Posted] = ()) -> None:
        self._history = list(history)
        self._next = 0
        self.slots: dict[Slot, int] = {}
        self.deaths: list[Death] = []

    def up_to(self, key: str) -> None:
        """Move forward to just before `key`."""
        while self._next < len(self._history) and self._history[self._next].key < key:
            self.post(self._history[self._next])
            self._next += 1

    def post(self, posted: Posted) -> None:
        """Let an entry's lines count."""
        for line in posted.lines:
            account = line.account
            if account.name == THERE:
                slot = Slot(account.detail, account.place)
                self.slots[slot] = self.slots.get(slot, 0) + line.amount
            elif account.name == "lost":
                self.deaths.append(Death(posted.number, account.detail, account.place, line.amount))

    def put(self, posted: Posted) -> None:
        """Let an entry at or behind the moving point have these lines from now on."""
        others = [one for one in self._history[self._next :] if one.number != posted.number]
        self._history[self._next :] = sorted([*others, posted], key=lambda one: (one.key, one.number))


class _Seen:
    """The view an entry has from a moving point of the order."""

    def __init__(self, path: Callable[[str], Path]) -> None:
        self.path = path
        self._standing: dict[str, _Standing] = {}

    def of(self, code: str) -> _Standing:
        raise NotImplementedError

    def parts(self, batch: str) -> Iterable[str]:
        raise NotImplementedError

    def standing(self, code: str) -> Mapping[Slot, int]:
        return self.of(code).slots

    def plants(self, batch: str) -> Sequence[str]:
        return [code for code in self.parts(batch) if any(self.standing(code).values())]

    def deaths(self, batch: str) -> Sequence[Death]:
        return [death for code in (batch, *self.parts(batch)) for death in self.of(code).deaths]


class _Settling(_Seen):
    """Puts one entry into the order and follows the change through all that comes behind it."""

    def __init__(self, source: Source, things: Mapping[str, Thing], new: Entry) -> None:
        super().__init__(source.path)
        self._source, self._things, self._new = source, things, new
        self._key = ""
        self._start = ""

    def thing(self, code: str) -> Thing | None:
        return self._things.get(code) or self._source.thing(code)

    def is_new(self, e: Entry) -> bool:
        return e is self._new

    def parts(self, batch: str) -> Iterable[str]:
        now = {thing.code: thing.part_of for thing in self._things.values()}
        kept = (code for code in self._source.parts(batch) if now.get(code, batch) == batch)
        return dict.fromkeys((*kept, *(code for code, whole in now.items() if whole == batch)))

    def of(self, code: str) -> _Standing:
        if code not in self._standing:
            self._standing[code] = _Standing(self._source.history(code, self._start))
        self._standing[code].up_to(self._key)
        return self._standing[code]

    def settle(self, gone: Mapping[int, Entry]) -> Change:
        """Take `gone` out, put the new entry in, and derive again whatever changes."""
        change = Change(things=dict(self._things), crossed=tuple(sorted(gone)))
        first = {**gone, **self._left_without_place()}.values()
        self._start = min((self._new.key, *(e.key for e in first)))
        queue = _Queue(self._source, self._start)
        for code in self._things:
            queue.follow(code, self._start)
        for e in (*first, self._new):
            queue.add(e)
        failed: dict[int, Refusal] = {}
        while queue:
            e = queue.next()
            self._key = e.key
            before = () if e is self._new else self._source.lines(e.number)
            after = () if e.number in gone else self._derived(e, failed)
            if before != after or e is self._new or e.number in gone:
                change.before[e.number], change.lines[e.number] = before, after
                self._move_on(e, before, after, queue)
        if failed:
            raise errors.CannotStand(failed)
        return change

    def _left_without_place(self) -> dict[int, Entry]:
        """Entries that name a place of which nothing is left, whenever they stand in the order."""
        left: dict[int, Entry] = {}
        for code, thing in self._things.items():
            before = self._source.thing(code)
            if before and before.kind == "place" and not (thing.exists and thing.kind == "place"):
                left |= {number: self._source.entry(number) for number in self._source.naming(code)}
        return left

    def _derived(self, e: Entry, failed: dict[int, Refusal]) -> tuple[Line, ...]:
        """Derive the lines of an entry; one that can no longer stand is remembered and counts as gone."""
        try:
            return derive(self, e)
        except Refusal as refusal:
            if e is self._new:
                raise
            failed[e.number] = refusal
            return ()

    def _move_on(self, e: Entry, before: tuple[Line, ...], after: tuple[Line, ...], queue: _Queue) -> None:
        """Let what stands behind this entry see its lines as they are now."""
        for code in touched(line for line in set(before) ^ set(after) if line.amount):
            own = tuple(line for line in after if line.account.thing == code)
            self.of(code).put(Posted(e.key, e.number, own))
            thing = self.thing(code)
            queue.follow(thing.part_of if thing and thing.part_of else code, e.key)


class _Queue:
    """Entries still to be looked at, in order, each once."""

    def __init__(self, source: Source, start: str) -> None:
        self._source, self._start = source, start
        self._heap: list[tuple[str, int]] = []
        self._entries: dict[int, Entry] = {}
        self._followed: set[str] = set()

    def __bool__(self) -> bool:
        return bool(self._heap)

    def add(self, e: Entry) -> None:
        """Look at this entry when its turn comes."""
        if e.number not in self._entries:
            self._entries[e.number] = e
            heapq.heappush(self._heap, (e.key, e.number))

    def follow(self, code: str, key: str) -> None:
        """Look at every entry behind `key` that is about a thing or a part of it."""
        if code in self._followed:
            return
        self._followed.add(code)
        for one in (code, *self._source.parts(code)):
            for posted in self._source.history(one, self._start):
                if posted.key > key:
                    self.add(self._source.entry(posted.number))

    def next(self) -> Entry:
        """Take the next entry in the order."""
        return self._entries[heapq.heappop(self._heap)[1]]


def put_in(source: Source, new: Entry, gone: Mapping[int, Entry]) -> Change:
    """Work out what accepting `new`, and crossing out `gone` with it, does to the book."""
    return _Settling(source, _things_after(source, new, gone), new).settle(gone)


def _things_after(source: Source, new: Entry, gone: Mapping[int, Entry]) -> dict[str, Thing]:
    """Return the things that `new` or `gone` said something of, as they are then."""
    things: dict[str, Thing] = {}

    def known(made: Making) -> Thing:
        found = things.get(made.code) or source.thing(made.code)
        if found and (found.kind, found.part_of) == (made.kind, made.part_of):
            return found
        if found and found.exists:
            raise errors.WrongThing(made.code, found.kind, (made.kind,), new.kind)
        return Thing(made.code, made.kind, made.part_of)

    for e in gone.values():
        for made in makings(e):
            things[made.code] = known(made).without((e.number,))
    for made in makings(new):
        things[made.code] = known(made).with_said(new.key, new.number, made.attributes)
    return things


def touched(lines: Iterable[Line]) -> set[str]:
    """Codes of the things that lines are about."""
    return {line.account.thing for line in lines}


class Replay(_Seen):
    """Derives every entry again from the first, to prove what is stored."""

    def __init__(self, things: Mapping[str, Thing], path: Callable[[str], Path]) -> None:
        super().__init__(path)
        self._things = things
        self._parts: dict[str, list[str]] = {}
        for thing in things.values():
            if thing.part_of:
                self._parts.setdefault(thing.part_of, []).append(thing.code)

    def thing(self, code: str) -> Thing | None:
        return self._things.get(code)

    def is_new(self, e: Entry) -> bool:  # noqa: ARG002 - nothing stands at the door in a replay
        return False

    def parts(self, batch: str) -> Iterable[str]:
        return self._parts.get(batch, ())

    def of(self, code: str) -> _Standing:
        if code not in self._standing:
            self._standing[code] = _Standing()
        return self._standing[code]

    def next(self, e: Entry) -> tuple[Line, ...]:
        """Derive the next entry in the order and let what follows see it."""
        lines = derive(self, e)
        for code in touched(lines):
            own = tuple(line for line in lines if line.account.thing == code)
            self.of(code).post(Posted(e.key, e.number, own))
        return lines


def things_said(entries: Iterable[Entry]) -> dict[str, Thing]:
    """Return every thing as the entries that still stand describe it."""
    things: dict[str, Thing] = {}
    for e in entries:
        for made in makings(e):
            thing = things.get(made.code) or Thing(made.code, made.kind, made.part_of)
            things[made.code] = thing.with_said(e.key, e.number, made.attributes)
    return things
