"""The bench in mid-season: written once, copied for each test."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from graftwright import bootstrap
from web.bench import NOON, Reader, Season, make_season, reader_of

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.bootstrap import Book


@dataclass(frozen=True)
class Bench:
    """A copy of the season with a reader of its pages."""

    path: Path
    season: Season
    reader: Reader

    @property
    def book(self) -> Book:
        """The book as another program would open it."""
        return bootstrap.open_book(self.path, NOON)

    @property
    def entries(self) -> int:
        with self.book.notebook.reading() as reading:
            return reading.counted()["entries"]


@pytest.fixture(scope="session")
def season(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Season]:
    path = tmp_path_factory.mktemp("season") / "season.graftwright"
    return path, make_season(path)


@pytest.fixture
def bench(season: tuple[Path, Season], tmp_path: Path) -> Bench:
    path = tmp_path / "bench.graftwright"
    shutil.copy(season[0], path)
    return Bench(path, season[1], reader_of(path))


@pytest.fixture
def own(tmp_path: Path) -> Bench:
    """An empty book of one's own."""
    path = tmp_path / "own.graftwright"
    bootstrap.new_book(path, "My book", "Europe/Paris", None, "")
    return Bench(path, Season("", "", "", "", "", (), "", ()), reader_of(path))
