"""A bench to try the ledger on: entries written as a table a grower could read, in any kind of notebook.

A row is `number | day | kind | about | what it says`. The number is the one the notebook must give, `-`
if the entry must not be accepted; then `refused: …` or `aside: …` stands under the row. Words stand for
codes: `nuts` or `bag 3` get a code of their own. What it says is `name value; name value`, and
`word 3, word 2` where a number goes with each word.
"""

from __future__ import annotations

import random
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from sqlalchemy import event

from graftwright.actions.enter import Answer, Desk, enter
from graftwright.actions.ports import Draft, Notebook, Sheet
from graftwright.adapters.database.open import create
from graftwright.adapters.database.unit_of_work import DatabaseNotebook
from graftwright.adapters.memory import MemoryNotebook
from graftwright.errors import Trouble
from graftwright.handbook.load import load_handbook
from graftwright.handbook.sheets import parse_sheet
from graftwright.ledger.codes import new_code
from graftwright.ledger.kinds import CODE, CODES, COUNTS, KINDS, OUTCOMES, Field
from graftwright.ledger.lines import OUTSIDE, THERE
from graftwright.ledger.stages import Path as StagePath

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager

    from graftwright.ledger.entries import Entry
    from graftwright.ledger.lines import Line

TODAY = date(2027, 12, 31)

# a room with nuts and wood, and forty or ten grafts made of them, without codes or with
ROOM = """
    1 | 2027-01-05 | describe | shelf | what place; place_kind shelf
    2 | 2027-01-05 | describe | sill  | what place; place_kind shelf
    3 | 2027-01-10 | receive  | nuts  | what seed; count 60; place shelf
    4 | 2027-01-12 | receive  | wood  | what scionwood; count 80; of Amber Early
"""
FORTY = f"""{ROOM}
    5 | 2027-03-01 | graft    | batch | count 40; scion wood; stock nuts; sheet closed-bag; place shelf
"""
TEN = f"""{ROOM}
    5 | 2027-03-01 | graft    | batch | count 10; scion wood; stock nuts; sheet closed-bag; place shelf
"""
CODED = f"""{TEN}
    6 | 2027-03-02 | codes    | batch |
"""

SOURCES = {
    "outside": "received",
    "made": "made",
    "recount": "recount",
}  # what is said of where units came from


@cache
def sheets() -> dict[str, Sheet]:
    """Two sheets of the handbook, as a notebook stores them."""
    names = {"closed-bag": "hypocotyl-closed-bag", "plain": "plain"}
    return {name: Sheet(f"{name}/1", load_handbook().sheets[key].text, {}) for name, key in names.items()}


def stages(sheet: str) -> tuple[str, ...]:
    return parse_sheet(sheets()[sheet].text, sheet).path


@contextmanager
def in_memory() -> Iterator[Notebook]:
    yield MemoryNotebook({key: stages(key) for key in sheets()})


@cache
def _blank_file() -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "blank"
        create(path)
        return path.read_bytes()


@contextmanager
def in_a_file() -> Iterator[Notebook]:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.graftwright"
        path.write_bytes(_blank_file())
        notebook = DatabaseNotebook(path, lambda text: StagePath(parse_sheet(text, "a stored sheet").path))
        _write_without_waiting_for_the_disk(notebook)
        yield notebook
        notebook.close()


