"""Making, opening and recognising notebook files."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, contextmanager, suppress
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, event
from sqlalchemy.pool import StaticPool

from graftwright.adapters.database import tables
from graftwright.adapters.database.complaints import (
    CannotMake,
    NewerNotebook,
    NoNotebook,
    NotANotebook,
    OlderNotebook,
    ReadOnlyNotebook,
    ReplacedNotebook,
    TakenPath,
    UnreadableNotebook,
    told,
)
from graftwright.adapters.database.signature import beside, sign, take_back

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sqlalchemy import Connection, Engine

APPLICATION_ID = 0x67726674  # 'grft': how a file says that it is a notebook
FORMS = ("0001",)  # every form a notebook has had, oldest first
WAIT_SECONDS = 5.0


# making one


def create(path: Path) -> None:
    """Make an empty notebook: whole, or not at all."""
    with made_beside(path) as growing:
        _fill(growing)
        put_in_place(growing, path)


@contextmanager
def made_beside(path: Path, *, over: bool = False) -> Iterator[Path]:
    """Give a file to fill beside `path`; what is not put in place is removed.

    Nothing may be there yet, unless what grows is to be put `over` it.
    """
    growing = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        if not over:
            _must_be_free(path)
        path.parent.mkdir(parents=True, exist_ok=True)
        growing.unlink(missing_ok=True)
        with told(path):
            yield growing
    except OSError as trouble:
        raise CannotMake(path, trouble.strerror or str(trouble)) from None
    finally:
        for one in (growing, beside(growing), *companions(growing)):
            with suppress(OSError):
                one.unlink()


def _must_be_free(path: Path) -> None:
    for one in (path, *companions(path)):
        if os.path.lexists(one):
            raise TakenPath(one)


def put_in_place(growing: Path, path: Path) -> None:
    """Give a finished file its name, unless somebody else was faster."""
    _must_be_free(path)
    try:
        path.touch(exist_ok=False)
    except FileExistsError:
        raise TakenPath(path) from None
    growing.replace(path)
    sync_folder(path)


def sync_folder(path: Path) -> None:
    """Make a new name in a folder last, where the system can."""
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)


def companions(path: Path) -> list[Path]:
    """Files that the database keeps beside a notebook: left alone they would be read into a new one."""
    return [path.with_name(path.name + ending) for ending in ("-wal", "-shm", "-journal")]


def _fill(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as file, over(file) as db:
        tables.metadata.create_all(db)
        db.exec_driver_sql(
            "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
            "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
        )
        db.exec_driver_sql("INSERT INTO alembic_version VALUES (?)", (FORMS[-1],))
        db.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        db.exec_driver_sql(f"PRAGMA user_version = {len(FORMS)}")
        db.commit()


@contextmanager
def over(file: sqlite3.Connection) -> Iterator[Connection]:
    """Speak to one open file inside one transaction, which ends without a trace unless it is committed."""
    engine = create_engine("sqlite://", creator=lambda: file, poolclass=StaticPool)
    event.listen(engine, "begin", lambda db: db.exec_driver_sql("BEGIN IMMEDIATE"))
    with engine.connect() as db:
        db.begin()
        yield db


# opening one


def connect(path: Path, *, read_only: bool = False, wait_seconds: float = WAIT_SECONDS) -> Opened:
    """Open a notebook that is there, after making sure that it is one; an older form is brought up first."""
    opened = Opened(path, read_only=read_only, wait_seconds=wait_seconds)
    with told(path), closing(opened.file()) as file:
        older = recognised(path, file) < len(FORMS)
    if older:
        if opened.read_only:
            raise OlderNotebook(path)
        from graftwright.adapters.database.upgrade import upgrade

        upgrade(path)
    return opened


def recognised(path: Path, file: sqlite3.Connection, newest: int = len(FORMS)) -> int:
    """Return the form of a notebook; refuses a file that is none, or one that is newer than we are."""
    if _asked(file, "application_id") != APPLICATION_ID:
        raise NotANotebook(path)
    form = int(_asked(file, "user_version"))
    if form > newest:
        raise NewerNotebook(path, form)
    return form


def _asked(file: sqlite3.Connection, pragma: str) -> Any:
    return file.execute(f"PRAGMA {pragma}").fetchone()[0]


def open_file(
    path: Path, *, read_only: bool = False, wait_seconds: float = WAIT_SECONDS
) -> sqlite3.Connection:
    """Open the file as it is; never makes one."""
    try:
        if not path.is_file():
            raise NotANotebook(path) if path.exists() else NoNotebook(path)
    except OSError:
        raise UnreadableNotebook(path) from None
    how = "mode=ro" if read_only else "mode=rw"
    if read_only and _nobody_can_write(path):
        how += "&immutable=1"  # without it the database wants to make files beside the notebook
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?{how}", uri=True, timeout=wait_seconds, isolation_level=None,
        check_same_thread=False,
    )  # fmt: skip


def _nobody_can_write(path: Path) -> bool:
    return not os.access(path.parent, os.W_OK) and not any(map(os.path.exists, companions(path)))


class Opened:
    """The way to a notebook's file."""

    def __init__(self, path: Path, *, read_only: bool = False, wait_seconds: float = WAIT_SECONDS) -> None:
        self.path = path
        self.read_only = read_only or not os.access(path, os.W_OK)
        self._wait_seconds = wait_seconds
        self._engine = self._make_engine()

    def file(self) -> sqlite3.Connection:
        """Open the file once more."""
        return open_file(self.path, read_only=self.read_only, wait_seconds=self._wait_seconds)

    @contextmanager
    def for_writing(self) -> Iterator[Connection]:
        """Hold the pen: nobody else writes until the block ends, and all of it is durable or none."""
        if self.read_only:
            raise ReadOnlyNotebook(self.path)
        with told(self.path), self._engine.connect() as plain:
            db = plain.execution_options(graftwright_writes=True)
            db.begin()
            sign(self.path)
            try:
                self._must_be_the_same(db)
                yield db
            finally:
                take_back(self.path)
            db.commit()

    def _must_be_the_same(self, db: Connection) -> None:
        """Refuse to write into a file that has lost its name, where nobody would find the entry again."""
        if db.connection.info["file"] != _which_file(self.path):
            raise ReplacedNotebook(self.path)

    @contextmanager
    def for_reading(self) -> Iterator[Connection]:
        """Read one unchanging state."""
        with told(self.path), self._engine.connect() as db:
            yield db

    def close(self) -> None:
        """Let the file go."""
        self._engine.dispose()

    def _make_engine(self) -> Engine:
        engine = create_engine("sqlite:///file", creator=self._prepared)
        event.listen(engine, "connect", self._note_which)
        event.listen(engine, "begin", _begin)
        return engine

    def _prepared(self) -> sqlite3.Connection:
        """Open the file, and set what holds for each connection; another program may have changed its form."""
        file = self.file()
        try:
            self._prepare(file)
        except BaseException:
            file.close()
            raise
        return file

    def _prepare(self, file: sqlite3.Connection) -> None:
        if recognised(self.path, file) < len(FORMS):
            raise OlderNotebook(self.path)
        file.execute("PRAGMA foreign_keys = ON")
        file.execute("PRAGMA synchronous = FULL")
        file.execute("PRAGMA fullfsync = ON")  # some systems call it done before the disk has it
        if not self.read_only and _asked(file, "journal_mode") != "wal":
            file.execute("PRAGMA journal_mode = WAL")

    def _note_which(self, _file: Any, record: Any) -> None:
        record.info["file"] = _which_file(self.path)


def _which_file(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _begin(db: Connection) -> None:
    writes = db.get_execution_options().get("graftwright_writes")
    db.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
