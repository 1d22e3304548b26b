"""The book in memory and the notebook file keep the same promises: one season, written into both."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict, replace
from datetime import UTC, datetime
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from database.books import new_memory, new_notebook, told
from database.histories import SHEETS, Season
from graftwright.actions.enter import Answer, Desk, write
from graftwright.actions.ports import Draft
from graftwright.adapters.database.convert import to_text
from graftwright.errors import Trouble
from graftwright.ledger.codes import new_code

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from graftwright.actions.ports import Notebook
    from graftwright.adapters.database.unit_of_work import DatabaseNotebook
    from graftwright.adapters.memory import MemoryNotebook

NOW = datetime(2027, 4, 18, 9, tzinfo=UTC)


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


def test_a_block_that_fails_leaves_both_as_they_were(tmp_path: Path) -> None:
    notebook, memory = new_notebook(tmp_path / "book.graftwright"), new_memory()
    same_season(notebook, memory, 0, 20)
    for one in (notebook, memory):
        with pytest.raises(ZeroDivisionError):
            write_and_fail(one)
    assert_same_content(notebook, memory)
    assert same_season(notebook, memory, 1, 10).entered


def write_and_fail(notebook: Notebook) -> None:
    with notebook.writing() as page:
        desk = Desk(NOW, NOW.date(), lambda: SHEETS, Random(1))
        write(page, desk, Draft("receive", "", {"what": "seed", "count": 3}, id="late"), at_the_door=True)
        raise ZeroDivisionError


def test_several_entries_on_one_page_see_each_other(tmp_path: Path) -> None:
    notebook, memory = new_notebook(tmp_path / "book.graftwright"), new_memory()
    graft = {"count": 12, "scion": "{b}", "stock": "{a}", "sheet": "plain"}
    drafts = [
        Draft("receive", "", {"what": "seed", "count": 30}, "2027-03-01", "Ilse", "a"),
        Draft("receive", "", {"what": "scionwood", "count": 30, "of": "Alder Hill"}, "2027-03-01", "Ilse", "b"),
        Draft("graft", "{graft}", graft, "2027-03-02", id="c"),
        Draft("lose", "{c}", {"reasons": {"mould": 2}}, "2027-03-09", id="d"),
        Draft("codes", "{c}", {}, "2027-03-10", id="e"),
        Draft("lose", "{c}", {"reasons": {"no join": 10}}, "2027-03-11", id="f"),
        Draft("lose", "{c}", {"reasons": {"mould": 4}}, "2027-03-09", id="d2", replaces=4),
    ]  # fmt: skip
    told_by = [told_on_one_page(one, drafts) for one in (notebook, memory)]
    assert told_by[0] == told_by[1]
    assert [answer.startswith("[") for answer in told_by[0]] == [True] * 6 + [False]
    assert_same_content(notebook, memory)


def told_on_one_page(notebook: Notebook, drafts: list[Draft]) -> list[str]:
    """Write drafts on one page; `{a}` stands for what the entry with the id a is about."""
    codes, found = {"graft": new_code(Random(3))}, []
    with notebook.writing() as page:
        for draft in drafts:
            said = {name: _filled(value, codes) for name, value in (draft.said or {}).items()}
            desk = Desk(NOW, NOW.date(), lambda: SHEETS, Random(draft.id))
            one = replace(draft, subject=_filled(draft.subject, codes), said=said)
            try:
                answer: Answer | str = write(page, desk, one, at_the_door=True)
            except Trouble as trouble:
                answer = str(trouble)
            if isinstance(answer, Answer) and answer.entry:
                codes[draft.id] = answer.entry.subject
            found.append(told(answer))
    return found


def _filled(value: Any, codes: Mapping[str, str]) -> Any:
    return value.format(**codes) if isinstance(value, str) else value


def test_a_reader_sees_one_unchanging_state(tmp_path: Path) -> None:
    notebook = new_notebook(tmp_path / "book.graftwright")
    season = Season(notebook, 0).write(20)
    with notebook.reading() as reading:
        before = reading.counted()
        season.write(20)
        assert reading.counted() == before
    with notebook.reading() as reading:
        assert reading.counted()["entries"] == len(season.entered) > before["entries"]


def test_no_number_of_codes_is_too_large(tmp_path: Path) -> None:
    notebook = new_notebook(tmp_path / "book.graftwright")
    season = Season(notebook, 0).write(30)
    made = [f"{n:06d}" for n in range(40_000)]
    with notebook.reading() as reading:
        assert set(reading.things([*made, *season.shelves])) == set(season.shelves)
        assert reading.told([*made, *season.shelves])
        assert reading.standing_in(made) == reading.accounts(made) == reading.crossed(made) == []
    with notebook.writing() as page:
        page.look_up("", [*made, *season.shelves])
        assert page.taken([*made, *season.shelves]) == set(season.shelves)
        assert page.find(season.shelves[0])
