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
from graftwright.actions.verify import verify
from graftwright.bootstrap import stages_of
from graftwright.ledger.codes import shown

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

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


def test_a_batch_of_five_thousand_plants_takes_no_more_statements_than_one_of_five(tmp_path: Path) -> None:
    notebook = new_notebook(tmp_path / "book.graftwright")
    bed = entered(notebook, "describe", day="2027-01-05", what="place", name="Bed", place_kind="bed").subject
    nuts, wood = (
        entered(notebook, "receive", day="2027-01-05", what=what, uncounted="yes", of="Alder Hill").subject
        for what in ("seed", "scionwood")
    )
    batch = entered(
        notebook, "graft", day="2027-04-02", count=5000, scion=wood, stock=nuts, place=bed, sheet="plain"
    ).subject
    plants = entered(notebook, "codes", batch, day="2027-04-03").given["plant_codes"]
    assert len(set(plants)) == 5000
    acts: list[tuple[int, str, str, str, dict[str, Any]]] = [
        (8, "lose", plants[0], "", {"reasons": {"mould": 1}}),
        (8, "vent", bed, "", {}),
        (12, "lose", batch, "2027-04-10", {"plants": plants[1:501], "reasons": {"mould": 500}}),
        (8, "check", batch, "", {"seen": {"grafted": 4499}}),
    ]
    for most, kind, subject, day, said in acts:
        with counted(notebook) as statements:
            entered(notebook, kind, subject, day, **said)
        assert len(statements[1:]) <= most, (kind, len(statements))
    with notebook.reading() as reading:
        assert sum(line.amount for line in reading.standing_in([bed])) == 4499
        sheets = dict(reading.sheets())
        assert verify(reading, lambda version: stages_of(sheets[version]), 0).problems == ()
    notebook.close()
