"""One ordinary entry takes few statements: its cost is that of one durable commit."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, datetime
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import event

from database.books import new_notebook
from database.histories import SHEETS, Season
from graftwright.actions.enter import Desk, enter
from graftwright.actions.ports import Draft
from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from graftwright.adapters.database.unit_of_work import DatabaseNotebook
    from graftwright.ledger.entries import Entry

NOW = datetime(2027, 4, 18, 9, tzinfo=UTC)
CHANCE = Random(1)


@contextmanager
def counted(notebook: DatabaseNotebook) -> Iterator[list[str]]:
    """Collect the statements that reach the database."""
    said: list[str] = []

    def note(_db: Any, _cursor: Any, statement: str, _values: Any, _context: Any, _many: bool) -> None:
        said.append(statement)

    event.listen(notebook._engine._engine, "before_cursor_execute", note)
    yield said
    event.remove(notebook._engine._engine, "before_cursor_execute", note)


def entered(notebook: DatabaseNotebook, kind: str, subject: str = "", day: str = "", **said: Any) -> Entry:
    id_ = f"{CHANCE.getrandbits(80):026d}"
    answer = enter(
        notebook, Desk(NOW, NOW.date(), lambda: SHEETS, CHANCE), Draft(kind, subject, said, day, "Ilse", id_)
    )
    assert answer.entry
    assert not answer.repeated
    return answer.entry


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[DatabaseNotebook, dict[str, str]]]:
    """A notebook with a season and, on a shelf, twelve grafts in six bags: four of them with codes."""
    notebook = new_notebook(tmp_path_factory.mktemp("bench") / "book.graftwright")
    Season(notebook, 39).write(70)
    early, late = "2027-01-05", "2027-04-02"
    shelf, sill = (
        entered(
            notebook, "describe", day=early, what="place", name=name, place_kind="shelf", temperature_c=22
        ).subject
        for name in ("Sill", "Window")
    )
    nuts, wood = (
        entered(
            notebook, "receive", day=early, what=what, count=60, genus="Castanea", of="Alder Hill"
        ).subject
        for what in ("seed", "scionwood")
    )
    batch = entered(notebook, "graft", day=late, count=12, scion=wood, stock=nuts, bags=6, place=shelf,
                    sheet="hypocotyl-closed-bag")  # fmt: skip
    bag, other, *_, last = batch.given["new_bags"]
    plant = entered(notebook, "codes", batch.subject, place=last).given["plant_codes"][0]
    names = {
        "shelf": shelf,
        "sill": sill,
        "batch": batch.subject,
        "bag": bag,
        "other bag": other,
        "plant": plant,
    }
    yield notebook, names
    notebook.close()


ORDINARY: list[tuple[str, str, dict[str, Any]]] = [
    ("check", "batch", {"place": "bag", "seen": {"callusing": 2}}),
    ("check", "bag", {"seen": {"swollen": 1, "callusing": 1}}),
    ("check", "plant", {"seen": {"callusing": 1}}),
    ("lose", "bag", {"reasons": {"mould": 1}}),
    ("lose", "batch", {"place": "other bag", "reasons": {"mould": 1}}),
    ("lose", "plant", {"reasons": {"no join": 1}}),
    ("vent", "bag", {"opening": "one hole"}),
    ("carry", "bag", {"to": "sill"}),
    ("carry", "batch", {"to": "bag", "place": "other bag", "count": 1}),
    ("receive", "", {"what": "stock", "count": 10, "of": "Old Hedge"}),
    ("receive", "", {"what": "scionwood", "count": 10, "of": "Alder Hill", "place": "shelf"}),
    ("receive", "", {"what": "seed", "count": 10, "of": "Old Hedge", "genus": "Castanea", "place": "shelf"}),
    ("note", "batch", {"note": "Roots at the hole."}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "subject", "said"), ORDINARY)
def test_one_ordinary_entry_takes_at_most_eight_statements(
    bench: tuple[DatabaseNotebook, dict[str, str]], kind: str, subject: str, said: dict[str, Any]
) -> None:
    notebook, names = bench
    coded = {
        word: shown(names.get(value, value)) if isinstance(value, str) else value
        for word, value in said.items()
    }
    typed = shown(names[subject]) if subject else ""
    with counted(notebook) as statements:
        entered(notebook, kind, typed, **coded)
    assert statements[0] == "BEGIN IMMEDIATE"
    assert len(statements[1:]) <= 8, "\n\n".join(statements)
