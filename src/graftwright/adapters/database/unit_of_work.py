"""Writing in a notebook: one transaction, all or nothing, durable when it is done.

An entry in order (nothing about its things stands behind it) sees the stored balances; one that
arrives late sees the full history of what it touches. Both go through the same derivation.
"""

from __future__ import annotations

import json
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, literal, null, or_, select, union_all, update
from sqlalchemy.dialects.sqlite import insert

from graftwright.actions.ports import Sheet
from graftwright.adapters.database import convert, tables
from graftwright.adapters.database.open import WAIT_SECONDS, connect
from graftwright.adapters.database.queries import DatabaseReading
from graftwright.ledger import errors
from graftwright.ledger.book import Posted, touched
from graftwright.ledger.entries import slug
from graftwright.ledger.lines import THERE, Line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path as FilePath

    from sqlalchemy import ColumnElement, CompoundSelect, Connection

    from graftwright.ledger.aside import KeptAside
    from graftwright.ledger.book import Change
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.stages import Path
    from graftwright.ledger.things import Thing
    from graftwright.ledger.windows import Forecast


class DatabasePage:
    """A notebook's file, open for writing."""

    def __init__(self, connection: Connection, stages: Callable[[str], Path]) -> None:
        self._db = connection
        self._stages = stages  # text of a sheet -> its stages
        self._things: dict[str, Thing | None] = {}
        self._names: dict[str, list[str]] = {}
        self._parts: dict[str, list[str]] = {}
        self._histories: dict[tuple[str, str], Sequence[Posted]] = {}
        self._standing: dict[str, list[Line]] = {}
        self._entries: dict[int, Entry] = {}
        self._sheets: dict[str, Sheet] = {}
        self._paths: dict[str, Path] = {}
        self._next = 0
        self._answer: tuple[str, str | int] | None = None
        self._opened: set[str] = set()  # places whose owners were looked up

    # what an entry will ask for, in two statements

    def look_up(self, id_: str, words: Iterable[str], *, into_places: bool = False) -> None:
        self._forget()
        wanted = sorted(set(words))
        slugs = sorted({slug(word) for word in wanted})
        for word in (*wanted, *slugs):
            self._things.setdefault(word, None)
        for row in self._db.execute(_first_look(id_, wanted, slugs, into_places=into_places)):
            if row.what == "thing":
                self._learn(convert.thing_of(row))
            elif row.what == "sheet":
                self._sheets[row.code] = Sheet(row.code, row.kind, json.loads(row.said))
            elif row.what == "next":
                self._next = int(row.code)
            else:
                self._answer = (row.what, row.code)
        known = [code for code, thing in self._things.items() if thing]
        self._opened = set(wanted) & set(known) if into_places else set()
        self._standing.update({code: [] for code in known})
        for row in self._db.execute(_second_look(known)):
            if row.amount is None:
                self._learn(convert.thing_from(row.thing, row.unit, "", row.name, row.detail))
            else:
                self._standing[row.thing].append(convert.line_of(row))

    def _forget(self) -> None:
        """Another entry begins: what stood before the one just written stands so no more."""
        self._answer = None
        for known in (self._things, self._names, self._parts, self._histories, self._standing, self._entries):
            known.clear()

    def _learn(self, thing: Thing) -> None:
        if self._things.get(thing.code):
            return
        self._things[thing.code] = thing
        if name := thing.get("name"):
            self._names.setdefault(slug(str(name)), []).append(thing.code)

    # what the ledger reads

    def thing(self, code: str) -> Thing | None:
        if code not in self._things:
            row = self._db.execute(select(tables.things).where(tables.things.c.code == code)).first()
            self._things[code] = convert.thing_of(row) if row else None
        return self._things[code]

    def parts(self, batch: str) -> Sequence[str]:
        thing = self.thing(batch)
        if thing is None or thing.kind != "batch":
            return ()
        if batch not in self._parts:
            self._parts[batch] = self._fetch_parts(batch)
        return self._parts[batch]

    def _fetch_parts(self, batch: str) -> list[str]:
        if batch in self._standing:  # looked up, and its parts with it
            return [one.code for one in self._things.values() if one and one.part_of == batch]
        t = tables.things
        return list(self._db.execute(select(t.c.code).where(t.c.part_of == batch)).scalars())

    def history(self, code: str, behind: str = "") -> Sequence[Posted]:
        if (code, behind) not in self._histories:
            summed = behind and not self._stands_behind(code, behind)
            self._histories[code, behind] = self._summed(code) if summed else self._full(code)
        return self._histories[code, behind]

    def _stands_behind(self, code: str, key: str) -> bool:
        """Whether anything stands at a point or behind it; what a correction takes out stands at its own."""
        thing = self.thing(code)
        if thing is None:
            return False
        family = [thing.part_of or code, *self.parts(thing.part_of or code)]
        return any(one is not None and one.latest >= key for one in map(self.thing, family))

    def _summed(self, code: str) -> Sequence[Posted]:
        """Everything before, as one line for each place."""
        if code not in self._standing:
            b = tables.balances
            rows = self._db.execute(select(b).where(b.c.thing == code, b.c.name == THERE, b.c.amount != 0))
            self._standing[code] = [convert.line_of(row) for row in rows]
        return (Posted("", 0, tuple(self._standing[code])),)

    def _full(self, code: str) -> Sequence[Posted]:
        x = tables.lines
        found: dict[tuple[str, int], list[Line]] = {}
        for row in self._db.execute(select(x).where(x.c.thing == code).order_by(x.c.key, x.c.entry)):
            found.setdefault((row.key, row.entry), []).append(convert.line_of(row))
        return [Posted(key, number, tuple(lines)) for (key, number), lines in found.items()]

    def put_into(self, place: str) -> Sequence[int]:
        x = tables.lines
        return list(self._db.execute(select(x.c.entry).distinct().where(x.c.place == place)).scalars())

    def entry(self, number: int) -> Entry:
        if number not in self._entries:
            row = self._db.execute(select(tables.entries).where(tables.entries.c.number == number)).first()
            if row is None:
                raise errors.NoSuchEntry(number)
            self._entries[number] = convert.entry_of(row)
        return self._entries[number]

    def lines(self, number: int) -> tuple[Line, ...]:
        rows = self._db.execute(select(tables.lines).where(tables.lines.c.entry == number))
        return tuple(convert.line_of(row) for row in rows)

    def path(self, sheet: str) -> Path:
        if sheet not in self._paths:
            self._paths[sheet] = self._stages(self.sheet(sheet).text)
        return self._paths[sheet]

    # what the actions ask

    def find(self, word: str) -> Thing | None:
        if thing := self.thing(word):
            return thing
        named = self._names.get(slug(word), [])
        return self.thing(named[0]) if len(named) == 1 else None

    def answered(self, id_: str) -> Entry | KeptAside | None:
        if self._answer is None:
            return None
        what, which = self._answer
        if what == "entry":
            return self.entry(int(which))
        row = self._db.execute(select(tables.aside).where(tables.aside.c.id == id_)).one()
        return convert.aside_of(row)

    def next_number(self) -> int:
        return self._next

    def taken(self, codes: Iterable[str]) -> set[str]:
        t, asked = tables.things, list(codes)
        found = set(self._db.execute(select(t.c.code).where(t.c.code.in_(asked))).scalars())
        for code in set(asked) - found:
            self._things[code] = None
            self._standing[code] = []
        return found

    def owners_in(self, place: str) -> Sequence[str]:
        if place in self._opened:
            return sorted(
                code
                for code, lines in self._standing.items()
                if any(line.account.place == place for line in lines)
            )
        b = tables.balances
        here = select(b.c.thing).distinct().where(b.c.place == place, b.c.name == THERE, b.c.amount != 0)
        return sorted(self._db.execute(here).scalars())

    def has_sheet(self, version: str) -> bool:
        s = tables.sheets
        return version in self._sheets or bool(
            self._db.execute(select(s.c.version).where(s.c.version == version)).first()
        )

    def store_sheet(self, sheet: Sheet) -> None:
        row = {"version": sheet.version, "text": sheet.text, "species": convert.to_text(dict(sheet.species))}
        self._db.execute(insert(tables.sheets), [row])

    def sheet(self, version: str) -> Sheet:
        if version not in self._sheets:
            row = self._db.execute(select(tables.sheets).where(tables.sheets.c.version == version)).one()
            self._sheets[version] = Sheet(row.version, row.text, json.loads(row.species))
        return self._sheets[version]

    def told_of(self, batch: str) -> Sequence[tuple[Entry, tuple[Line, ...]]]:
        own = [batch, *self.parts(batch)]
        e, x = tables.entries, tables.lines
        lain = select(x.c.place).where(x.c.thing.in_(own), x.c.place != "")
        about = select(x.c.entry).where(or_(x.c.thing.in_(own), x.c.thing.in_(lain)))
        joined = (
            select(e, x)
            .join(x, x.c.entry == e.c.number)
            .where(e.c.number.in_(about))
            .order_by(e.c.key, e.c.number)
        )
        return convert.told(self._db.execute(joined))

    def owners_under(self, place: str) -> Sequence[str]:
        b, t = tables.balances, tables.things
        inner = select(t.c.code).where(t.c.code == place).cte("inner_places", recursive=True)
        inner = inner.union(select(t.c.code).where(t.c.within == inner.c.code))
        here = b.c.place.in_(select(inner.c.code))
        owners = select(b.c.thing).distinct().where(here, b.c.name == THERE, b.c.amount != 0)
        return sorted(self._db.execute(owners).scalars())

    # writing

    def save(self, e: Entry, change: Change) -> None:
        db, x = self._db, tables.lines
        db.execute(insert(tables.entries), [convert.entry_row(e)])
        if change.crossed:
            crossed = tables.entries.c.number.in_(change.crossed)
            db.execute(update(tables.entries).where(crossed).values(crossed_by=e.number))
        changed = [number for number, lines in change.before.items() if lines]
        if changed:
            db.execute(x.delete().where(x.c.entry.in_(changed)))
        keys = {number: e.key if number == e.number else self.entry(number).key for number in change.lines}
        rows = [
            convert.line_row(number, keys[number], line)
            for number, lines in change.lines.items()
            for line in lines
        ]
        if rows:
            db.execute(insert(x), rows)
        self._save_balances(change)
        self._save_things(e, change)

    def _save_balances(self, change: Change) -> None:
        rows = [{**account._asdict(), "amount": n} for account, n in change.deltas().items()]
        if not rows:
            return
        put = insert(tables.balances)
        more = put.on_conflict_do_update(
            index_elements=["thing", "unit", "name", "detail", "place"],
            set_={"amount": tables.balances.c.amount + put.excluded.amount},
        )
        self._db.execute(more, rows)

    def _save_things(self, e: Entry, change: Change) -> None:
        latest: dict[str, str] = {}
        for number, lines in change.lines.items():
            key = e.key if number == e.number else self.entry(number).key
            for code in touched(lines):
                latest[code] = max(latest.get(code, ""), key)
        rows = []
        for code in {*latest, *change.things}:
            thing = change.things.get(code) or self.thing(code)
            if thing:
                self._things[code] = thing
                self._parts.clear()
                rows.append(convert.thing_row(thing, latest.get(code, "")))
        if not rows:
            return
        put = insert(tables.things)
        names = ("kind", "part_of", "slug", "within", "sheet", "said", "latest")
        again = put.on_conflict_do_update(index_elements=["code"], set_={n: put.excluded[n] for n in names})
        self._db.execute(again, rows)

    def keep_aside(self, kept: KeptAside) -> None:
        self._db.execute(insert(tables.aside), [convert.aside_row(kept)])

    def save_forecasts(self, forecasts: Mapping[str, Forecast]) -> None:
        rows = [convert.forecast_row(forecast) for forecast in forecasts.values()]
        if not rows:
            return
        put = insert(tables.forecasts)
        names = ("living", "body")
        again = put.on_conflict_do_update(index_elements=["batch"], set_={n: put.excluded[n] for n in names})
        self._db.execute(again, rows)