def _write_without_waiting_for_the_disk(notebook: DatabaseNotebook) -> None:
    """Nobody pulls the plug in these tests, and there are thousands of entries."""

    @event.listens_for(notebook._engine._engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        connection.execute("PRAGMA synchronous = OFF")


# every kind of notebook that must behave alike
NOTEBOOKS: dict[str, Callable[[], AbstractContextManager[Notebook]]] = {
    "memory": in_memory,
    "file": in_a_file,
}


def desk(seed: int = 1, today: date = TODAY) -> Desk:
    now = datetime(today.year, today.month, today.day, 18, tzinfo=UTC)
    return Desk(now, today, sheets, random.Random(seed))


def _rows(table: str) -> list[tuple[str, str]]:
    """Rows of a table, each with the answer that stands under it."""
    rows: list[tuple[str, str]] = []
    for line in filter(None, map(str.strip, table.splitlines())):
        if "|" in line:
            rows.append((line, ""))
        else:
            row, told = rows[-1]
            rows[-1] = (row, f"{told} {line}".strip())
    return rows


@dataclass
class LedgerBench:
    """A notebook with somebody who writes in it."""

    notebook: Notebook
    desk: Desk = field(default_factory=desk)
    codes: dict[str, str] = field(default_factory=dict)
    sent: int = 0

    def code(self, label: str) -> str:
        """Code that stands for a word in a table."""
        if label not in self.codes:
            self.codes[label] = new_code(random.Random(label))
        return self.codes[label]

    def label(self, code: str) -> str:
        return next((label for label, own in self.codes.items() if own == code), code)

    # entering

    def enter(
        self, kind: str, about: str = "", day: str = "", *, at_the_door: bool = True, id_: str = "",
        by: str = "Ann", replaces: int = 0, with_those_behind: bool = False, **said: Any,
    ) -> Answer:  # fmt: skip
        self.sent += 1
        draft = Draft(
            kind, about, said, day, by, id_ or f"ENTRY{self.sent:021d}", replaces, with_those_behind
        )
        return enter(self.notebook, self.desk, draft, at_the_door=at_the_door)

    def write(self, table: str) -> None:
        """Enter the rows of a table and hold each to its number and answer."""
        for row, told in _rows(table):
            number, day, kind, about, says = (cell.strip() for cell in f"{row} |".split("|")[:5])
            got = self._row(day, kind, about, says, outbox=told.startswith("aside"))
            assert got == (told or number), row

    def _row(self, day: str, kind: str, about: str, says: str, *, outbox: bool) -> str:
        replaces = 0
        if kind.startswith("correct "):
            number, kind = kind.removeprefix("correct ").split(": ")
            replaces = int(number)
        said = self._said(kind, says)
        behind = said.pop("with_those_behind", None) is not None
        about = self.code(about) if about else ""
        try:
            answer = self.enter(kind, about, day, at_the_door=not outbox, replaces=replaces,
                                with_those_behind=behind, **said)  # fmt: skip
        except Trouble as trouble:
            return f"refused: {self.in_words(trouble.sentence)}"
        if answer.aside:
            return f"aside: {self.in_words(answer.aside.reason)}"
        assert answer.entry is not None
        for n, bag in enumerate(answer.entry.given.get("new_bags", ()), start=1):
            self.codes[f"bag {n}"] = bag
        for n, plant in enumerate(answer.entry.given.get("plant_codes", ()), start=1):
            self.codes.setdefault(f"plant {n}", plant)
        if answer.entry.kind == "fail":
            self.codes["to work again"] = answer.entry.given["again"]
        return str(answer.entry.number)

    def _said(self, kind: str, says: str) -> dict[str, Any]:
        said: dict[str, Any] = {}
        for part in filter(None, map(str.strip, says.split(";"))):
            name, _, value = part.partition(" ")
            wanted = KINDS[kind].field(name)
            said[name] = self._value(wanted, value) if wanted else value
        return said

    def _value(self, wanted: Field, value: str) -> Any:
        if wanted.holds == CODE:
            return self.code(value)
        if wanted.holds == CODES:
            return [self.code(one) for one in value.split(", ")]
        if wanted.holds not in {COUNTS, OUTCOMES}:
            return value
        pairs = dict(one.rsplit(" ", 1) for one in value.split(", "))
        if wanted.holds == OUTCOMES:
            return {self.code(plant): seen for plant, seen in (one.split(" = ") for one in value.split(", "))}
        return {self.code(word) if wanted.name == "places" else word: n for word, n in pairs.items()}

    def in_words(self, sentence: str) -> str:
        """Write a sentence with the table's words in place of codes."""
        for label, code in self.codes.items():
            sentence = sentence.replace(f"{code[:5]}-{code[5:]}", label)
        return sentence

    # reading

    def entries(self) -> list[Entry]:
        """Every accepted entry, first to last."""
        with self.notebook.writing() as page:
            page.look_up("", ())
            return [page.entry(number) for number in range(1, page.next_number())]

    def lines(self, number: int) -> tuple[Line, ...]:
        with self.notebook.writing() as page:
            return page.lines(number)

    def _lines_of(self, label: str) -> list[Line]:
        with self.notebook.writing() as page:
            page.look_up("", ())
            family = {self.code(label), *page.parts(self.code(label))}
            every = [line for n in range(1, page.next_number()) for line in page.lines(n)]
        return [line for line in every if line.account.thing in family]

    def tally(self, label: str) -> dict[str, int]:
        """Where the units of a lot, batch or plant came from, where they are, where they went."""
        found: Counter[str] = Counter()
        for line in self._lines_of(label):
            name, detail = line.account.name, line.account.detail
            if name in SOURCES:
                found[f"{SOURCES[name]} {detail}".strip()] -= line.amount
            elif name in OUTSIDE:
                found[f"{name} {self.label(detail)}".strip()] += line.amount
            elif name == THERE:
                found[detail] += line.amount
        return {word: n for word, n in found.items() if n}

    def where(self, label: str) -> dict[str, dict[str, int]]:
        """How many stand in each place, by stage."""
        found: dict[str, Counter[str]] = {}
        for line in self._lines_of(label):
            if line.account.name == THERE:
                place = found.setdefault(self.label(line.account.place), Counter())
                place[line.account.detail] += line.amount
        return {place: left for place, n in found.items() if (left := {one: m for one, m in n.items() if m})}

    def deaths(self, number: int) -> dict[str, int]:
        """Deaths that one entry posts, by reason."""
        lost = Counter[str]()
        for line in self.lines(number):
            if line.account.name == "lost":
                lost[line.account.detail] += line.amount
        return dict(lost)
