"""Writing in a notebook: one transaction, all or nothing, durable when it is done.

An entry in order (nothing about its things stands behind it) sees the stored balances; one that
arrives late sees the full history of what it touches. Both go through the same derivation.
"""

from __future__ import annotations

import json
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sqlalchemy import or_, select, union, update
from sqlalchemy.dialects.sqlite import insert

from graftwright.actions.ports import Sheet
from graftwright.adapters.database import convert, tables
from graftwright.adapters.database.look import BATCHES_IN, BATCHES_OF, BATCHES_WITHIN, LOOK, among
from graftwright.adapters.database.open import WAIT_SECONDS, connect
from graftwright.adapters.database.queries import DatabaseReading, entries_with_lines
from graftwright.ledger import errors
from graftwright.ledger.book import Posted, touched
from graftwright.ledger.entries import slug, spellings
from graftwright.ledger.lines import THERE, Account, Line
from graftwright.ledger.things import OWN

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path as FilePath

    from sqlalchemy import Connection

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
        self._lines: dict[int, tuple[Line, ...]] = {}
        self._sheets: dict[str, Sheet] = {}
        self._paths: dict[str, Path] = {}
        self._next = 0
        self._looked_up = False  # then all values of the grower's own are among the things
        self._answer: tuple[str, str | int] | None = None
        self._latest: dict[str, str] = {}  # batch -> the last point at which it or a part of it was touched

    # what an entry will ask for, in one statement

    def look_up(self, id_: str, words: Iterable[str], *, inside: str = "") -> None:
        self._forget()
        self._looked_up = True
        keys = sorted({key for word in words for key in spellings(word)})
        self._things.update(dict.fromkeys(keys))
        self._standing.update({key: [] for key in keys})
        asked = {"id": id_, "keys": json.dumps(keys), "inside": json.dumps(spellings(inside))}
        for row in self._db.execute(LOOK, asked):
            if row.what == "thing":
                self._learn(convert.thing_from(row.a, row.b, row.c, row.d, row.e))
            elif row.what == "there":
                self._standing[row.a].append(Line(Account(row.a, row.b, row.c, row.d, row.e), row.n))
            elif row.what == "sheet":
                self._sheets[row.a] = Sheet(row.a, row.b, json.loads(row.c))
            elif row.what == "next":
                self._next = row.n
            else:
                self._answer = (row.what, row.n)

    def _forget(self) -> None:
        """Another entry begins: what stood before the one just written stands so no more."""
        self._answer = None
        self._things.clear()
        self._names.clear()
        self._parts.clear()
        self._latest.clear()
        self._histories.clear()
        self._standing.clear()
        self._entries.clear()
        self._lines.clear()

    def _learn(self, thing: Thing) -> None:
        self._things[thing.code] = thing
        self._standing.setdefault(thing.code, [])
        if name := thing.get("name"):
            self._names.setdefault(slug(str(name)), []).append(thing.code)

    # what the ledger reads

    def thing(self, code: str) -> Thing | None:
        if code not in self._things and not (self._looked_up and code.startswith(OWN)):
            row = self._db.execute(select(tables.things).where(tables.things.c.code == code)).first()
            self._things[code] = convert.thing_of(row) if row else None
        return self._things.get(code)

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
            if behind and not self._stands_behind(code, behind):
                self._histories[code, behind] = self._summed(code)
            else:
                self._read_family(code, behind)
        return self._histories[code, behind]

    def _stands_behind(self, code: str, key: str) -> bool:
        """Whether anything about a thing or its family stands at a point of the order or behind it."""
        thing = self.thing(code)
        if thing is None:
            return False
        root = thing.part_of or code
        if root not in self._latest:
            family = map(self.thing, (root, *self.parts(root)))
            self._latest[root] = max(one.latest for one in family if one)
        return self._latest[root] >= key

    def _summed(self, code: str) -> Sequence[Posted]:
        """Everything before, as one line for each place."""
        if code not in self._standing:
            b = tables.balances
            rows = self._db.execute(select(b).where(b.c.thing == code, b.c.name == THERE, b.c.amount != 0))
            self._standing[code] = [convert.line_of(row) for row in rows]
        return (Posted("", 0, tuple(self._standing[code])),)

    def _read_family(self, code: str, behind: str) -> None:
        """Read the whole history of a thing and its family, and the entries that may have to be derived again."""
        thing, x = self.thing(code), tables.lines
        root = thing.part_of if thing and thing.part_of else code
        found: dict[str, dict[tuple[str, int], list[Line]]] = {
            one: {} for one in (root, *self.parts(root), code)
        }
        for row in self._db.execute(select(x).where(among(x.c.thing, found)).order_by(x.c.key, x.c.entry)):
            found[row.thing].setdefault((row.key, row.entry), []).append(convert.line_of(row))
        for one, posted in found.items():
            self._histories[one, behind] = [Posted(*place, tuple(lines)) for place, lines in posted.items()]
        if behind:
            self._read_entries(
                {number for posted in found.values() for key, number in posted if key >= behind}
            )

    def _read_entries(self, numbers: Iterable[int]) -> None:
        told = entries_with_lines().where(among(tables.entries.c.number, numbers))
        for e, lines in convert.told(self._db.execute(told)):
            self._entries[e.number], self._lines[e.number] = e, lines

    def naming(self, place: str) -> Sequence[int]:
        x = tables.lines
        named = or_(x.c.thing == place, x.c.place == place)
        return list(self._db.execute(select(x.c.entry).distinct().where(named)).scalars())

    def entry(self, number: int) -> Entry:
        if number not in self._entries:
            row = self._db.execute(select(tables.entries).where(tables.entries.c.number == number)).first()
            if row is None:
                raise errors.NoSuchEntry(number)
            self._entries[number] = convert.entry_of(row)
        return self._entries[number]

    def lines(self, number: int) -> tuple[Line, ...]:
        if number not in self._lines:
            rows = self._db.execute(select(tables.lines).where(tables.lines.c.entry == number))
            self._lines[number] = tuple(convert.line_of(row) for row in rows)
        return self._lines[number]

    def path(self, sheet: str) -> Path:
        if sheet not in self._paths:
            self._paths[sheet] = self._stages(self.sheet(sheet).text)
        return self._paths[sheet]

    # what the actions ask

    def find(self, word: str) -> Thing | None:
        thing = self.thing(word)
        if thing and thing.exists:
            return thing
        named = [one for code in self._names.get(slug(word), []) if (one := self.thing(code)) and one.exists]
        return named[0] if len(named) == 1 else thing

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
        found = set(self._db.execute(select(t.c.code).where(among(t.c.code, asked))).scalars())
        for code in set(asked) - found:
            self._things[code] = None
            self._standing[code] = []
        return found

    def owners_in(self, place: str) -> Sequence[str]:
        b = tables.balances
        here = select(b.c.thing).distinct().where(b.c.place == place, b.c.name == THERE, b.c.amount != 0)
        return sorted(self._db.execute(here).scalars())

    def lots_left(self, kinds: Iterable[str]) -> Sequence[Thing]:
        t, b = tables.things, tables.balances
        left = t.c.code.in_(select(b.c.thing).where(b.c.name == THERE, b.c.amount > 0)).label("left")
        rows = self._db.execute(select(t, left).where(among(t.c.kind, kinds)))
        lots = [(convert.thing_of(row), row.left) for row in rows]
        return [lot for lot, some in lots if lot.exists and (some or lot.get("uncounted"))]

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
        t, e, x = tables.things, tables.entries, tables.lines
        own = select(t.c.code).where(or_(t.c.code == batch, t.c.part_of == batch))
        lain = select(x.c.place).where(x.c.thing.in_(own), x.c.name == THERE, x.c.place != "")
        about = union(
            select(x.c.entry).where(x.c.thing.in_(own)),
            select(e.c.number).where(e.c.subject.in_(lain), e.c.crossed_by.is_(None)),
        )
        told = entries_with_lines().where(e.c.number.in_(about)).order_by(e.c.key, e.c.number)
        return convert.told(self._db.execute(told))

    def batches_in(self, place: str, *, within: bool) -> Sequence[str]:
        asked = BATCHES_WITHIN if within else BATCHES_IN
        return list(self._db.execute(asked, {"place": place}).scalars())

    def batches_of(self, key: str) -> Sequence[str]:
        return list(self._db.execute(BATCHES_OF, {"key": key}).scalars())

    # writing

    def save(self, e: Entry, change: Change) -> None:
        db, x = self._db, tables.lines
        db.execute(insert(tables.entries), [convert.entry_row(e)])
        self._entries[e.number] = e
        self._lines.update(change.lines)
        if change.crossed:
            crossed = among(tables.entries.c.number, change.crossed)
            db.execute(update(tables.entries).where(crossed).values(crossed_by=e.number))
        changed = [number for number, lines in change.before.items() if lines]
        if changed:
            db.execute(x.delete().where(among(x.c.entry, changed)))
        keys = {number: self.entry(number).key for number in change.lines}
        rows = [
            convert.line_row(number, keys[number], line)
            for number, lines in change.lines.items()
            for line in lines
        ]
        if rows:
            db.execute(insert(x), rows)
        self._save_balances(change)
        self._save_things(change, keys)

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

    def _save_things(self, change: Change, keys: Mapping[int, str]) -> None:
        latest: dict[str, str] = {}
        for number, lines in change.lines.items():
            for code in touched(lines):
                latest[code] = max(latest.get(code, ""), keys[number])
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
