"""A notebook's file as one whole: held alone, copied, put back.

All of it goes through the database, never through the file's bytes: reading the file beside an open
connection and closing it again would drop that connection's locks.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from graftwright.adapters.database.complaints import OpenElsewhere, told
from graftwright.adapters.database.open import WAIT_SECONDS, open_file

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@contextmanager
def alone(path: Path, wait_seconds: float = WAIT_SECONDS) -> Iterator[sqlite3.Connection]:
    """Hold a notebook so that nobody else has it open, from before the first look until the end."""
    with told(path), closing(open_file(path, wait_seconds=wait_seconds)) as file:
        file.execute("PRAGMA locking_mode = EXCLUSIVE")
        try:
            file.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as trouble:
            if trouble.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY:
                raise OpenElsewhere(path) from None
            raise
        file.execute("COMMIT")  # the lock stays until the file is closed
        yield file


def copy_whole(file: sqlite3.Connection, target: Path) -> None:
    """Copy one unchanging state of an open notebook into a new file that needs no other beside it."""
    try:
        with closing(sqlite3.connect(target, isolation_level=None)) as copy:
            file.execute("BEGIN")
            file.execute("SELECT 1 FROM sqlite_master").fetchone()  # from here on nobody can lock us out
            file.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
    except BaseException:
        target.unlink(missing_ok=True)
        raise
    finally:
        if file.in_transaction:
            file.execute("ROLLBACK")


def put_back(copy: Path, file: sqlite3.Connection) -> None:
    """Give a notebook that is held alone the content of a copy, in one step that is done whole or not at all."""
    with closing(open_file(copy, read_only=True)) as kept:
        kept.backup(file)


def free_name(path: Path, word: str) -> Path:
    """Return a name beside `path`, with `word` in it, that nothing has yet."""
    found, number = path.with_name(f"{path.stem}.{word}{path.suffix}"), 2
    while found.exists():
        found = path.with_name(f"{path.stem}.{word}-{number}{path.suffix}")
        number += 1
    return found
