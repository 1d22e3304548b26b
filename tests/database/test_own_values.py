"""Own values in the notebook file: the same as in memory, few statements, proved, and read back for the handbook."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest

from database.books import new_memory, new_notebook, told
from database.histories import Season
from database.test_contract import assert_same_content
from database.test_statements import counted, entered
from graftwright.actions.own import experience, own_handbook, practice
from graftwright.actions.own_page import own_page
from graftwright.actions.ports import Draft
from graftwright.bootstrap import open_book, prove
from graftwright.handbook import load_handbook

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from graftwright.adapters.database.unit_of_work import DatabaseNotebook

SHEET = "hypocotyl-closed-bag"
PACE = "callusing.for.Castanea.pace.days_at_optimum"
BUDS = "sheet.buds_per_scion"
OPTIMUM = "response.callus.optimum"
OWN: list[dict[str, Any]] = [
    {"of": SHEET, "path": PACE, "value": "12"},
    {"of": SHEET, "path": PACE, "value": "warm"},
    {"of": SHEET, "path": PACE, "value": "13,5", "scope": "three batches", "note": "the cold corner"},
    {"of": SHEET, "path": BUDS, "value": "2 to 3"},
    {"of": "Castanea", "path": OPTIMUM, "value": "24"},
    {"of": "Castanea", "path": OPTIMUM, "back": "yes"},
    {"of": SHEET, "experience": "some"},
    {"of": "plain", "experience": "practised"},
]


@pytest.mark.parametrize("seed", [6, 9])
def test_own_values_told_in_a_season_give_the_same_book(tmp_path: Path, seed: int) -> None:
    """Seasons 6 and 9 have chestnuts in them, grafted and in the cold, and so windows."""
    notebook, memory = new_notebook(tmp_path / "book.graftwright"), new_memory()
    seasons, rested = (Season(notebook, seed), Season(memory, seed)), set[str]()
    for said in OWN:
        for _ in range(6):
            assert len({told(season.one()) for season in seasons}) == 1
        assert len({told(season.say(Draft("adopt", "", said, "", "Ilse"))) for season in seasons}) == 1
        rested |= {name for one in memory.page.forecasts.values() for name in one.rests_on.get("own", ())}
    for numbers in ([entry_of(seasons[0], "13,5")], [entry_of(seasons[0], "2 to 3")]):
        crossed = Draft("cross-out", "", {"numbers": numbers, "reason": "not ours"}, "", "Ilse")
        assert len({told(season.say(crossed)) for season in seasons}) == 1
    assert rested >= {f"{SHEET} {PACE}", f"Castanea {OPTIMUM}"}
    assert_same_content(notebook, memory)


def entry_of(season: Season, value: str) -> int:
    return next(e.number for e in season.entered if e.said.get("value") == value)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[DatabaseNotebook]:
    """Two batches on two sheets and a lot of nuts."""
    notebook = new_notebook(tmp_path_factory.mktemp("own") / "book.graftwright")
    nuts, wood = (
        entered(
            notebook, "receive", day="2027-01-05", what=what, count=90, genus="Castanea", of="Alder Hill"
        ).subject
        for what in ("seed", "scionwood")
    )
    stocks = entered(
        notebook, "receive", day="2027-01-05", what="stock", count=9, genus="Malus", of="Old Hedge"
    )
    for sheet, stock in ((SHEET, nuts), ("plain", stocks.subject)):
        entered(notebook, "graft", day="2027-04-02", count=6, scion=wood, stock=stock, sheet=sheet)
    yield notebook
    notebook.close()


def test_the_batches_of_a_sheet_and_of_a_genus_are_found(bench: DatabaseNotebook) -> None:
    with bench.writing() as page, bench.reading() as reading:
        kinds = {
            key: sorted(reading.things([code])[code].kind for code in page.batches_of(key))
            for key in (SHEET, "plain", "Castanea", "Malus", "Quercus", "")
        }
    assert kinds == {
        SHEET: ["batch"],
        "plain": ["batch"],
        "Castanea": ["batch", "seed"],
        "Malus": ["batch"],
        "Quercus": [],
        "": [],
    }


def test_an_entry_takes_no_more_statements_because_of_own_values(bench: DatabaseNotebook) -> None:
    entered(bench, "adopt", of=SHEET, path=PACE, value="12")
    with bench.reading() as reading:
        batch = next(one.batch for one in reading.living() if one.rests_on.get("own"))
    with counted(bench) as statements:
        entered(bench, "note", batch, note="Roots at the hole.")
    assert len(statements[1:]) <= 8, "\n\n".join(statements)


def test_what_stands_is_laid_over_the_handbook(bench: DatabaseNotebook) -> None:
    for said in OWN:
        if said.get("value") != "warm":
            entered(bench, "adopt", **said)
    known = load_handbook()
    with bench.reading() as reading:
        mine = own_handbook(reading, known)
        page = own_page(reading, known)
        assert practice(reading) == {SHEET: "some", "plain": "practised"}
        assert [experience(reading, sheet) for sheet in (SHEET, "another")] == ["some", "first_time"]
    sheet = mine.sheets[SHEET]
    assert (sheet.shown[PACE].value, sheet.theirs[PACE].value) == (13.5, 10)
    assert (sheet.shown[PACE].origin.scope, sheet.shown[PACE].origin.note) == (
        "three batches",
        "the cold corner",
    )
    assert sheet.buds_per_scion == (2, 3)
    assert mine.species["Castanea"] == known.species["Castanea"]
    assert mine.sheets["plain"] == known.sheets["plain"]
    assert [(one.yours.path, one.yours.value, one.theirs and one.theirs.value) for one in page.values] == [
        (PACE, 13.5, 10),
        (BUDS, [2, 3], [1, 2]),
    ]
    book = open_book(bench.path)
    assert prove(book, windows=True).problems == ()
    book.notebook.close()


def test_the_proof_finds_windows_that_miss_an_own_value(tmp_path: Path) -> None:
    notebook = new_notebook(tmp_path / "book.graftwright")
    Season(notebook, 12).write(60)
    entered(notebook, "adopt", of=SHEET, path=PACE, value="12")
    notebook.close()
    with closing(sqlite3.connect(notebook.path)) as file, file:
        (said,) = file.execute("SELECT said FROM things WHERE code = ?", (f"handbook:{SHEET}",)).fetchone()
        other = json.loads(said)
        other[PACE][0][2]["value"] = 14
        file.execute("UPDATE things SET said = ? WHERE code = ?", (json.dumps(other), f"handbook:{SHEET}"))
    book = open_book(notebook.path)
    problems = prove(book, windows=True).problems
    book.notebook.close()
    assert f"what is stored of handbook:{SHEET} is not what the entries say" in problems
    assert any("are not what the entries give" in one for one in problems)
