"""Making, opening and recognising notebook files."""

from __future__ import annotations

import os
import sqlite3
import time
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, event
from sqlalchemy.exc import DatabaseError, OperationalError
from sqlalchemy.pool import NullPool

from graftwright.adapters.database import tables
from graftwright.errors import NotebookComplaint

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sqlalchemy import Connection, Engine

APPLICATION_ID = 0x67726674  # 'grft': how a file says that it is a notebook
FORMS = ("0001",)  # every form a notebook has had, oldest first
WAIT_SECONDS = 5


class NoNotebook(NotebookComplaint):
    """There is no file where the notebook should be."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "There is no notebook there.",
            where=str(path),
            do="Make one with: graftwright new, or look with: demo.",
        )


class NotANotebook(NotebookComplaint):
    """The file is something else."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This file is not a notebook.", where=str(path), do="Name the right file with --notebook."
        )


class NewerNotebook(NotebookComplaint):
    """The file was written by a later version of the program."""

    def __init__(self, path: Path, version: str) -> None:
        super().__init__(
            f"This notebook was written by a newer version of the program (form {version}).",
            where=str(path), do="Update the program; nothing was touched.",
        )  # fmt: skip


class LockedNotebook(NotebookComplaint):
    """Somebody else is writing."""

    def __init__(self, path: Path, holder: str) -> None:
        super().__init__(
            f"Another program is writing in this notebook: {holder}.",
            where=str(path), do="Let it finish, or close it, and try again.",
        )  # fmt: skip


class ReadOnlyNotebook(NotebookComplaint):
    """The file cannot be written."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This notebook cannot be written.",
            where=str(path),
            do="Give yourself the right to write it, or copy it.",
        )


class FullDisk(NotebookComplaint):
    """Nothing more fits on the disk."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "The disk is full; the entry was not stored and nothing else was changed.",
            where=str(path), do="Make room and enter it again.",
        )  # fmt: skip


class TakenPath(NotebookComplaint):
    """A notebook was to be made where something is already."""

    def __init__(self, path: Path) -> None:
        super().__init__("There is something there already.", where=str(path), do="Choose another name.")


class CannotMake(NotebookComplaint):
    """No file can be made there."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(
            f"No notebook can be made there: {why}.", where=str(path), do="Choose another place."
        )


class DamagedNotebook(NotebookComplaint):
    """The file cannot be read through."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This notebook is damaged.",
            where=str(path),
            do="Bring back the last backup with: graftwright restore.",
        )


def create(path: Path) -> None:
    """Make an empty notebook: whole, or not at all."""
    if path.exists():
        raise TakenPath(path)
    growing = path.with_name(path.name + ".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        growing.unlink(missing_ok=True)
        _fill(growing)
        growing.replace(path)
    except OSError as trouble:
        raise CannotMake(path, trouble.strerror or str(trouble)) from None


def _fill(path: Path) -> None:
    engine = create_engine(f"sqlite:///{path}", poolclass=NullPool)
    with _told(path), engine.begin() as db:
        tables.metadata.create_all(db)
        db.exec_driver_sql("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL PRIMARY KEY)")
        db.exec_driver_sql("INSERT INTO alembic_version VALUES (?)", (FORMS[-1],))
        db.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        db.exec_driver_sql(f"PRAGMA user_version = {len(FORMS)}")


def connect(path: Path) -> Opened:
    """Open a notebook that is there, after making sure that it is one and of a form we know."""
    if not path.is_file():
        raise NoNotebook(path)
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except OSError:
        raise ReadOnlyNotebook(path) from None
    if head[:15] != b"SQLite format 3" or int.from_bytes(head[68:72], "big") != APPLICATION_ID:
        raise NotANotebook(path)
    form = int.from_bytes(head[60:64], "big")
    if form > len(FORMS):
        raise NewerNotebook(path, str(form))
    return Opened(path)


class Opened:
    """The way to a notebook's file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._engine = _engine(path)

    @contextmanager
    def for_writing(self) -> Iterator[Connection]:
        """Hold the pen: nobody else writes until the block ends, and all of it is durable or none."""
        with _told(self.path), self._engine.connect() as plain:
            db = plain.execution_options(graftwright_writes=True)
            self._take_the_pen(db)
            yield db
            db.commit()

    def _take_the_pen(self, db: Connection) -> None:
        try:
            db.begin()
        except OperationalError as trouble:
            if "locked" in str(trouble) or "busy" in str(trouble):
                raise LockedNotebook(self.path, _holder(self.path)) from None
            raise
        _sign(self.path)

    @contextmanager
    def for_reading(self) -> Iterator[Connection]:
        """Read one unchanging state."""
        with _told(self.path), self._engine.connect() as db:
            yield db

    def close(self) -> None:
        """Let the file go."""
        self._engine.dispose()


def _engine(path: Path) -> Engine:
    engine = create_engine(f"sqlite:///{path}", connect_args={"timeout": WAIT_SECONDS})

    @event.listens_for(engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # BEGIN is ours alone
        connection.execute("PRAGMA foreign_keys = ON")
        if os.access(path, os.W_OK) or not path.exists():
            connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def _(db: Connection) -> None:
        writes = db.get_execution_options().get("graftwright_writes")
        db.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Say what the database says in a grower's words."""
    try:
        yield
    except DatabaseError as trouble:
        raise _in_words(path, str(trouble.orig)) or trouble from trouble
    except sqlite3.Error as trouble:
        raise _in_words(path, str(trouble)) or trouble from trouble


def _in_words(path: Path, said: str) -> NotebookComplaint | None:
    words = {
        "locked": LockedNotebook(path, _holder(path)),
        "readonly": ReadOnlyNotebook(path),
        "full": FullDisk(path),
        "disk I/O error": FullDisk(path),
        "unable to open": ReadOnlyNotebook(path),
        "malformed": DamagedNotebook(path),
        "not a database": NotANotebook(path),
        "no such table": NotANotebook(path),
    }
    return next((complaint for word, complaint in words.items() if word in said), None)


def _signature(path: Path) -> Path:
    return path.with_name(path.name + ".writer")


def _sign(path: Path) -> None:
    """Leave word of who holds the pen, for others who wait for it."""
    with suppress(OSError):
        _signature(path).write_text(
            f"process {os.getpid()} since {time.strftime('%H:%M:%S')}", encoding="utf-8"
        )


def _holder(path: Path) -> str:
    try:
        return _signature(path).read_text(encoding="utf-8")
    except OSError:
        return "an unknown process"
