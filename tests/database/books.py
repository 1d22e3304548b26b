"""Notebooks for tests: made, filled, and looked through whole."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

from database.histories import SHEETS, Season
from graftwright import bootstrap
from graftwright.adapters.database.convert import to_text
from graftwright.adapters.database.open import create
from graftwright.adapters.database.unit_of_work import DatabaseNotebook
from graftwright.adapters.memory import MemoryNotebook

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.actions.enter import Answer

PATHS = {key: bootstrap.stages_of(sheet.text).stages for key, sheet in SHEETS.items() if ":" not in key}


def new_notebook(path: Path) -> DatabaseNotebook:
    create(path)
    return DatabaseNotebook(path, bootstrap.stages_of)


def new_memory() -> MemoryNotebook:
    return MemoryNotebook(PATHS)


def filled(path: Path, seed: int = 1, entries: int = 60) -> DatabaseNotebook:
    """Make a notebook with a season in it."""
    notebook = new_notebook(path)
    Season(notebook, seed).write(entries)
    return notebook


def told(answer: Answer | str) -> str:
    """Write an answer so that answers of different notebooks can be compared."""
    if isinstance(answer, str):
        return answer
    entry, aside = (asdict(one) if one else None for one in (answer.entry, answer.aside))
    return to_text(
        [entry, aside, sorted(map(repr, answer.lines)), answer.repeated, sorted(answer.derived_again)]
    )
