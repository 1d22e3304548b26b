"""A notebook with a season in it, made once, and copied for each test that needs one."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from database.books import new_notebook
from database.histories import Season

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="session")
def season_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("season") / "book.graftwright"
    notebook = new_notebook(path)
    season = Season(notebook, 12).write(100)
    kinds = {e.kind for e in season.entered}
    assert {"receive", "graft", "check", "carry", "cross-out", "describe"} <= kinds, kinds
    notebook.close()
    return path


@pytest.fixture
def book_file(season_file: Path, tmp_path: Path) -> Path:
    """Return a notebook's file, closed, with a season in it."""
    return shutil.copyfile(season_file, tmp_path / "book.graftwright")
