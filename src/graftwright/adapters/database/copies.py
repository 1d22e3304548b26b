"""Copies of notebooks: taken whole, proved, and put where they belong."""

from __future__ import annotations

import shutil
from contextlib import closing, contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.actions.verify import verify
from graftwright.adapters.database.complaints import DamagedNotebook, NotANotebook, told
from graftwright.adapters.database.open import (
    companions,
    made_beside,
    open_file,
    put_in_place,
    recognised,
    sync_folder,
)
from graftwright.adapters.database.unit_of_work import DatabaseNotebook
from graftwright.adapters.database.upgrade import upgrade
from graftwright.adapters.database.whole import alone, copy_whole, free_name, put_back

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path as FilePath

    from graftwright.actions.verify import Proof
    from graftwright.ledger.stages import Path


@contextmanager
def copy_of(
    source: FilePath, target: FilePath, stages: Callable[[str], Path], *, over: bool = False
) -> Iterator[DatabaseCopy]:
    """Copy a notebook to beside `target` and bring the copy to our form; the source is only read."""
    with made_beside(target, over=over) as growing:
        with told(source), closing(open_file(source, read_only=True)) as file:
            recognised(source, file)
            with told(target):
                copy_whole(file, growing)
        if old := upgrade(growing):
            old.unlink()
        yield DatabaseCopy(growing, target, stages)


@dataclass(frozen=True)
class DatabaseCopy:
    """A copy that still has a name of its own beside its place."""

    growing: FilePath
    target: FilePath
    stages: Callable[[str], Path]

    def prove(self) -> Proof:
        """Open the copy and derive everything in it again."""
        notebook = DatabaseNotebook(self.growing, self.stages, read_only=True)
        try:
            with notebook.reading() as reading:
                texts = dict(reading.sheets())
                return verify(reading, lambda version: self.stages(texts[version]), len(reading.aside()))
        finally:
            notebook.close()

    def put_in_place(self) -> None:
        """Give the copy its name, which nothing may have yet."""
        put_in_place(self.growing, self.target)

    def put_over(self, word: str) -> FilePath | None:
        """Put the copy in the place of a notebook; return where that one is kept, under a name with `word`."""
        kept = free_name(self.target, word) if self.target.exists() else None
        try:
            write_over(self.growing, self.target, kept)
        except (DamagedNotebook, NotANotebook):
            if kept is None or not self.target.is_file():
                raise
            _move_over(self.growing, self.target, kept)
        return kept


def write_over(growing: FilePath, target: FilePath, kept: FilePath | None = None) -> None:
    """Give a notebook's own file another content, so that nothing which opens it is left with a file without a name.

    What was there is copied to `kept` first.
    """
    if not target.exists():
        put_in_place(growing, target)
        return
    with alone(target) as file:
        if kept:
            copy_whole(file, kept)
        try:
            put_back(growing, file)
        except BaseException:
            if kept:
                kept.unlink()
            raise


def _move_over(growing: FilePath, target: FilePath, kept: FilePath) -> None:
    """Take the place of a file that the database cannot read."""
    shutil.copyfile(target, kept)
    for one, beside in zip(companions(target), companions(kept), strict=True):
        if one.exists():
            one.replace(beside)
    growing.replace(target)
    sync_folder(target)
