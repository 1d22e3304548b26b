"""A backup is proved by opening it, never overwrites, and comes back with what was there kept aside."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from database.books import new_notebook
from database.histories import Season
from database.test_upgrade import content, old_form, pragma
from graftwright import bootstrap
from graftwright.actions.ports import Draft
from graftwright.adapters.database.complaints import (
    CannotMake,
    DamagedNotebook,
    NewerNotebook,
    NoNotebook,
    NotANotebook,
    OpenElsewhere,
    TakenPath,
)
from graftwright.adapters.database.whole import alone
from graftwright.errors import Unproved

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.adapters.database.unit_of_work import DatabaseNotebook

NOW = datetime(2027, 4, 18, 12, tzinfo=UTC)


def back_up(path: Path, target: Path) -> int:
    book = bootstrap.open_book(path)
    try:
        return bootstrap.back_up(book, target).entries
    finally:
        book.notebook.close()


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def falsify(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file, file:
        file.execute("UPDATE balances SET amount = amount + 1 WHERE amount > 0")


# making one


def test_a_backup_holds_everything_in_one_proved_file(book_file: Path, tmp_path: Path) -> None:
    before = content(book_file)
    target = tmp_path / "stick" / "backup.graftwright"
    entries = back_up(book_file, target)
    assert entries == sum(row[-1] is None for row in before["entries"])
    assert content(target) == before
    assert (pragma(target, "journal_mode"), pragma(target, "integrity_check")) == ("delete", "ok")
    assert files(target.parent) == ["backup.graftwright"]
    assert content(book_file) == before


def test_a_backup_of_an_empty_notebook(tmp_path: Path) -> None:
    new_notebook(tmp_path / "book.graftwright").close()
    assert back_up(tmp_path / "book.graftwright", tmp_path / "backup.graftwright") == 0


def test_a_backup_is_made_while_somebody_writes(book_file: Path, tmp_path: Path) -> None:
    book = bootstrap.open_book(book_file)
    with book.notebook.writing():
        assert bootstrap.back_up(book, tmp_path / "backup.graftwright").entries > 0
    book.notebook.close()


def test_a_backup_opens_as_a_notebook_and_goes_on(book_file: Path, tmp_path: Path) -> None:
    target = tmp_path / "backup.graftwright"
    back_up(book_file, target)
    book = bootstrap.open_book(target)
    Season(book.notebook, 4).write(10)
    assert bootstrap.prove(book, windows=True).problems == ()
    book.notebook.close()


@pytest.mark.parametrize("there", ["a file", "a folder", "a dangling link", "what a lost notebook left"])
def test_a_backup_never_overwrites(book_file: Path, tmp_path: Path, there: str) -> None:
    target = taken = tmp_path / "backup.graftwright"
    if there == "a file":
        target.write_text("my thesis")
    elif there == "a folder":
        target.mkdir()
    elif there == "a dangling link":
        target.symlink_to(tmp_path / "nowhere")
    else:
        taken = tmp_path / "backup.graftwright-wal"
        taken.write_text("the last entries")
    before = files(tmp_path)
    with pytest.raises(TakenPath) as raised:
        back_up(book_file, target)
    assert str(raised.value) == f"There is something there already. ({taken}) Choose another name."
    assert files(tmp_path) == before


def test_a_backup_into_what_is_no_folder_says_so(book_file: Path, tmp_path: Path) -> None:
    (tmp_path / "stick").write_text("a file")
    with pytest.raises(CannotMake) as raised:
        back_up(book_file, tmp_path / "stick" / "backup.graftwright")
    assert raised.value.sentence.startswith("No notebook can be made there: ")


def test_a_notebook_that_is_not_in_order_makes_no_backup(book_file: Path, tmp_path: Path) -> None:
    falsify(book_file)
    with pytest.raises(Unproved):
        back_up(book_file, tmp_path / "backup.graftwright")
    assert files(tmp_path) == ["book.graftwright"]


# bringing one back


@pytest.fixture
def backup(book_file: Path) -> Path:
    """Return a backup of a notebook that has gone on since."""
    target = book_file.with_name("backup.graftwright")
    back_up(book_file, target)
    book = bootstrap.open_book(book_file)
    Season(book.notebook, 5).write(12)
    book.notebook.close()
    return target


def test_what_was_there_is_kept_under_a_dated_name(book_file: Path, backup: Path) -> None:
    gone_on, old = content(book_file), content(backup)
    assert len(gone_on["entries"]) > len(old["entries"])
    kept = bootstrap.bring_back(backup, book_file, NOW)
    assert kept == book_file.with_name("book.until-2027-04-18.graftwright")
    assert content(book_file) == content(backup) == old
    assert content(kept) == gone_on
    again = bootstrap.bring_back(kept, book_file, NOW)
    assert again == book_file.with_name("book.until-2027-04-18-2.graftwright")
    assert content(book_file) == gone_on
    assert files(book_file.parent) == sorted(
        path.name for path in (book_file, backup, kept, again, book_file.with_name("book.graftwright.writer"))
    )


def test_where_nothing_is_a_backup_becomes_the_notebook(backup: Path, tmp_path: Path) -> None:
    path = tmp_path / "another" / "home.graftwright"
    assert bootstrap.bring_back(backup, path, NOW) is None
    assert content(path) == content(backup)
    assert files(path.parent) == ["home.graftwright"]


@pytest.mark.parametrize("start", [0, 18, 100, 4096], ids=["all", "form", "pages", "later pages"])
def test_a_damaged_notebook_gives_way_and_is_kept(book_file: Path, backup: Path, start: int) -> None:
    data = book_file.read_bytes()
    damaged = data[:start] + b"\x07" * (len(data) - start)
    book_file.write_bytes(damaged)
    kept = bootstrap.bring_back(backup, book_file, NOW)
    assert kept is not None
    assert kept.read_bytes()[100:] == damaged[100:]
    assert content(book_file) == content(backup)


def test_an_emptied_notebook_gives_way(book_file: Path, backup: Path) -> None:
    book_file.write_bytes(b"")
    kept = bootstrap.bring_back(backup, book_file, NOW)
    assert kept is not None
    assert content(kept) == {}
    assert content(book_file) == content(backup)


def test_what_a_damaged_notebook_left_beside_it_is_not_read_into_the_backup(
    book_file: Path, backup: Path
) -> None:
    book = bootstrap.open_book(book_file)
    Season(book.notebook, 7).write(10)
    left = book_file.with_name("book.graftwright-wal").read_bytes()
    book.notebook.close()
    book_file.write_bytes(b"\x07" * 8192)
    book_file.with_name("book.graftwright-wal").write_bytes(left)
    assert bootstrap.bring_back(backup, book_file, NOW)
    assert content(book_file) == content(backup)
    assert not book_file.with_name("book.graftwright-wal").exists()


def test_a_backup_of_an_older_form_comes_back_in_ours(tmp_path: Path) -> None:
    source = old_form(tmp_path / "old.graftwright")
    before = source.read_bytes()
    assert bootstrap.bring_back(source, tmp_path / "book.graftwright", NOW) is None
    assert source.read_bytes() == before
    assert files(tmp_path) == ["book.graftwright", "old.graftwright"]
    assert bootstrap.prove(bootstrap.open_book(tmp_path / "book.graftwright"), windows=False).problems == ()


def newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA user_version = 77")


@pytest.mark.parametrize(
    ("spoil", "complaint", "sentence"),
    [
        (lambda path: path.unlink(), NoNotebook, "There is no notebook there."),
        (lambda path: path.write_text("my thesis"), NotANotebook, "This is not a notebook."),
        (lambda path: path.write_bytes(b""), NotANotebook, "This is not a notebook."),
        (falsify, Unproved, None),
        (newer, NewerNotebook, "This notebook was written by a newer version of the program (form 77)."),
        (lambda path: path.write_bytes(path.read_bytes()[:5000]), DamagedNotebook,
         "This notebook is damaged, or the disk it is on."),
    ],
    ids=["missing", "thesis", "empty", "falsified", "newer", "cut off"],
)  # fmt: skip
def test_a_backup_that_is_none_changes_nothing(
    book_file: Path, backup: Path, spoil: object, complaint: type[Exception], sentence: str | None
) -> None:
    assert callable(spoil)
    spoil(backup)
    before, there = book_file.read_bytes(), files(book_file.parent)
    with pytest.raises(complaint) as raised:
        bootstrap.bring_back(backup, book_file, NOW)
    assert sentence in {None, raised.value.sentence}
    assert book_file.read_bytes() == before
    assert files(book_file.parent) == there


def test_nothing_is_put_under_somebody_who_has_the_notebook_open(
    book_file: Path, backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(alone.__wrapped__, "__defaults__", (0.1,))
    book = bootstrap.open_book(book_file)
    before, there = content(book_file), files(book_file.parent)
    with pytest.raises(OpenElsewhere) as raised:
        bootstrap.bring_back(backup, book_file, NOW)
    assert str(raised.value) == (
        f"Another program has this notebook open. ({book_file}) Close its pages and programs, and try again."
    )
    assert (content(book_file), files(book_file.parent)) == (before, there)
    book.notebook.close()


def test_a_copy_of_the_file_alone_made_while_it_was_open_lacks_the_last_entries_and_can_still_be_brought_back(
    book_file: Path, tmp_path: Path
) -> None:
    """What people do without `backup`: copy the file; the proof says whether it is whole."""
    book = bootstrap.open_book(book_file)
    Season(book.notebook, 6).write(8)
    copied = shutil.copyfile(book_file, tmp_path / "by-hand.graftwright")
    book.notebook.close()
    bootstrap.bring_back(copied, tmp_path / "home.graftwright", NOW)
    assert len(content(tmp_path / "home.graftwright")["entries"]) < len(content(book_file)["entries"])


# the demo


def a_few(notebook: DatabaseNotebook, _sheets: object) -> None:
    """Stand for the demo, which takes long to make."""
    Season(notebook, 2).say(Draft("describe", "settings", {"what": "settings", "demo_date": "2027-04-18"}))
    Season(notebook, 1).write(5)


def test_the_demo_is_made_afresh_in_its_own_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("graftwright.actions.demo.drafts", a_few)
    path = tmp_path / "demo.graftwright"
    assert bootstrap.make_demo(path, again=False)
    fresh = content(path)
    assert not bootstrap.make_demo(path, again=False)
    book = bootstrap.open_book(path)
    Season(book.notebook, 3).write(5)
    monkeypatch.setattr(alone.__wrapped__, "__defaults__", (0.1,))
    with pytest.raises(OpenElsewhere):
        bootstrap.make_demo(path, again=True)
    assert content(path) != fresh
    book.notebook.close()
    assert bootstrap.make_demo(path, again=True)
    assert content(path) == fresh
    assert files(tmp_path) == ["demo.graftwright", "demo.graftwright.writer"]


def test_what_is_no_demo_is_not_made_afresh(book_file: Path) -> None:
    before = content(book_file)
    with pytest.raises(bootstrap.NotTheDemo) as raised:
        bootstrap.make_demo(book_file, again=True)
    assert raised.value.sentence == "This is no demo and is not overwritten."
    assert content(book_file) == before
