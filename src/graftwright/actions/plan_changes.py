"""What changed between two plans, in sentences a grower reads; it works on plans as scripts receive them."""

from __future__ import annotations

from datetime import date
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    Json = Mapping[str, Any]

_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip
_DAYS = (
    ("chill_on", "the nuts go into the cold"), ("bring_out", "the nuts come out"), ("ready", "the trees are ready"),
)  # fmt: skip

Wish = tuple[list["Json"], "Json | None"]  # its batches, and why it is not met if it is not
_NOTHING: Wish = ([], None)


def changes(old: Json, new: Json) -> tuple[str, ...]:
    """Return a sentence for each thing that changed; none for plans that ask the same of a grower.

    Wishes are known by variety and purpose, not by their number, which changes with the file.
    """
    before, after = _by_wish(old), _by_wish(new)
    told = [
        said for key in dict.fromkeys([*after, *before])
        for said in _wish(_named(*key[:2]), before.get(key, _NOTHING), after.get(key, _NOTHING))
    ]  # fmt: skip
    told += [f"New: {said}" for said in _only(new.get("warnings", ()), old.get("warnings", ()))]
    told += [f"No longer: {said}" for said in _only(old.get("warnings", ()), new.get("warnings", ()))]
    return (*told, *_totals(old.get("totals", {}), new.get("totals", {})))


def _by_wish(plan: Json) -> dict[tuple[str, str, int], Wish]:
    """Gather the rows of each wish; the last part of a key tells wishes of one variety and purpose apart."""
    wishes: dict[int, Wish] = {}
    for row in plan.get("batches", ()):
        wishes.setdefault(row["wish"], ([], None))[0].append(row)
    for row in plan.get("unmet", ()):
        wishes[row["wish"]] = (wishes.get(row["wish"], _NOTHING)[0], row)
    keyed: dict[tuple[str, str, int], Wish] = {}
    for _, (batches, unmet) in sorted(wishes.items()):
        row = unmet or batches[0]
        named = row["variety"], row.get("for", "")
        keyed[*named, sum(key[:2] == named for key in keyed)] = batches, unmet
    return keyed


def _named(variety: str, purpose: str) -> str:
    return f"{variety} for {purpose}" if purpose else variety


def _wish(name: str, before: Wish, after: Wish) -> Iterator[str]:
    for old, new in zip_longest(before[0], after[0]):
        yield from _batch(name, old, new)
    yield from _met(name, before, after)


def _batch(name: str, old: Json | None, new: Json | None) -> Iterator[str]:
    if old is None or new is None:
        row = old or new or {}
        yield f"{'Gone' if new is None else 'New'}: {name}, {_grafts(row)} on {_day(row['graft_on'])}."
        return
    yield from _sitting(name, old, new)
    for key, what in _DAYS:
        if old.get(key) != new.get(key) and old.get(key) and new.get(key):
            yield f"{name}: {what} on {_day(new[key], old[key])} instead of {_day(old[key], new[key])}."
    if old["graft_on"] == new["graft_on"]:
        yield from _steps(name, old.get("steps", new["steps"]), new["steps"])
    yield from (f"{name}, new: {said}." for said in _only(new["warnings"], old["warnings"]))
    yield from (f"{name}, no longer: {said}." for said in _only(old["warnings"], new["warnings"]))


def _sitting(name: str, old: Json, new: Json) -> Iterator[str]:
    here, there = new["graft_on"], old["graft_on"]
    if here != there:
        other = "" if old["grafts"] == new["grafts"] else f"{old['grafts']} on "
        yield f"{name}: {_grafts(new)} on {_day(here, there)} instead of {other}{_day(there, here)}."
    elif old["grafts"] != new["grafts"]:
        yield f"{name}: {_grafts(new)} on {_day(here)} instead of {old['grafts']}."


def _steps(name: str, old: Sequence[Json], new: Sequence[Json]) -> Iterator[str]:
    """Tell of steps that moved though the grafting did not; with it they all move."""
    for step in dict.fromkeys(row["name"] for row in (*new, *old)):
        here, there = ([_day(row["on"]) for row in rows if row["name"] == step] for rows in (new, old))
        if here != there:
            yield f"{name}: {step} on {_days(here)} instead of {_days(there)}."


def _days(days: list[str]) -> str:
    return " and ".join(days) or "no day"


def _met(name: str, before: Wish, after: Wish) -> Iterator[str]:
    old, new = before[1], after[1]
    if old and not new:
        yield f"{name}: now met." if after[0] else f"{name}: no longer wished for."
    elif new and not old:
        yield f"{name}: {'no longer met' if before[0] else 'not met'}. {new['sentence']}"
    elif old and new and old["placed"] != new["placed"]:
        yield (
            f"{name}: {new['placed']} of {new['needed']} grafts have a place "
            f"instead of {old['placed']} of {old['needed']}."
        )


def _grafts(row: Json) -> str:
    return "1 graft" if row["grafts"] == 1 else f"{row['grafts']} grafts"


def _day(text: str, beside: str = "") -> str:
    """Write a day; with its year if another year stands beside it."""
    day = date.fromisoformat(text)
    year = f" {day.year}" if beside and beside[:4] != text[:4] else ""
    return f"{day.day} {_MONTHS[day.month - 1]}{year}"


def _only(here: Sequence[str], there: Sequence[str]) -> list[str]:
    return [said for said in here if said not in there]


def _totals(old: Mapping[str, float], new: Mapping[str, float]) -> Iterator[str]:
    moved = [
        f"{name} {new.get(name, 0):g} instead of {old.get(name, 0):g}"
        for name in dict.fromkeys([*new, *old]) if new.get(name, 0) != old.get(name, 0)
    ]  # fmt: skip
    if moved:
        yield f"In all: {'; '.join(moved)}."
