"""What one entry costs: statements sent to the database, and time beside one bare durable commit."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from _pair import time_in_turn
from sqlalchemy import event

from graftwright.actions.ports import Draft
from graftwright.bootstrap import Book, new_book

if TYPE_CHECKING:
    from collections.abc import Callable

MOST = 8  # statements besides BEGIN and COMMIT
ROUNDS = 100


class Bench:
    """A notebook with two batches in bags: one of a genus that has windows, one of a genus that has none."""

    def __init__(self, path: Path) -> None:
        self.book: Book = new_book(path, "Bench", "Europe/Paris", 50.0, "")
        self.shelf = self.enter("describe", what="place", name="Sill", place_kind="shelf", temperature_c=22)
        self.with_windows, self.bag = self.grafts("Castanea")
        self.without, _ = self.grafts("Juglans")

    def enter(self, kind: str, subject: str = "", **said: Any) -> str:
        answer = self.book.enter(Draft(kind, subject, said, "", "Ilse"))
        assert answer.entry is not None
        self.last = answer.entry
        return answer.entry.subject

    def grafts(self, genus: str) -> tuple[str, str]:
        wood = self.enter("receive", what="scionwood", count=100, genus=genus, of="Alder Hill")
        nuts = self.enter("receive", what="seed", count=100, genus=genus, of="Old Hedge")
        batch = self.enter("graft", scion=wood, stock=nuts, count=12, bags=3, place=self.shelf,
                           sheet="hypocotyl-closed-bag")  # fmt: skip
        return batch, self.last.given["new_bags"][0]

    def statements(self, *entry: Any, **said: Any) -> int:
        """Count what reaches the database besides BEGIN and COMMIT (COMMIT is no statement of the cursor)."""
        sent: list[str] = []

        def note(_db: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
            sent.append(statement)

        engine = self.book.notebook._engine._engine  # noqa: SLF001 - nobody else asks
        event.listen(engine, "before_cursor_execute", note)
        self.enter(*entry, **said)
        event.remove(engine, "before_cursor_execute", note)
        return sum(not statement.startswith("BEGIN") for statement in sent)


def bare(path: Path) -> Callable[[], object]:
    """Make a piece of work of one durable commit of one row, as the database does it alone."""
    file = sqlite3.connect(path, isolation_level=None)
    file.execute("PRAGMA journal_mode = WAL")
    file.execute("PRAGMA synchronous = FULL")
    file.execute("CREATE TABLE entries (number INTEGER PRIMARY KEY, said TEXT)")

    def commit() -> None:
        file.execute("BEGIN IMMEDIATE")
        file.execute("INSERT INTO entries (said) VALUES ('Leaves pale, more light.')")
        file.execute("COMMIT")

    return commit


def say_statements(bench: Bench) -> None:
    counts = {
        "check": bench.statements("check", bench.with_windows, place=bench.bag, seen={"callusing": 4}),
        "lose": bench.statements("lose", bench.bag, reasons={"mould": 1}),
        "vent": bench.statements("vent", bench.bag, opening="one hole"),
        "carry a bag": bench.statements("carry", bench.bag, to=bench.shelf),
        "receive": bench.statements("receive", what="stock", count=10, of="Old Hedge"),
    }
    told = ", ".join(f"{kind} {n}" for kind, n in counts.items())
    met = "met" if max(counts.values()) <= MOST else "not met"
    print(f"statements of one entry in order: {told}; target at most {MOST}: {met}", flush=True)


def say_time(what: str, entry: Callable[[], object], commit: Callable[[], object]) -> None:
    timing = time_in_turn(entry, commit, rounds=ROUNDS)
    ours, peer = median(timing.ours_s), median(timing.peer_s)
    print(
        f"{what}: {ours * 1000:.1f} ms, {1 / ours:.0f} a second; bare durable commit: {peer * 1000:.1f} ms, "
        f"{1 / peer:.0f} a second; ratio {median(timing.ratios):.1f}",
        flush=True,
    )


def main() -> None:
    with TemporaryDirectory() as folder:
        bench = Bench(Path(folder) / "book.graftwright")
        commit = bare(Path(folder) / "bare.db")
        say_statements(bench)
        say_time(
            "one entry without windows", lambda: bench.enter("note", bench.without, note="Pale."), commit
        )
        say_time(
            "one entry with windows", lambda: bench.enter("note", bench.with_windows, note="Pale."), commit
        )
        bench.book.notebook.close()


if __name__ == "__main__":
    main()
