"""What is wrong with a notebook's file below the ledger: pages, rows that point nowhere, keys out of step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

from graftwright.adapters.database import convert, tables
from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection

e, x, t = tables.entries, tables.lines, tables.things


def faults(db: Connection) -> list[str]:
    """Return a sentence for each fault."""
    return [*_pages(db), *_numbers(db), *_keys(db), *_columns(db)]


def _pages(db: Connection) -> Iterator[str]:
    for found in db.exec_driver_sql("PRAGMA integrity_check").scalars():
        if found != "ok":
            yield f"the file is damaged: {found}"
    for table, row, points_to, _ in db.exec_driver_sql("PRAGMA foreign_key_check"):
        yield f"row {row} of {table} points to {points_to} that are not there"


def _numbers(db: Connection) -> Iterator[str]:
    """Numbers run on without a gap, because no entry is ever deleted."""
    present = set(db.execute(select(e.c.number)).scalars())
    for number in range(1, max(present, default=0) + 1):
        if number not in present:
            yield f"entry {number} is missing"


def _keys(db: Connection) -> Iterator[str]:
    """Each entry's place in the order stands beside it and beside its lines."""
    places = {}
    for row in db.execute(select(e)):
        places[row.number] = row.key
        if row.key != convert.entry_of(row).key:
            yield f"entry {row.number} has a wrong place in the order"
    for number, key in db.execute(select(x.c.entry, x.c.key).distinct()):
        if places.get(number) != key:
            yield f"lines of entry {number} have a wrong place in the order"


def _columns(db: Connection) -> Iterator[str]:
    """A thing is found by columns that repeat what is said of it, and by the last entry that touched it."""
    last = select(x.c.thing, func.max(x.c.key).label("key")).group_by(x.c.thing)
    touched = {row.thing: row.key for row in db.execute(last)}
    for row in db.execute(select(t)):
        right = convert.thing_row(convert.thing_of(row), touched.get(row.code, ""))
        if any(getattr(row, name) != right[name] for name in ("slug", "within", "sheet", "latest")):
            yield f"{shown(row.code)} is filed wrongly"
