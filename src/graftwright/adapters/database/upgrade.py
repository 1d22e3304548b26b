"""Bringing a notebook of an older form up to ours: every row kept, or the file as it was.

When a table is rebuilt that others point to, the database may delete what points to it, and that
cannot be switched off inside a transaction: so it is switched off before, and the rows are counted.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING

from graftwright.adapters.database.complaints import FullDisk, told
from graftwright.adapters.database.open import FORMS, WAIT_SECONDS, over, recognised
from graftwright.adapters.database.whole import alone, copy_whole, free_name, put_back
from graftwright.errors import NotebookComplaint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

MIGRATIONS = Path(__file__).with_name("migrations")


class CannotUpgrade(NotebookComplaint):
    """Bringing a notebook to the newer form failed, or would have lost something."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(
            f"This notebook could not be brought to the newer form and is as it was: {why}.",
            where=str(path), do="Go on with the version of the program you had, and report this sentence.",
        )  # fmt: skip


class LostRows(Exception):
    """Some table has other rows than it had, or rows that point nowhere."""


def upgrade(
    path: Path, forms: Sequence[str] = FORMS, more: Sequence[Path] = (), wait_seconds: float = WAIT_SECONDS
) -> Path | None:
    """Bring a notebook to the newest form; returns the copy of the old one, which stays beside it.

    `more` are folders with revisions besides our own.
    """
    with alone(path, wait_seconds) as file:
        form = recognised(path, file, len(forms))
        if form == len(forms):
            return None
        copy = free_name(path, f"form-{form}")
        with told(copy):
            copy_whole(file, copy)
        try:
            with told(path):
                _bring_up(file, forms, more, copy)
        except Exception as trouble:
            copy.unlink()
            if isinstance(trouble, FullDisk):
                raise
            raise CannotUpgrade(path, _reason(trouble)) from trouble
        return copy


def _reason(trouble: Exception) -> str:
    cause = trouble.__cause__ or trouble
    return str(getattr(cause, "orig", cause)).partition("\n")[0] or type(cause).__name__


def _bring_up(file: sqlite3.Connection, forms: Sequence[str], more: Sequence[Path], copy: Path) -> None:
    file.execute("PRAGMA foreign_keys = OFF")
    with over(file) as db:
        before = _rows(db)
        db.exec_driver_sql("SAVEPOINT before")
        try:
            _run(db, forms[-1], more)
            _must_be_all_there(db, before)
            db.exec_driver_sql(f"PRAGMA user_version = {len(forms)}")
            db.exec_driver_sql("RELEASE before")
        except BaseException:
            _take_back(file, copy)
            raise
        db.commit()


def _take_back(file: sqlite3.Connection, copy: Path) -> None:
    """Take everything back; what a revision made durable by itself is written over with the copy."""
    try:
        file.execute("ROLLBACK TO before")
    except sqlite3.Error:
        if file.in_transaction:
            file.execute("ROLLBACK")
        put_back(copy, file)


def _run(db: Connection, newest: str, more: Sequence[Path]) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config(attributes={"connection": db})
    config.set_main_option("script_location", _plain(MIGRATIONS))
    config.set_main_option("path_separator", "newline")
    config.set_main_option("version_locations", "\n".join(map(_plain, (MIGRATIONS / "versions", *more))))
    command.upgrade(config, newest)


def _plain(path: Path) -> str:
    return str(path).replace("%", "%%")  # the sign has a meaning in options


def _rows(db: Connection) -> dict[str, int]:
    names = db.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars().all()
    counts = (db.exec_driver_sql(f'SELECT count(*) FROM "{name}"') for name in names)  # noqa: S608 - our tables
    return {name: int(count.scalar_one()) for name, count in zip(names, counts, strict=True)}


def _must_be_all_there(db: Connection, before: dict[str, int]) -> None:
    after = _rows(db)
    for table, n in before.items():
        if after.get(table) != n:
            raise LostRows(f"{table} had {n} rows and would have {after.get(table, 'none')}")
    if loose := db.exec_driver_sql("PRAGMA foreign_key_check").all():
        raise LostRows(f"{len(loose)} rows of {loose[0][0]} would point nowhere")
