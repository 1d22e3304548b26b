"""What can be wrong with a notebook's file, each as the sentence a person reads."""

from __future__ import annotations

import json
import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sqlalchemy.exc import DatabaseError

from graftwright.adapters.database.signature import holder
from graftwright.errors import NotebookComplaint

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path


class NoNotebook(NotebookComplaint):
    """There is no file where the notebook should be."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "There is no notebook there.",
            where=str(path),
            do="Make one with: graftwright new, or look with: demo.",
        )


class NotANotebook(NotebookComplaint):
    """What is there is something else."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This is not a notebook.", where=str(path), do="Name the right file with --notebook."
        )


class NewerNotebook(NotebookComplaint):
    """The file was written by a later version of the program."""

    def __init__(self, path: Path, form: int) -> None:
        super().__init__(
            f"This notebook was written by a newer version of the program (form {form}).",
            where=str(path), do="Update the program; nothing was touched.",
        )  # fmt: skip


class OlderNotebook(NotebookComplaint):
    """The file was written by an earlier version, and cannot be brought up where it is."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This notebook has an older form and cannot be written where it is.",
            where=str(path), do="Copy it to where it can be written, and open the copy.",
        )  # fmt: skip


class LockedNotebook(NotebookComplaint):
    """Somebody else is writing."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"Another program is writing in this notebook: {holder(path)}.",
            where=str(path), do="Let it finish, or close it, and try again.",
        )  # fmt: skip


class OpenElsewhere(NotebookComplaint):
    """Work that needs the file alone, while another program has it open."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "Another program has this notebook open.",
            where=str(path),
            do="Close its pages and programs, and try again.",
        )


class ReadOnlyNotebook(NotebookComplaint):
    """The file cannot be written."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This notebook cannot be written.",
            where=str(path),
            do="Give yourself the right to write it, or copy it.",
        )


class UnreadableNotebook(NotebookComplaint):
    """The file is there and cannot be opened."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This notebook cannot be opened.",
            where=str(path),
            do="Give yourself the right to read it and its folder.",
        )


class ReplacedNotebook(NotebookComplaint):
    """Another file was put in the notebook's place while it was open."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "Another file has been put in this notebook's place; nothing was stored.",
            where=str(path), do="Start the program again, and enter it again if it is not there.",
        )  # fmt: skip


class FullDisk(NotebookComplaint):
    """Nothing more goes onto the disk."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "The disk takes nothing more; nothing was stored and nothing else was changed.",
            where=str(path), do="Make room and do it again.",
        )  # fmt: skip


class DamagedNotebook(NotebookComplaint):
    """The file cannot be read through."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            "This notebook is damaged, or the disk it is on.",
            where=str(path),
            do="Bring back the last backup with: graftwright restore.",
        )


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


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Say what the database says in a grower's words."""
    try:
        yield
    except DatabaseError as trouble:
        raise (_in_words(path, trouble.orig) or trouble) from trouble
    except sqlite3.Error as trouble:
        raise (_in_words(path, trouble) or trouble) from trouble
    except json.JSONDecodeError as trouble:
        raise DamagedNotebook(path) from trouble


_NOTHING_WRITTEN = {sqlite3.SQLITE_IOERR_WRITE, sqlite3.SQLITE_IOERR_SHMSIZE, sqlite3.SQLITE_IOERR_FSYNC}


def _in_words(path: Path, trouble: BaseException | None) -> NotebookComplaint | None:
    code = getattr(trouble, "sqlite_errorcode", 0)
    if code in _NOTHING_WRITTEN:
        return FullDisk(path)
    kinds: dict[int, Callable[[Path], NotebookComplaint]] = {
        sqlite3.SQLITE_BUSY: LockedNotebook,
        sqlite3.SQLITE_READONLY: ReadOnlyNotebook,
        sqlite3.SQLITE_FULL: FullDisk,
        sqlite3.SQLITE_IOERR: DamagedNotebook,
        sqlite3.SQLITE_CANTOPEN: UnreadableNotebook,
        sqlite3.SQLITE_CORRUPT: DamagedNotebook,
        sqlite3.SQLITE_NOTADB: NotANotebook,
    }
    kind = kinds.get(code & 0xFF)
    if kind is None and any(
        word in str(trouble) for word in ("no such", "decode to UTF-8", "malformed JSON")
    ):
        kind = DamagedNotebook
    return kind(path) if kind else None
