"""Several entries on one open page: all of them or none, each seeing the one before; and what rests on what."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from graftwright import bootstrap
from graftwright.actions.ports import Draft
from graftwright.actions.rests import what_rests_on
from graftwright.actions.start_here import GraftsHere, start_here
from graftwright.errors import Trouble
from graftwright.ledger.entries import WrongValue
from graftwright.ledger.errors import OtherContent
from web.bench import NOON, tell

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.bootstrap import Book

TOLD = GraftsHere(
    "12",
    "Grey Marron",
    "Castanea",
    "about two weeks ago",
    "hypocotyl-closed-bag",
    "01JRS0V6Y8ZC3N4K5M6P7Q8R9S",
)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    path = tmp_path / "own.graftwright"
    bootstrap.new_book(path, "My book", "Europe/Paris", None, "")
    return bootstrap.open_book(path, NOON)


def entries(book: Book) -> int:
    with book.notebook.reading() as reading:
        return reading.counted()["entries"]


def test_five_answers_become_a_batch_with_its_uncounted_wood_and_stocks(book: Book) -> None:
    answer = start_here(book.notebook, book.desk, TOLD)
    assert answer.entry is not None
    assert (answer.entry.day, answer.entry.get("count")) == ("2027-04-04", 12)
    with book.notebook.reading() as reading:
        lots = reading.things_of("scionwood", "stock")
        assert [lot.get("uncounted") for lot in lots] == [True, True]
        forecast = reading.forecast(answer.entry.subject)
    assert forecast is not None
    assert (forecast.living, bool(forecast.groups[0].milestones)) == (12, True)
    assert bootstrap.prove(book, windows=True).problems == ()


def test_the_same_answers_again_get_the_first_answer(book: Book) -> None:
    first = start_here(book.notebook, book.desk, TOLD)
    before = entries(book)
    again = start_here(book.notebook, book.desk, TOLD)
    assert (again.entry, again.repeated, entries(book)) == (first.entry, True, before)
    with pytest.raises(OtherContent):
        start_here(book.notebook, book.desk, replace(TOLD, count="13"))


@pytest.mark.parametrize(
    "wrong",
    [
        {"count": "none"},
        {"sheet": "nothing"},
        {"happened": "tomorrow"},
        {"count": "0"},
        {"happened": "2027-05"},
    ],
)
def test_one_wrong_answer_writes_nothing_at_all(book: Book, wrong: dict[str, str]) -> None:
    before = entries(book)
    with pytest.raises(Trouble):
        start_here(book.notebook, book.desk, replace(TOLD, **wrong))
    assert entries(book) == before
    with book.notebook.reading() as reading:
        assert reading.things_of("scionwood", "stock", "batch", "variety") == []


def test_a_count_that_is_no_number_is_named(book: Book) -> None:
    with pytest.raises(WrongValue) as told:
        start_here(book.notebook, book.desk, replace(TOLD, count="x"))
    assert told.value.where == "count"


def test_what_rests_on_an_entry_is_all_that_would_fall_with_it(book: Book) -> None:
    batch = start_here(book.notebook, book.desk, TOLD).entry
    assert batch is not None
    check = tell(book, "check", batch.subject, "2027-04-10", seen={"swollen": 12})
    loss = tell(book, "lose", batch.subject, "2027-04-12", reasons={"mould": 2})
    before = entries(book)
    assert what_rests_on(book.notebook, batch.number) == (check, loss)
    assert what_rests_on(book.notebook, check.number) == ()
    assert what_rests_on(book.notebook, loss.number) == ()
    wood = batch.number - 2
    assert [e.number for e in what_rests_on(book.notebook, wood)] == [batch.number, check.number, loss.number]
    assert entries(book) == before
    book.enter(Draft("cross-out", "", {"numbers": [wood], "reason": "not mine"}, with_those_behind=True))
    assert bootstrap.prove(book, windows=True).problems == ()
