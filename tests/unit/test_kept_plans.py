"""Plans of the notebook: made from what stands in it, kept, and made again when wishes change."""

from __future__ import annotations

import shutil
from datetime import date
from typing import TYPE_CHECKING

import pytest

from cli_bench import Session, made, small_book
from graftwright.actions.seasons_ahead import seasons
from graftwright.actions.wanted import UNCOUNTED
from graftwright.actions.wish_file import Seed, Wish, Wishes, Wood

if TYPE_CHECKING:
    from pathlib import Path

SHEET = "hypocotyl-closed-bag"
Book = tuple[Session, dict[str, str]]
WISH_FILE = """
[[wish]]
variety = "Copper Bell"
trees = 2
by = 2027-09-30
sheet = "hypocotyl-closed-bag"
species = "Castanea"
sure = 0.5
[[wish]]
variety = "Amber Early"
trees = 2
by = 2027-09-30
sheet = "hypocotyl-closed-bag"
species = "Castanea"
sure = 0.5
[[seed]]
species = "Castanea"
count = 200
received = 2026-10-20
"""


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return small_book(tmp_path_factory.mktemp("book") / "book.graftwright")


@pytest.fixture
def book(shared: Book, tmp_path: Path) -> Book:
    session, codes = shared
    path = tmp_path / "book.graftwright"
    shutil.copy(session.notebook, path)
    return Session(path, "2027-04-03", seed=4, ids=session.ids), codes


def wish(session: Session, trees: int, by: str, *more: str) -> int:
    value = made(session, "record", "wish", "Copper Bell", str(trees), "--ready-by", by, "--sheet", SHEET,
                 "--genus", "Castanea", *more)  # fmt: skip
    return int(value["number"])


def test_only_what_is_still_missing_is_planned(book: Book) -> None:
    session, _ = book
    wish(session, 2, "2027-09-30", "--sure", "0.5")
    missing = made(session, "outlook")["wishes"][0]["top_up"]
    plan = made(session, "plan")
    assert sum(batch["grafts"] for batch in plan["batches"]) == missing > 0


def test_a_wish_that_is_sure_enough_asks_for_nothing(book: Book) -> None:
    session, _ = book
    wish(session, 1, "2027-09-30", "--sure", "0.1")
    assert made(session, "plan")["batches"] == []
    assert session.run("plan").out == "Nothing is to be grafted: no wish is open, or all are sure enough.\n"


def test_a_plan_is_kept_and_the_next_says_what_changed(book: Book) -> None:
    session, _ = book
    number = wish(session, 2, "2027-09-30", "--sure", "0.5")
    first = made(session, "plan", "--keep")
    assert first["changes"] == []
    assert made(session, "plan")["changes"] == []  # nothing changed since
    kept = session.run("plan", "--keep").out
    assert f"Kept as entry {first['kept_as'] + 1}." in kept
    made(session, "correct", str(number), "--ready-by", "2028-09-30")
    changes = made(session, "plan")["changes"]
    assert any("Copper Bell" in said for said in changes)
    assert made(session, "verify")["problems"] == []


def test_the_outlook_counts_on_what_the_kept_plan_still_has(book: Book) -> None:
    session, _ = book
    wish(session, 2, "2027-09-30", "--sure", "0.5")
    before = made(session, "outlook")["wishes"][0]
    assert (before["planned"], before["chance_with_planned"]) == (0, None)
    made(session, "plan", "--keep")
    after = made(session, "outlook")["wishes"][0]
    assert after["planned"] == before["top_up"]
    assert after["chance_with_planned"] >= 0.5 > after["chance"] == before["chance"]


def test_wishes_of_a_file_are_entered_once_and_known_by_their_entries(book: Book, tmp_path: Path) -> None:
    session, _ = book
    file = tmp_path / "wishes.toml"
    file.write_text(WISH_FILE, encoding="utf-8")
    kept = made(session, "plan", str(file), "--today", "2026-10-21", "--keep")["kept_as"]
    wishes = made(session, "outlook")["wishes"]
    assert [one["variety"] for one in wishes] == ["Copper Bell", "Amber Early"]
    assert [one["planned"] for one in wishes] == [0, 0]  # the plan's grafting days are past by now
    again = made(session, "plan", str(file), "--today", "2026-10-21", "--keep")["kept_as"]
    assert again == kept + 1  # the plan alone
    assert made(session, "outlook")["wishes"] == wishes


def test_a_notebook_is_planned_as_of_its_own_day(book: Book) -> None:
    session, _ = book
    told = session.run("plan", "--today", "2026-10-20")
    assert (told.exit_code, told.err) == (
        12, "The notebook is planned as of its own day. (--today) Leave it out, or name a wish file.\n",
    )  # fmt: skip


def test_what_is_kept_must_be_a_plan(book: Book) -> None:
    session, _ = book
    told = session.run("record", "plan", "--plan", "tomorrow")
    assert told.exit_code == 12
    assert "must be what 'graftwright plan --keep' makes" in told.err


# seasons


def a_wish(by: date, number: int = 1) -> Wish:
    return Wish(number, "Copper Bell", 3, by, 0.9, SHEET, "Castanea", "some")


def parted(wishes: Wishes, today: date, *, southern: bool = False) -> list[Wishes]:
    return list(seasons(wishes.wishes, wishes, today, southern=southern))


def test_each_season_has_its_own_nuts_and_wood() -> None:
    nuts, wood = Seed("Castanea", 60, date(2026, 10, 18)), Wood("Copper Bell", 20, date(2027, 1, 30))
    every = Wishes((a_wish(date(2028, 8, 31), 2), a_wish(date(2027, 9, 30))), (nuts,), (wood,))
    this, following = parted(every, date(2027, 2, 1))
    assert [wish.number for wish in (*this.wishes, *following.wishes)] == [1, 2]
    assert (this.seed, this.wood, this.notes) == ((nuts,), (wood,), ())
    assert following.seed == (Seed("Castanea", UNCOUNTED, date(2027, 10, 15)),)
    assert following.wood == (Wood("Copper Bell", UNCOUNTED, date(2028, 1, 31)),)
    assert following.notes == (
        "Nuts of Castanea are counted on from 2027-10-15, as many as are needed.",
        "Wood of Copper Bell is counted on from 2028-01-31, as much as is needed.",
    )


def test_the_south_harvests_six_months_later() -> None:
    (only,) = parted(Wishes((a_wish(date(2028, 3, 1)),)), date(2027, 2, 1), southern=True)
    assert [one.received for one in only.seed] == [date(2027, 4, 15)]
    assert [one.cut for one in only.wood] == [date(2027, 7, 31)]


def test_a_harvest_that_is_past_is_not_counted_on() -> None:
    (only,) = parted(Wishes((a_wish(date(2027, 9, 30)),)), date(2027, 4, 3))
    assert (only.seed, only.wood, only.notes) == ((), (), ())
