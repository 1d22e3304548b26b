"""The book in memory and the notebook file keep the same promises: one season, written into both."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict
from typing import TYPE_CHECKING

import pytest

from database.books import new_memory, new_notebook, told
from database.histories import Season
from graftwright.adapters.database.convert import to_text

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.adapters.database.unit_of_work import DatabaseNotebook
    from graftwright.adapters.memory import MemoryNotebook


def same_season(notebook: DatabaseNotebook, memory: MemoryNotebook, seed: int, entries: int) -> Season:
    """Write one season into both, entry by entry, and stop at the first answer that differs."""
    stored, remembered = Season(notebook, seed), Season(memory, seed)
    for number in range(entries):
        assert told(stored.one()) == told(remembered.one()), f"season {seed}, act {number}"
    return stored


def assert_same_content(notebook: DatabaseNotebook, memory: MemoryNotebook) -> None:
    page = memory.page
    with notebook.reading() as reading:
        accounts = reading.accounts(page.things)
        assert {line.account: line.amount for line in accounts} == page.balances()
        stored = reading.things(page.things)
        assert {code: one.said for code, one in stored.items()} == {
            code: one.said for code, one in page.things.items()
        }
        assert [to_text(asdict(e)) for e in reading.in_order()] == [
            to_text(asdict(e)) for e in page.standing()
        ]
        assert reading.aside() == sorted(page.aside.values(), key=lambda kept: (kept.received, kept.id))
        forecasts = {code: reading.forecast(code) for code in page.forecasts}
    assert to_text({code: asdict(one) for code, one in forecasts.items() if one}) == to_text(
        {code: asdict(one) for code, one in page.forecasts.items()}
    )
    with notebook.writing() as open_page:
        for number, lines in page.posted.items():
            assert Counter(open_page.lines(number)) == Counter(lines)


@pytest.mark.parametrize("seed", range(5))
def test_a_season_gives_the_same_answers_and_the_same_book(tmp_path: Path, seed: int) -> None:
    notebook, memory = new_notebook(tmp_path / "book.graftwright"), new_memory()
    same_season(notebook, memory, seed, 80)
    assert_same_content(notebook, memory)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(100, 160))
def test_a_long_season_gives_the_same_answers_and_the_same_book(tmp_path: Path, seed: int) -> None:
    notebook, memory = new_notebook(tmp_path / "book.graftwright"), new_memory()
    same_season(notebook, memory, seed, 400)
    assert_same_content(notebook, memory)
