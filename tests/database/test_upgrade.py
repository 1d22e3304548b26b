"""Older notebooks are brought up with every row, or left byte for byte as they were."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import create_engine, inspect

from database.books import new_notebook
from graftwright import bootstrap
from graftwright.adapters.database.complaints import NewerNotebook, OlderNotebook, OpenElsewhere
from graftwright.adapters.database.open import APPLICATION_ID, FORMS
from graftwright.adapters.database.unit_of_work import DatabaseNotebook
from graftwright.adapters.database.upgrade import CannotUpgrade, upgrade

if TYPE_CHECKING:
    from pathlib import Path

LATER = (*FORMS, "next")
REVISION = f"""
import sqlalchemy as sa
from alembic import op

revision = "next"
down_revision = "{FORMS[-1]}"


def upgrade():
"""

MOVED = "SELECT min(entry) FROM lines WHERE amount > 0"

# a table is rebuilt that lines, corrections and entries kept aside point to, and one is added
GOOD = """
    with op.batch_alter_table("entries") as entries:
        entries.add_column(sa.Column("device", sa.Text, nullable=False, server_default="door"))
        entries.alter_column("received", new_column_name="written")
    op.create_table("devices", sa.Column("key", sa.Text, primary_key=True))
"""
FAILS = f"""{GOOD}
    op.execute("UPDATE lines SET amount = 7")
    op.execute("INSERT INTO no_such_table VALUES (1)")
"""
LOSES = f"""{GOOD}
    op.execute("DELETE FROM lines WHERE entry = ({MOVED})")
"""
DROPS = """
    op.drop_table("forecasts")
"""
ORPHANS = f"""
    op.execute("UPDATE lines SET entry = 99999 WHERE entry = ({MOVED})")
"""
COMMITS = """
    op.execute("UPDATE lines SET amount = 7")
    op.get_bind().commit()
    op.execute("UPDATE things SET said = '{}'")
"""
ROLLS_BACK = """
    op.get_bind().rollback()
