"""A notebook in memory: the plainest thing that keeps the promises of the port.

It re-derives the whole book after every change and refuses to differ from what was worked out
step by step, so tests can hold the database to it.
"""

from __future__ import annotations

import copy
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from graftwright.errors import Refusal
from graftwright.ledger import errors
from graftwright.ledger.book import Posted, Replay, things_said, touched
from graftwright.ledger.entries import slug
from graftwright.ledger.lines import THERE
from graftwright.ledger.stages import Path

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from graftwright.actions.ports import Sheet
    from graftwright.ledger.aside import KeptAside
    from graftwright.ledger.book import Change
    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Account, Line
    from graftwright.ledger.things import Thing
    from graftwright.ledger.windows import Forecast


class NotTheSame(AssertionError):
    """Working out a change step by step gave another book than deriving it afresh."""


@dataclass
class MemoryPage:
    """All of a notebook's content, open for writing."""

    paths: Mapping[str, tuple[str, ...]]
    entries: dict[int, Entry] = field(default_factory=dict)
    posted: dict[int, tuple[Line, ...]] = field(default_factory=dict)
    things: dict[str, Thing] = field(default_factory=dict)
    aside: dict[str, KeptAside] = field(default_factory=dict)
    sheets: dict[str, Sheet] = field(default_factory=dict)
    forecasts: dict[str, Forecast] = field(default_factory=dict)

    # what the ledger reads

    def thing(self, code: str) -> Thing | None:
        return self.things.get(code)

    def parts(self, batch: str) -> Sequence[str]:
        return [thing.code for thing in self.things.values() if thing.part_of == batch]

    def history(self, code: str, behind: str = "") -> Sequence[Posted]:  # noqa: ARG002 - nothing is summed here
        found = []
        for number, lines in self.posted.items():
            own = tuple(line for line in lines if line.account.thing == code)
            if own:
                found.append(Posted(self.entries[number].key, number, own))
        return sorted(found, key=lambda one: one.key)

    def naming(self, place: str) -> Sequence[int]:
        return [n for n, lines in self.posted.items()
                if any(place in (line.account.thing, line.account.place) for line in lines)]  # fmt: skip

    def entry(self, number: int) -> Entry:
        if number not in self.entries:
            raise errors.NoSuchEntry(number)
        return self.entries[number]

    def lines(self, number: int) -> tuple[Line, ...]:
        return self.posted.get(number, ())

    def path(self, sheet: str) -> Path:
        return Path(self.paths[sheet.partition("/")[0]])

    # what the actions ask

    def look_up(self, id_: str, words: Iterable[str], *, inside: str = "") -> None:
        """Nothing to fetch: all is here."""

    def find(self, word: str) -> Thing | None:
        thing = self.things.get(word)
        if thing and thing.exists:
            return thing
        named = [thing for thing in self.things.values() if thing.exists and slug(thing.name) == slug(word)]
        return named[0] if word and len(named) == 1 else thing

    def answered(self, id_: str) -> Entry | KeptAside | None:
        return next((e for e in self.entries.values() if e.id == id_), None) or self.aside.get(id_)

    def next_number(self) -> int:
        return max(self.entries, default=0) + 1

    def taken(self, codes: Iterable[str]) -> set[str]:
        return set(codes) & set(self.things)

    def owners_in(self, place: str) -> Sequence[str]:
        return sorted(
            {a.thing for a, n in self.balances().items() if n and a.name == THERE and a.place == place}
        )

    def lots_left(self, kinds: Iterable[str]) -> Sequence[Thing]:
        left = {a.thing for a, n in self.balances().items() if n > 0 and a.name == THERE}
        lots = [thing for thing in self.things.values() if thing.exists and thing.kind in set(kinds)]
        return [lot for lot in lots if lot.code in left or lot.get("uncounted")]

    def has_sheet(self, version: str) -> bool:
        return version in self.sheets

    def store_sheet(self, sheet: Sheet) -> None:
        self.sheets[sheet.version] = sheet

    def sheet(self, version: str) -> Sheet:
        return self.sheets[version]

    def told_of(self, batch: str) -> Sequence[tuple[Entry, tuple[Line, ...]]]:
        own = {batch, *self.parts(batch)}
        places = {
            line.account.place
            for lines in self.posted.values()
            for line in lines
            if line.account.thing in own and line.account.name == THERE
        }
        told = [
            (self.entries[n], lines)
            for n, lines in self.posted.items()
            if own & touched(lines) or self.entries[n].subject in places - {""}
        ]
        return sorted(told, key=lambda one: one[0].key)

    def batches_in(self, place: str, *, within: bool) -> Sequence[str]:
        places = self._ever_within(place, {place}) if within else {place}
        stood = {
            line.account.thing
            for lines in self.posted.values()
            for line in lines
            if line.account.name == THERE and line.account.place in places
        }
        batches = {self.things[code].part_of or code for code in stood}
        return sorted(batch for batch in batches if batch in self.forecasts and self.forecasts[batch].living)

    def batches_of(self, key: str) -> Sequence[str]:
        things = (self.things[code] for code, forecast in self.forecasts.items() if forecast.living)
        return sorted(thing.code for thing in things
                      if key in {str(thing.get("sheet", "")).partition("/")[0], thing.get("genus")})  # fmt: skip

    def _ever_within(self, place: str, found: set[str]) -> set[str]:
        for thing in self.things.values():
            outer = {one.value for one in thing.said.get("within", ())} if thing.kind == "place" else ()
            if place in outer and thing.code not in found:
                found |= self._ever_within(thing.code, found | {thing.code})
        return found

    def save_forecasts(self, forecasts: Mapping[str, Forecast]) -> None:
        self.forecasts.update(forecasts)

    def keep_aside(self, kept: KeptAside) -> None:
        self.aside[kept.id] = kept

    def save(self, e: Entry, change: Change) -> None:
        self.entries[e.number] = e
        for number, lines in change.lines.items():
            self.posted[number] = lines
        for number in change.crossed:
            self.entries[number] = replace(self.entries[number], crossed_by=e.number)
            del self.posted[number]
        self.things.update(change.things)
        self._prove()

    # the proof

    def standing(self) -> list[Entry]:
        """Entries that are not crossed out, in order."""
        return sorted((e for e in self.entries.values() if not e.crossed_by), key=lambda e: (e.key, e.number))

    def balances(self) -> dict[Account, int]:
        """What is on each account."""
        totals: dict[Account, int] = {}
        for lines in self.posted.values():
            for line in lines:
                totals[line.account] = totals.get(line.account, 0) + line.amount
        return {account: n for account, n in totals.items() if n}

    def _prove(self) -> None:
        things = things_said(self.standing())
        replay = Replay(things, self.path)
        try:
            afresh = {e.number: replay.next(e) for e in self.standing()}
        except Refusal as refusal:
            raise NotTheSame(f"an entry was left that cannot stand: {refusal}") from refusal
        for number, lines in afresh.items():
            if set(lines) != set(self.posted[number]):
                raise NotTheSame(f"entry {number}: stored {self.posted[number]}, derived afresh {lines}")
        stored = {code: thing for code, thing in self.things.items() if thing.exists}
        if stored != things:
            raise NotTheSame(f"things differ: {set(stored.items()) ^ set(things.items())}")


@dataclass
class MemoryNotebook:
    """A notebook in memory; a block that fails leaves it as it was."""

    paths: Mapping[str, tuple[str, ...]]
    page: MemoryPage = field(init=False)

    def __post_init__(self) -> None:
        self.page = MemoryPage(self.paths)

    @contextmanager
    def writing(self) -> Iterator[MemoryPage]:
        page = copy.copy(self.page)
        for name in ("entries", "posted", "things", "aside", "sheets", "forecasts"):
            setattr(page, name, dict(getattr(self.page, name)))
        yield page
        self.page = page