def _first_look(id_: str, wanted: list[str], slugs: list[str], *, into_places: bool) -> CompoundSelect[Any]:
    """Things by code or name with the parts and wholes of batches, their sheets, the next number, the id's answer."""
    t, e, a, s, b = tables.things, tables.entries, tables.aside, tables.sheets, tables.balances
    found: ColumnElement[bool] = or_(t.c.code.in_(wanted), t.c.slug.in_(slugs), t.c.code.in_(slugs))
    if into_places:
        inside = select(b.c.thing).where(b.c.place.in_(wanted), b.c.name == THERE, b.c.amount != 0)
        found = or_(found, t.c.code.in_(inside))
    named = select(t.c.code, t.c.part_of, t.c.sheet).where(found).cte("named")
    wholes = select(named.c.part_of).where(named.c.part_of != "")
    family = or_(
        t.c.code.in_(select(named.c.code)), t.c.code.in_(wholes), t.c.part_of.in_(select(named.c.code)),
        t.c.part_of.in_(wholes),
    )  # fmt: skip
    sheet_of_whole = select(t.c.sheet).where(t.c.code.in_(wholes))
    return union_all(
        select(literal("thing").label("what"), t.c.code, t.c.kind, t.c.part_of, t.c.said, t.c.latest).where(
            family
        ),
        select(literal("sheet"), s.c.version, s.c.text, null(), s.c.species, null()).where(
            or_(s.c.version.in_(select(named.c.sheet)), s.c.version.in_(sheet_of_whole))
        ),
        select(literal("next"), func.coalesce(func.max(e.c.number), 0) + 1, *([null()] * 4)),
        select(literal("entry"), e.c.number, *([null()] * 4)).where(e.c.id == id_),
        select(literal("aside"), a.c.id, *([null()] * 4)).where(a.c.id == id_),
    )


