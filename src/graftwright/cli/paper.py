"""How lines for people are laid out: days, places that share a line, width."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date

    from graftwright.ledger.due import DueLine

WIDTH = 100


def when(day: date) -> str:
    """Return 'Tue 2027-04-20'."""
    return f"{day:%a} {day.isoformat()}"


def hanging(text: str, indent: int, deeper: int = 4) -> list[str]:
    """Break a line at the width, what follows set in deeper."""
    return wrap(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + deeper),
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def places(names: Sequence[str]) -> str:
    """Return ' in bag A', or ' in 3 bags: A, B, C'."""
    if len(names) < 2:
        return f" in {names[0]}" if names else ""
    bags = all(name.startswith("bag ") for name in names)
    listed = ", ".join(name.removeprefix("bag ") if bags else name for name in names)
    return f" in {len(names)} {'bags' if bags else 'places'}: {listed}"


def tasks(lines: Iterable[DueLine], name: Callable[[str], str], *, about: bool) -> list[str]:
    """Write due lines in their order; neighbours that differ in nothing but the place share a line."""
    written: list[str] = []
    for alike in _neighbours(lines):
        first = alike[0]
        subject = f" {name(first.subject)}" if about and first.subject else ""
        where = places([name(line.place) for line in alike if line.place])
        written += hanging(f"{when(first.day)}  {first.what}{subject}{where}", 2)
        written += hanging(first.reason, 6, 0)
    return written


def _neighbours(lines: Iterable[DueLine]) -> list[list[DueLine]]:
    groups: list[list[DueLine]] = []
    for line in lines:
        if groups and _alike(groups[-1][0], line):
            groups[-1].append(line)
        else:
            groups.append([line])
    return groups


def _alike(one: DueLine, other: DueLine) -> bool:
    return (one.state, one.what, one.subject, one.day, one.reason) == (
        other.state, other.what, other.subject, other.day, other.reason
    ) and bool(one.place and other.place)  # fmt: skip
