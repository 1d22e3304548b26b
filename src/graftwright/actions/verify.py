"""Prove the notebook: every entry derived again from the first gives what is stored."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Protocol

from graftwright.actions.forecast import batches_of, forecast
from graftwright.errors import Trouble, Unproved
from graftwright.ledger.book import Replay, things_said
from graftwright.ledger.codes import shown
from graftwright.ledger.lines import Account, Line
from graftwright.ledger.makings import makings
from graftwright.ledger.windows import FORMULA

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from graftwright.actions.ports import Page, Reading
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.stages import Path
    from graftwright.ledger.things import Thing
    from graftwright.ledger.windows import Forecast


class Stored(Protocol):
    """What the proof reads."""

    def in_order(self) -> Iterable[Entry]:
        """Return every entry that still stands, in order."""

    def every(self, table: str) -> Iterable[Any]:
        """Return all rows of a table."""

    def every_thing(self) -> Iterable[Thing]:
        """Return every thing as it is stored, also those of which nothing is said any more."""

    def faults(self) -> list[str]:
        """Say what is wrong with the file itself, and with what it stores twice to find it sooner."""


@dataclass(frozen=True)
class Proof:
    """What was proved, and every place where it was not."""

    entries: int
    balanced: bool
    replay_equal: bool
    kept_aside: int
    problems: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the value that scripts rely on."""
        return {**asdict(self), "problems": list(self.problems)}

    def must_hold(self) -> None:
        """Complain if anything was found."""
        if self.problems:
            raise Unproved(
                f"{len(self.problems)} problems, the first: {self.problems[0]}",
                do="Keep this file as it is, and bring back the last backup with: graftwright restore.",
            )


def verify(stored: Stored, path: Callable[[str], Path], kept_aside: int) -> Proof:
    """Derive everything again and compare it with what is stored."""
    faults = stored.faults()
    entries = list(stored.in_order())
    lines: dict[int, list[Line]] = {}
    for row in stored.every("lines"):
        account = Account(row.thing, row.unit, row.name, row.detail, row.place)
        lines.setdefault(row.entry, []).append(Line(account, row.amount))
    unbalanced = [
        f"entry {number} does not sum to zero" for number, own in lines.items() if _off_balance(own)
    ]
    readable, unreadable = _read(entries)
    things = things_said(readable)
    unequal = [
        *unreadable,
        *_replayed(readable, lines, things, path),
        *_without_entry({e.number for e in entries}, lines),
        *_balances(stored, lines),
        *_things(stored, things),
    ]
    problems = (*faults, *unbalanced, *unequal)
    return Proof(len(entries), not unbalanced, not faults and not unequal, kept_aside, problems)


def _off_balance(lines: Iterable[Line]) -> bool:
    sums = Counter[str]()
    for line in lines:
        sums[line.account.unit] += line.amount
    return any(sums.values())


def _replayed(
    entries: list[Entry],
    lines: dict[int, list[Line]],
    things: Mapping[str, Thing],
    path: Callable[[str], Path],
) -> list[str]:
    replay = Replay(things, path)
    problems = []
    for e in entries:
        derived, why_not = _derived(replay, e)
        if why_not:
            problems.append(why_not)
        elif Counter(derived) != Counter(lines.get(e.number, ())):
            problems.append(f"entry {e.number} has other lines than it should")
    return problems


def _without_entry(standing: set[int], lines: Iterable[int]) -> list[str]:
    return [f"entry {number} is crossed out but has lines" for number in lines if number not in standing]


def _read(entries: Iterable[Entry]) -> tuple[list[Entry], list[str]]:
    """Keep the entries that can be read at all, and name the others."""
    readable, unreadable = [], []
    for e in entries:
        try:
            makings(e)
            readable.append(e)
        except Exception as fault:  # noqa: BLE001 - whatever a damaged entry breaks is what is to be found
            unreadable.append(f"entry {e.number} cannot be read ({type(fault).__name__})")
    return readable, unreadable


def _derived(replay: Replay, e: Entry) -> tuple[tuple[Line, ...], str]:
    """Return the lines an entry should have, or why it has none."""
    try:
        return replay.next(e), ""
    except Trouble as trouble:
        return (), f"entry {e.number} cannot stand: {trouble.sentence}"
    except Exception as fault:  # noqa: BLE001 - as above
        return (), f"entry {e.number} cannot be read ({type(fault).__name__})"


def _balances(stored: Stored, lines: dict[int, list[Line]]) -> list[str]:
    totals = Counter[Account]()
    for own in lines.values():
        for line in own:
            totals[line.account] += line.amount
    for row in stored.every("balances"):
        totals[Account(row.thing, row.unit, row.name, row.detail, row.place)] -= row.amount
    return [f"the count of {shown(account.thing)} ({account.name} {account.detail}) is off by {n}"
            for account, n in totals.items() if n]  # fmt: skip


def _things(stored: Stored, things: Mapping[str, Thing]) -> list[str]:
    """Compare what is stored of things with what the entries say of them."""
    found = {thing.code: thing for thing in stored.every_thing()}
    problems = [f"{shown(code)} is missing among the things" for code in things if code not in found]
    for code, thing in found.items():
        said = things.get(code)
        if (said is None and thing.exists) or (said and _told(thing) != _told(said)):
            problems.append(f"what is stored of {shown(code)} is not what the entries say")
    return problems


def _told(thing: Thing) -> tuple[str, str, str]:
    said = {name: [(one.key, one.number, one.value) for one in every] for name, every in thing.said.items()}
    return thing.kind, thing.part_of, json.dumps(said, sort_keys=True)


def verify_windows(page: Page, reading: Reading) -> list[str]:
    """Work the windows of every living batch out again; they must agree to a millionth of a day."""
    problems = []
    for code in (thing.code for thing in reading.things_of("batch", "seed")):
        stored = reading.forecast(code)
        if stored is None:
            problems += [f"{shown(one)} has no windows" for one in batches_of(page, code)]
        elif _is_ours(stored) and not _alike(asdict(stored), asdict(forecast(page, code))):
            problems.append(f"the windows of {shown(code)} are not what the entries give")
    return problems


def _is_ours(stored: Forecast) -> bool:
    """Whether windows still matter and were worked out the way we do."""
    return stored.living > 0 and stored.rests_on.get("formula") == FORMULA


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= 1e-6
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_alike(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(_alike, one, other))
    return bool(one == other)