def _second_look(known: list[str]) -> CompoundSelect[Any]:
    """What stands under the things that are known, and every place they have stood in with the places round it."""
    b, t, x = tables.balances, tables.things, tables.lines
    here = select(b).where(b.c.thing.in_(known), b.c.name == THERE, b.c.amount != 0)
    grafts = select(t.c.code).where(t.c.code.in_(known), t.c.kind.in_(["batch", "plant"]))
    lain = select(x.c.place).where(x.c.thing.in_(grafts), x.c.place != "")
    around = select(t.c.code, t.c.within).where(
        t.c.kind == "place", or_(t.c.code.in_(lain), t.c.code.in_(known))
    ).cte("around", recursive=True)  # fmt: skip
    around = around.union(select(t.c.code, t.c.within).where(t.c.code == around.c.within))
    places = select(
        t.c.code, t.c.kind, t.c.said, t.c.latest, literal(""), null().label("amount")
    ).where(t.c.code.in_(select(around.c.code)))  # fmt: skip
    return union_all(here, places)


class DatabaseNotebook:
    """A notebook that is one SQLite file."""

    def __init__(
        self,
        path: FilePath,
        stages: Callable[[str], Path],
        *,
        read_only: bool = False,
        wait_seconds: float = WAIT_SECONDS,
    ) -> None:
        self.path = path
        self._stages = stages
        self._engine = connect(path, read_only=read_only, wait_seconds=wait_seconds)

    @contextmanager
    def writing(self) -> Iterator[DatabasePage]:
        with self._engine.for_writing() as connection:
            yield DatabasePage(connection, self._stages)

    @contextmanager
    def reading(self) -> Iterator[DatabaseReading]:
        with self._engine.for_reading() as connection:
            yield DatabaseReading(connection)

    def close(self) -> None:
        self._engine.close()
