"""What can be wrong with a notebook's file is said in one sentence, and leaves the ledger as it was."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from database.histories import Season
from database.test_kill import LOOP
from database.test_upgrade import content
from graftwright import bootstrap
from graftwright.adapters.database.complaints import (
    FullDisk,
    LockedNotebook,
    NoNotebook,
    NotANotebook,
    ReadOnlyNotebook,
    ReplacedNotebook,
    TakenPath,
    UnreadableNotebook,
)
from graftwright.adapters.database.open import WAIT_SECONDS, create
from graftwright.adapters.database.unit_of_work import DatabaseNotebook

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from conftest import CommandLine


def foreign_database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file, file:
        file.execute("CREATE TABLE entries (number)")


NOT_NOTEBOOKS: dict[str, Callable[[Path], object]] = {
    "folder": lambda path: path.mkdir(),
    "empty": lambda path: path.write_bytes(b""),
    "binary": lambda path: path.write_bytes(bytes(range(256)) * 40),
    "text": lambda path: path.write_text("Twelve grafts on Sunday.\n"),
    "short": lambda path: path.write_bytes(b"SQLite format 3\0"),
    "another program's": foreign_database,
    "pipe": os.mkfifo,
}


@pytest.mark.parametrize("what", NOT_NOTEBOOKS)
def test_what_is_no_notebook_is_named_and_left_alone(tmp_path: Path, what: str) -> None:
    path = tmp_path / "thing"
    NOT_NOTEBOOKS[what](path)
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(NotANotebook) as raised:
        bootstrap.open_book(path)
    assert str(raised.value) == f"This is not a notebook. ({path}) Name the right file with --notebook."
    assert raised.value.exit_code == 13
    assert list(tmp_path.iterdir()) == [path]
    assert before is None or path.read_bytes() == before


@pytest.mark.parametrize("name", ["gone", "no/such/folder/gone"])
def test_a_missing_notebook_is_said_and_not_made(tmp_path: Path, name: str) -> None:
    with pytest.raises(NoNotebook) as raised:
        bootstrap.open_book(tmp_path / name)
    assert raised.value.sentence == "There is no notebook there."
    assert raised.value.do == "Make one with: graftwright new, or look with: demo."
    assert list(tmp_path.iterdir()) == []


def test_a_name_no_file_can_have_is_said(tmp_path: Path) -> None:
    with pytest.raises(UnreadableNotebook) as raised:
        bootstrap.open_book(tmp_path / ("x" * 300))
    assert raised.value.sentence == "This notebook cannot be opened."


def test_a_name_with_every_sign_is_a_name(tmp_path: Path) -> None:
    path = tmp_path / "a b?mode=memory&x%20#ü.graftwright"
    bootstrap.make_book(path)
    book = bootstrap.open_book(path)
    Season(book.notebook, 1).write(3)
    book.notebook.close()
    assert content(path)["entries"]


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (None, "There is no notebook there."),
        *((make, "This is not a notebook.") for make in NOT_NOTEBOOKS.values()),
    ][:4],
)
def test_the_command_line_says_it_with_exit_code_13(
    cli: CommandLine, tmp_path: Path, make: Callable[[Path], object] | None, said: str
) -> None:
    path = tmp_path / "thing"
    if make:
        make(path)
    done = cli("--notebook", str(path), "today")
    assert (done.returncode, done.stdout) == (13, "")
    assert done.stderr.startswith(f"{said} ({path}) ")
    assert done.stderr.count("\n") == 1


# reading only


def test_a_notebook_opened_for_reading_is_read_and_not_written(book_file: Path) -> None:
    before = content(book_file)
    notebook = DatabaseNotebook(book_file, bootstrap.stages_of, read_only=True)
    with notebook.reading() as reading:
        assert len(list(reading.in_order())) > 20
    with pytest.raises(ReadOnlyNotebook) as raised:
        Season(notebook, 1).one()
    assert str(raised.value) == (
        f"This notebook cannot be written. ({book_file}) Give yourself the right to write it, or copy it."
    )
    notebook.close()
    assert content(book_file) == before


def test_a_notebook_where_nothing_can_be_written_is_read_without_files_beside_it(
    book_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda _path, mode: mode != os.W_OK)
    before = book_file.read_bytes()
    book = bootstrap.open_book(book_file)
    assert bootstrap.prove(book, windows=False).problems == ()
    assert list(book_file.parent.iterdir()) == [book_file]
    with pytest.raises(ReadOnlyNotebook), book.notebook.writing():
        pass
    book.notebook.close()
    assert book_file.read_bytes() == before


# somebody else


@pytest.fixture
def other(book_file: Path) -> Iterator[sqlite3.Connection]:
    """Another program, with the same notebook open."""
    with closing(sqlite3.connect(book_file, isolation_level=None, check_same_thread=False)) as file:
        yield file


def test_a_writer_waits_five_seconds() -> None:
    assert WAIT_SECONDS == 5


def test_a_notebook_somebody_else_writes_in_says_who(book_file: Path) -> None:
    first = DatabaseNotebook(book_file, bootstrap.stages_of)
    second = DatabaseNotebook(book_file, bootstrap.stages_of, wait_seconds=0.2)
    before = content(book_file)
    started = time.monotonic()
    with first.writing(), pytest.raises(LockedNotebook) as raised, second.writing():
        pass
    assert 0.2 <= time.monotonic() - started < WAIT_SECONDS
    assert re.fullmatch(
        rf"Another program is writing in this notebook: process {os.getpid()} since \d\d:\d\d:\d\d\. "
        rf"\({re.escape(str(book_file))}\) Let it finish, or close it, and try again\.",
        str(raised.value),
    )
    assert content(book_file) == before
    Season(second, 1).write(3)
    first.close()
    second.close()


def test_a_program_that_does_not_say_who_it_is_is_not_taken_for_the_last_writer(
    book_file: Path, other: sqlite3.Connection
) -> None:
    notebook = DatabaseNotebook(book_file, bootstrap.stages_of, wait_seconds=0.05)
    Season(notebook, 1).one()
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(LockedNotebook) as raised:
        Season(notebook, 2).one()
    assert raised.value.sentence == "Another program is writing in this notebook: an unknown process."
    with notebook.reading() as reading:
        assert list(reading.in_order())
    notebook.close()


def test_a_writer_gets_its_turn_when_the_other_is_done(book_file: Path, other: sqlite3.Connection) -> None:
    notebook = DatabaseNotebook(book_file, bootstrap.stages_of, wait_seconds=5)
    other.execute("BEGIN IMMEDIATE")
    timer = threading.Timer(0.3, other.execute, ["ROLLBACK"])
    timer.start()
    season = Season(notebook, 1)
    season.one()
    assert len(season.entered) == 1
    timer.join()
    notebook.close()


def test_two_programs_that_write_in_turn_agree_on_every_number(book_file: Path) -> None:
    before = len(content(book_file)["entries"])
    seasons = [Season(DatabaseNotebook(book_file, bootstrap.stages_of), seed) for seed in (1, 2)]
    threads = [threading.Thread(target=season.write, args=[15]) for season in seasons]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    numbers = [e.number for season in seasons for e in season.entered]
    assert sorted(numbers) == list(range(before + 1, before + 1 + len(numbers)))
    for season in seasons:
        season.notebook.close()
    book = bootstrap.open_book(book_file)
    assert bootstrap.prove(book, windows=True).problems == ()
    book.notebook.close()


def test_nothing_is_written_into_a_file_that_lost_its_name(book_file: Path, tmp_path: Path) -> None:
    notebook = DatabaseNotebook(book_file, bootstrap.stages_of)
    season = Season(notebook, 1)
    season.write(2)
    create(tmp_path / "other.graftwright")
    (tmp_path / "other.graftwright").replace(book_file)
    with pytest.raises(ReplacedNotebook) as raised:
        season.one()
    assert str(raised.value) == (
        f"Another file has been put in this notebook's place; nothing was stored. ({book_file}) "
        "Start the program again, and enter it again if it is not there."
    )
    book_file.unlink()
    with pytest.raises(ReplacedNotebook):
        season.one()
    notebook.close()


# the disk


@pytest.mark.parametrize("room", [40_000, 120_000, 400_000])
def test_a_full_disk_is_said_and_everything_acknowledged_is_there(tmp_path: Path, room: int) -> None:
    path = tmp_path / "book.graftwright"
    create(path)
    done = subprocess.run(
        [sys.executable, LOOP, path, str(path.stat().st_size + room)],
        capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    *acknowledged, last = done.stdout.splitlines()
    assert last == f"{FullDisk.__name__} 13 {FullDisk(path)}"
    assert (
        FullDisk(path).sentence
        == "The disk takes nothing more; nothing was stored and nothing else was changed."
    )
    book = bootstrap.open_book(path)
    assert bootstrap.prove(book, windows=True).problems == ()
    with book.notebook.reading() as reading:
        assert [row.id for row in reading.every("entries")] == list(dict.fromkeys(acknowledged))
    Season(book.notebook, 2).write(5)
    book.notebook.close()


def test_a_backup_onto_a_full_disk_leaves_nothing(book_file: Path, tmp_path: Path) -> None:
    target = tmp_path / "stick" / "backup.graftwright"
    script = (
        "import resource, sys; from pathlib import Path; from graftwright import bootstrap\n"
        "book = bootstrap.open_book(Path(sys.argv[1]))\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))\n"
        "try: bootstrap.back_up(book, Path(sys.argv[2]))\n"
        "except Exception as trouble: print(type(trouble).__name__, trouble)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, book_file, target],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout == f"FullDisk {FullDisk(target)}\n"
    assert list(target.parent.iterdir()) == []


# making one


def test_a_notebook_is_made_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "book.graftwright"
    script = (
        "import resource, sys; from pathlib import Path; from graftwright import bootstrap\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))\n"
        "try: bootstrap.make_book(Path(sys.argv[1]))\n"
        "except Exception as trouble: print(type(trouble).__name__, trouble)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, path], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout == f"FullDisk {FullDisk(path)}\n"
    assert list(tmp_path.iterdir()) == []
    create(path)


def test_a_notebook_is_not_made_over_another(book_file: Path) -> None:
    before = book_file.read_bytes()
    with pytest.raises(TakenPath):
        create(book_file)
    assert book_file.read_bytes() == before
    assert list(book_file.parent.iterdir()) == [book_file]
