"""Prove the notebook: every entry derived again from the first gives what is stored."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Protocol

from graftwright.actions.forecast import forecast
from graftwright.errors import Refusal, Unproved
from graftwright.ledger.book import Replay, things_said
from graftwright.ledger.lines import Account, Line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from graftwright.actions.ports import Page, Reading
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.stages import Path


class Stored(Protocol):
    """What the proof reads."""

    def in_order(self) -> Iterable[Entry]:
        """Return every entry that still stands, in order."""

    def every(self, table: str) -> Iterable[Any]:
        """Return all rows of a table."""


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
    entries = list(stored.in_order())
    lines: dict[int, list[Line]] = {}
    for row in stored.every("lines"):
        account = Account(row.thing, row.unit, row.name, row.detail, row.place)
        lines.setdefault(row.entry, []).append(Line(account, row.amount))
    unbalanced = [
        f"entry {number} does not sum to zero" for number, own in lines.items() if _off_balance(own)
    ]
    unequal = [*_replayed(entries, lines, path), *_balances(stored, lines)]
    problems = (*unbalanced, *unequal)
    return Proof(len(entries), not unbalanced, not unequal, kept_aside, problems)


def _off_balance(lines: Iterable[Line]) -> bool:
    sums = Counter[str]()
    for line in lines:
        sums[line.account.unit] += line.amount
    return any(sums.values())


def _replayed(entries: list[Entry], lines: dict[int, list[Line]], path: Callable[[str], Path]) -> list[str]:
    replay = Replay(things_said(entries), path)
    problems = []
    for e in entries:
        try:
            derived = replay.next(e)
        except Refusal as refusal:
            problems.append(f"entry {e.number} cannot stand: {refusal.sentence}")
            continue
        if set(derived) != set(lines.get(e.number, ())):
            problems.append(f"entry {e.number} has other lines than it should")
    standing = {e.number for e in entries}
    return problems + [
        f"entry {number} is crossed out but has lines" for number in lines if number not in standing
    ]


def _balances(stored: Stored, lines: dict[int, list[Line]]) -> list[str]:
    totals = Counter[Account]()
    for own in lines.values():
        for line in own:
            totals[line.account] += line.amount
    for row in stored.every("balances"):
        totals[Account(row.thing, row.unit, row.name, row.detail, row.place)] -= row.amount
    return [f"the count of {account.thing} ({account.name} {account.detail}) is off by {n}"
            for account, n in totals.items() if n]  # fmt: skip


def verify_windows(page: Page, reading: Reading) -> list[str]:
    """Work the windows of every living batch out again; they must agree to a millionth of a day."""
    problems = []
    for stored in reading.living():
        afresh = forecast(page, stored.batch)
        if not _alike(asdict(stored), asdict(afresh)):
            problems.append(f"the windows of {stored.batch} are not what the entries give")
    return problems


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= 1e-6
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_alike(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(_alike, one, other))
    return bool(one == other)