"""


@pytest.fixture
def revisions(tmp_path: Path) -> Path:
    folder = tmp_path / "later revisions 100%"
    folder.mkdir()
    return folder


def write(folder: Path, body: str) -> Path:
    (folder / "next.py").write_text(REVISION + body)
    return folder


def content(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(path)) as file:
        names = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: sorted(file.execute(f'SELECT * FROM "{name}"').fetchall(), key=repr) for name in names}


def pragma(path: Path, name: str) -> object:
    with closing(sqlite3.connect(path)) as file:
        return file.execute(f"PRAGMA {name}").fetchone()[0]


def test_the_revisions_make_the_tables_that_a_new_notebook_gets(tmp_path: Path) -> None:
    made, brought_up = tmp_path / "made.graftwright", tmp_path / "brought-up.graftwright"
    new_notebook(made).close()
    with closing(sqlite3.connect(brought_up)) as file:
        file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    assert upgrade(brought_up) == tmp_path / "brought-up.form-0.graftwright"
    assert schema(brought_up) == schema(made)
    assert pragma(brought_up, "user_version") == pragma(made, "user_version") == len(FORMS)
    assert content(brought_up) == content(made)


def schema(path: Path) -> dict[str, object]:
    engine = create_engine(f"sqlite:///{path}")
    found = inspect(engine)
    tables = {
        name: (
            [column | {"type": str(column["type"])} for column in found.get_columns(name)],
            found.get_pk_constraint(name),
            sorted(found.get_foreign_keys(name), key=repr),
            sorted(found.get_indexes(name), key=repr),
            sorted(found.get_unique_constraints(name), key=repr),
            found.get_check_constraints(name),
        )
        for name in sorted(found.get_table_names())
    }
    engine.dispose()
    return tables


def test_a_filled_notebook_keeps_every_row(book_file: Path, revisions: Path) -> None:
    before = content(book_file)
    copy = upgrade(book_file, LATER, [write(revisions, GOOD)])
    after = content(book_file)
    assert [(*row[:-1],) for row in after["entries"]] == before["entries"]
    assert {row[-1] for row in after["entries"]} == {"door"}
    rest = {name: rows for name, rows in before.items() if name not in {"entries", "alembic_version"}}
    assert {name: after[name] for name in rest} == rest
    assert (after["devices"], after["alembic_version"]) == ([], [("next",)])
    assert (pragma(book_file, "user_version"), pragma(book_file, "journal_mode")) == (len(LATER), "wal")
    assert copy == book_file.with_name("book.form-1.graftwright")
    assert content(copy) == before
    assert sorted(book_file.parent.glob("book*")) == [copy, book_file]


@pytest.mark.parametrize(
    ("body", "why"),
    [
        (FAILS, "no such table: no_such_table"),
        (LOSES, "lines had {lines} rows and would have {fewer}"),
        (DROPS, "forecasts had {forecasts} rows and would have none"),
        (ORPHANS, "{moved} rows of lines would point nowhere"),
        ('    raise RuntimeError("the power is gone")', "the power is gone"),
        ("    raise KeyError", "KeyError"),
    ],
)
def test_a_revision_that_fails_or_loses_rows_changes_no_byte(
    book_file: Path, revisions: Path, body: str, why: str
) -> None:
    before, rows = book_file.read_bytes(), content(book_file)
    first = min(entry for entry, *_, amount in rows["lines"] if amount > 0)
    moved = sum(row[0] == first for row in rows["lines"])
    assert moved > 1
    with pytest.raises(CannotUpgrade) as raised:
        upgrade(book_file, LATER, [write(revisions, body)])
    counts = {name: len(found) for name, found in rows.items()} | {"moved": moved}
    reason = why.format(fewer=counts["lines"] - moved, **counts)
    assert str(raised.value) == (
        f"This notebook could not be brought to the newer form and is as it was: {reason}. ({book_file}) "
        "Go on with the version of the program you had, and report this sentence."
    )
    assert raised.value.exit_code == 13
    assert book_file.read_bytes() == before
    assert list(book_file.parent.glob("book*")) == [book_file]


@pytest.mark.parametrize("body", [COMMITS, ROLLS_BACK])
def test_what_a_revision_makes_durable_by_itself_is_taken_back(
    book_file: Path, revisions: Path, body: str
) -> None:
    before = content(book_file)
    with pytest.raises(CannotUpgrade):
        upgrade(book_file, LATER, [write(revisions, body)])
    assert content(book_file) == before
    assert pragma(book_file, "user_version") == len(FORMS)
    assert pragma(book_file, "integrity_check") == "ok"
    book = bootstrap.open_book(book_file)
    assert bootstrap.prove(book, windows=False).problems == ()
    book.notebook.close()


def test_a_notebook_of_our_form_is_not_touched(book_file: Path) -> None:
    before = book_file.read_bytes()
    assert upgrade(book_file) is None
    assert book_file.read_bytes() == before


def test_nothing_is_upgraded_under_somebody_who_has_it_open(book_file: Path, revisions: Path) -> None:
    notebook = DatabaseNotebook(book_file, bootstrap.stages_of)
    with notebook.reading() as reading:
        reading.aside()
    before = content(book_file)
    with pytest.raises(OpenElsewhere) as raised:
        upgrade(book_file, LATER, [write(revisions, GOOD)], wait_seconds=0.1)
    assert raised.value.sentence == "Another program has this notebook open."
    assert content(book_file) == before
    notebook.close()
    assert upgrade(book_file, LATER, [revisions])


def old_form(path: Path) -> Path:
    """Make a file of the form before the first: recognised, and empty."""
    with closing(sqlite3.connect(path)) as file:
        file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    return path


def test_opening_an_older_notebook_brings_it_up(tmp_path: Path) -> None:
    path = old_form(tmp_path / "old.graftwright")
    book = bootstrap.open_book(path)
    assert bootstrap.prove(book, windows=True).entries == 0
    book.notebook.close()
    assert pragma(path, "user_version") == len(FORMS)
    assert pragma(tmp_path / "old.form-0.graftwright", "user_version") == 0


def test_an_older_notebook_that_can_only_be_read_says_so(tmp_path: Path) -> None:
    path = old_form(tmp_path / "old.graftwright")
    with pytest.raises(OlderNotebook) as raised:
        DatabaseNotebook(path, bootstrap.stages_of, read_only=True)
    assert str(raised.value) == (
        f"This notebook has an older form and cannot be written where it is. ({path}) "
        "Copy it to where it can be written, and open the copy."
    )


def test_a_notebook_brought_up_by_a_newer_program_is_refused(book_file: Path, revisions: Path) -> None:
    upgrade(book_file, LATER, [write(revisions, GOOD)])
    before = book_file.read_bytes()
    with pytest.raises(NewerNotebook) as raised:
        bootstrap.open_book(book_file)
    assert str(raised.value) == (
        f"This notebook was written by a newer version of the program (form {len(LATER)}). ({book_file}) "
        "Update the program; nothing was touched."
    )
    assert book_file.read_bytes() == before
