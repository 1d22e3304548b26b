"""Lines: what an entry moves, from where to where.

An inside line says how many units stand in a lot, batch or plant at a stage in a place. An outside
line says where units come from or where they went. The lines of an entry sum to zero for each unit.
A line of amount zero only remembers that the entry was about a thing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

THERE = "there"
OUTSIDE = ("outside", "made", "used", "lost", "culled", "given", "sold", "discarded", "recount")
NOTED = "noted"


class Account(NamedTuple):
    """Where units stand, or where they came from or went."""

    thing: str
    unit: str
    name: str
    detail: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """So many units more (or fewer) on one account."""

    account: Account
    amount: int


def there(thing: str, unit: str, stage: str, place: str, amount: int) -> Line:
    """A line of an inside account."""
    return Line(Account(thing, unit, THERE, stage, place), amount)


def outside(name: str, thing: str, unit: str, amount: int, detail: str = "", place: str = "") -> Line:
    """A line of an outside account."""
    return Line(Account(thing, unit, name, detail, place), amount)


def noted(thing: str, place: str = "") -> Line:
    """Remember that an entry was about a thing."""
    return Line(Account(thing, "", NOTED, "", place), 0)


def summed(lines: list[Line]) -> tuple[Line, ...]:
    """Join lines of one account and drop moves that cancel, keeping the first order."""
    totals: dict[Account, int] = {}
    for line in lines:
        totals[line.account] = totals.get(line.account, 0) + line.amount
    moved = tuple(
        Line(account, amount) for account, amount in totals.items() if amount or account.name == NOTED
    )
    covered = {line.account.thing for line in moved}
    rest = {account.thing for account in totals} - covered
    return moved + tuple(noted(thing) for thing in sorted(rest))
