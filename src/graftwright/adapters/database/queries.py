"""What pages and commands read: each question one or two statements, on one unchanging state."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import and_, func, or_, select

from graftwright.adapters.database import convert, tables
from graftwright.adapters.database.faults import faults
from graftwright.adapters.database.look import among
from graftwright.ledger import errors
from graftwright.ledger.codes import looks_like_code, read
from graftwright.ledger.entries import spellings
from graftwright.ledger.lines import THERE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from sqlalchemy import ColumnElement, Connection, Select

    from graftwright.ledger.aside import KeptAside
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line
    from graftwright.ledger.things import Thing
    from graftwright.ledger.windows import Forecast

t, b, e, x, f = tables.things, tables.balances, tables.entries, tables.lines, tables.forecasts


def entries_with_lines() -> Select[Any]:
    """Select entries, each with its lines as one value: a join would repeat the entry for each of them."""
    account = (x.c.thing, x.c.unit, x.c.name, x.c.detail, x.c.place)
    lines = select(func.json_group_array(func.json_array(*account, x.c.amount))).where(
        x.c.entry == e.c.number
    )
    return select(e, lines.scalar_subquery().label("lines"))


class DatabaseReading:
    """One unchanging state of a notebook."""

    def __init__(self, connection: Connection) -> None:
        self._db = connection

    def find(self, word: str) -> Thing | None:
        """Return the thing with that code or name; refuses what was meant as a code and is none."""
        keys = spellings(word)
        rows = self._db.execute(select(t).where(or_(t.c.code.in_(keys), t.c.slug.in_(keys)))).all()
        found = [thing for thing in map(convert.thing_of, rows) if thing.exists]
        exact = [thing for thing in found if thing.code in keys]
        if not found and looks_like_code(word):
            read(word)
        return (exact or found)[0] if exact or len(found) == 1 else None

    def things(self, codes: Iterable[str]) -> dict[str, Thing]:
        """Return things by code."""
        rows = self._db.execute(select(t).where(among(t.c.code, codes)))
        return {row.code: convert.thing_of(row) for row in rows}

    def things_of(self, *kinds: str) -> list[Thing]:
        """Return all things of some kinds, in the order of their codes."""
        rows = self._db.execute(select(t).where(t.c.kind.in_(kinds)).order_by(t.c.code))
        return [thing for thing in map(convert.thing_of, rows) if thing.exists]

    def parts(self, batch: str) -> list[Thing]:
        """Return the coded plants of a batch."""
        rows = self._db.execute(select(t).where(t.c.part_of == batch).order_by(t.c.code))
        return [thing for thing in map(convert.thing_of, rows) if thing.exists]

    def accounts(self, codes: Iterable[str]) -> list[Line]:
        """Return what is on every account of some things."""
        rows = self._db.execute(select(b).where(among(b.c.thing, codes), b.c.amount != 0))
        return [convert.line_of(row) for row in rows]

    def standing_in(self, places: Iterable[str]) -> list[Line]:
        """Return what stands in some places."""
        here = select(b).where(among(b.c.place, places), b.c.name == THERE, b.c.amount != 0)
        return [convert.line_of(row) for row in self._db.execute(here.order_by(b.c.thing))]

    def told(self, codes: Iterable[str], limit: int = 200) -> list[tuple[Entry, tuple[Line, ...]]]:
        """Return the latest entries about some things, or about what stood in them, with their lines, latest first."""
        listed = set(codes)
        stood = select(b.c.thing).where(among(b.c.place, listed), b.c.name == THERE)
        inside = and_(x.c.thing.in_(stood), among(x.c.place, listed))
        about = select(x.c.entry).where(among(x.c.thing, listed)).union(select(x.c.entry).where(inside))
        told = entries_with_lines().where(e.c.number.in_(about))
        return convert.told(self._db.execute(told.order_by(e.c.key.desc(), e.c.number.desc()).limit(limit)))

    def entry(self, number: int) -> Entry:
        """Return an entry by its number."""
        return self._entries(e.c.number == number, missing=number)[0]

    def crossed(self, codes: Iterable[str]) -> list[Entry]:
        """Return crossed-out entries that were about some things."""
        return self._entries(among(e.c.subject, codes) & e.c.crossed_by.is_not(None))

    def lines(self, number: int) -> tuple[Line, ...]:
        """Return what an entry moves."""
        return tuple(map(convert.line_of, self._db.execute(select(x).where(x.c.entry == number))))

    def of_kind(self, kind: str) -> list[Entry]:
        """Return the entries of a kind that still stand, in order."""
        return self._entries((e.c.kind == kind) & e.c.crossed_by.is_(None))

    def _entries(self, which: ColumnElement[bool], missing: int = 0) -> list[Entry]:
        rows = self._db.execute(select(e).where(which).order_by(e.c.key)).all()
        if missing and not rows:
            raise errors.NoSuchEntry(missing)
        return [convert.entry_of(row) for row in rows]

    def forecast(self, batch: str) -> Forecast | None:
        """Return the stored windows and tasks of a batch."""
        body = self._db.execute(select(f.c.body).where(f.c.batch == batch)).scalar()
        return convert.forecast_of(body) if body else None

    def living(self) -> list[Forecast]:
        """Return the windows and tasks of every batch that has living grafts."""
        rows = self._db.execute(select(f.c.body).where(f.c.living > 0).order_by(f.c.batch)).scalars()
        return [convert.forecast_of(body) for body in rows]

    def season(self, since: str) -> list[Forecast]:
        """Return the windows and fates of every batch grafted since a day, alive or not."""
        began = func.json_extract(f.c.body, "$.start")
        batches = select(f.c.body).join(t, t.c.code == f.c.batch).where(t.c.kind == "batch", began >= since)
        return [convert.forecast_of(body) for body in self._db.execute(batches.order_by(f.c.batch)).scalars()]

    def aside(self) -> list[KeptAside]:
        """Return the entries kept aside that nobody has settled."""
        a = tables.aside
        rows = self._db.execute(select(a).where(a.c.settled_by.is_(None)).order_by(a.c.received, a.c.id))
        return [convert.aside_of(row) for row in rows]

    def counted(self) -> Mapping[str, int]:
        """How many entries, things and entries kept aside there are."""
        return {
            name: int(self._db.execute(select(func.count()).select_from(table)).scalar_one())
            for name, table in (("entries", e), ("things", t), ("aside", tables.aside))
        }

    # for the proof

    def every(self, table: str) -> Iterable[Any]:
        """Return all rows of a table, one by one."""
        everything: Select[Any] = select(tables.metadata.tables[table])
        return self._db.execute(everything)

    def every_thing(self) -> Iterable[Thing]:
        """Return every thing as it is stored, also those of which nothing is said any more."""
        return map(convert.thing_of, self.every("things"))

    def faults(self) -> list[str]:
        """Say what is wrong with the file itself, and with what it stores twice to find it sooner."""
        return faults(self._db)

    def in_order(self) -> Iterable[Entry]:
        """Return every entry that still stands, in order."""
        standing = select(e).where(e.c.crossed_by.is_(None)).order_by(e.c.key, e.c.number)
        return map(convert.entry_of, self._db.execute(standing))

    def sheet(self, version: str) -> str:
        """Return the text of a stored method sheet."""
        s = tables.sheets
        return str(self._db.execute(select(s.c.text).where(s.c.version == version)).scalar_one())

    def sheets(self) -> Sequence[tuple[str, str]]:
        """Return the stored method sheets: version and text."""
        s = tables.sheets
        return [(row.version, row.text) for row in self._db.execute(select(s.c.version, s.c.text))]
