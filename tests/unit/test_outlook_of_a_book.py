"""The outlook of a notebook: what counts as made, passed, lost and still to come, and what can be done about it."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, Any

import pytest

from cli_bench import Session, made, small_book
from graftwright.actions.chain import chain
from graftwright.handbook.load import load_handbook
from graftwright.science.sizing import chance

if TYPE_CHECKING:
    from pathlib import Path

SHEET = "hypocotyl-closed-bag"
Book = tuple[Session, dict[str, str]]


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return small_book(tmp_path_factory.mktemp("book") / "book.graftwright")


@pytest.fixture
def book(shared: Book, tmp_path: Path) -> Book:
    """Return a copy on the evening the grafts were made."""
    session, codes = shared
    path = tmp_path / "book.graftwright"
    shutil.copy(session.notebook, path)
    return Session(path, "2027-04-03", seed=3, ids=session.ids), codes


def wish(
    session: Session, trees: int, by: str = "2027-09-30", variety: str = "Copper Bell", *more: str
) -> int:
    value = made(session, "record", "wish", variety, str(trees), "--ready-by", by, "--sheet", SHEET,
                 "--genus", "castanea", *more)  # fmt: skip
    return int(value["number"])


def seen(session: Session) -> dict[str, Any]:
    return made(session, "outlook")


def by_plan_size(trees: int, grafts: int) -> float:
    return chance(trees, grafts, chain(load_handbook().sheet(SHEET).stages, "Castanea", "first_time"))


def test_with_nothing_seen_it_is_what_sizing_says(book: Book) -> None:
    session, _ = book
    wish(session, 3)
    (one,) = seen(session)["wishes"]
    assert (one["made"], one["living"], one["done"]) == (6, 6, 0)
    assert one["chance"] == pytest.approx(by_plan_size(3, 6), abs=1e-6)
    assert one["low"] <= one["median"] <= one["high"] <= 6


def test_wishes_for_the_same_trees_are_served_in_the_order_of_their_days(book: Book) -> None:
    session, _ = book
    later, sooner = wish(session, 2, "2027-10-30"), wish(session, 1, "2027-09-30")
    found = {one["wish"]: one for one in seen(session)["wishes"]}
    assert (found[sooner]["taken_before"], found[later]["taken_before"]) == (0, 1)
    assert found[sooner]["chance"] == pytest.approx(by_plan_size(1, 6), abs=1e-6)
    assert found[later]["chance"] == pytest.approx(by_plan_size(3, 6), abs=1e-6)


def test_grafts_of_this_season_are_not_reckoned_to_a_wish_for_the_next(book: Book) -> None:
    session, _ = book
    wish(session, 2, "2028-09-30")
    (one,) = seen(session)["wishes"]
    assert (one["made"], one["chance"], one["taken_before"]) == (0, 0.0, 0)


def test_deaths_lower_it_and_living_ones_behind_a_stage_raise_it(book: Book) -> None:
    session, codes = book
    wish(session, 3)
    before = seen(session)["wishes"][0]["chance"]
    session.today = "2027-04-14"
    made(session, "record", "lose", codes["bag1"], "2", "--reason", "rotted")
    worse = seen(session)["wishes"][0]
    assert worse["living"] == 4
    assert worse["chance"] < before
    for bag in ("bag2", "bag3"):
        made(session, "record", "check", codes[bag], "--seen", "weaning=2")
    assert seen(session)["wishes"][0]["chance"] > worse["chance"]


def test_a_bad_day_of_one_variety_speaks_for_the_season_of_the_other(book: Book) -> None:
    session, codes = book
    wish(session, 3)
    other = made(session, "record", "receive", "20", "--what", "scionwood", "--of", "Amber Early",
                 "--day", "2027-02-01")["subject"]  # fmt: skip
    grafted = made(
        session, "record", "graft", "6", "--scion", other, "--stock", codes["nuts"], "--sheet", SHEET
    )
    session.today = "2027-04-20"
    before = seen(session)["wishes"][0]["chance"]
    made(session, "record", "lose", grafted["subject"], "6", "--reason", "rotted")
    assert seen(session)["wishes"][0]["chance"] < before


def test_culled_ones_are_no_deaths(book: Book) -> None:
    session, codes = book
    wish(session, 2)
    session.today = "2027-04-14"
    made(session, "record", "cull", codes["bag1"], "2", "--reason", "surplus")
    culled = seen(session)["wishes"][0]["chance"]
    assert culled == pytest.approx(by_plan_size(2, 4), abs=1e-6)


def test_given_trees_were_made_and_keep_the_promise_they_were_given_for(book: Book) -> None:
    session, codes = book
    wish(session, 3)
    made(session, "record", "promise", "Copper Bell", "2", "--to-whom", "Tam")
    (risk,) = seen(session)["promised"]
    assert (risk["trees"], risk["to_whom"], risk["at_risk"]) == (2, "Tam", True)
    session.today = "2027-07-20"
    for bag in ("bag1", "bag2"):
        made(session, "record", "plant", codes[bag])
    made(session, "record", "give", codes["bag1"], "2", "--to-whom", "tam")
    value = seen(session)
    assert value["promised"] == []
    (one,) = value["wishes"]
    assert (one["made"], one["living"], one["done"]) == (6, 4, 4)
    assert one["chance"] == 1.0


def test_more_can_be_grafted_while_there_is_wood_nuts_and_time(book: Book) -> None:
    session, codes = book
    wish(session, 2, "2027-09-30", "Copper Bell", "--sure", "0.5")
    (one,) = seen(session)["wishes"]
    assert one["top_up"] > 0
    assert one["top_up_possible"] is True, one["why_not"]
    told = session.run("outlook").out
    assert f"Graft {one['top_up']} more to make it 5 in 10: there is still time." in told
    made(session, "record", "discard", codes["wood"], "--reason", "dried=14")
    assert seen(session)["wishes"][0]["why_not"] == "no wood of Copper Bell is left"


def test_too_late_is_said_with_its_reason(book: Book) -> None:
    session, _ = book
    wish(session, 6, "2027-06-01")
    (one,) = seen(session)["wishes"]
    assert one["top_up_possible"] is False
    assert "not ready by then: they take up to" in one["why_not"]


def test_only_open_wishes_are_looked_at(book: Book) -> None:
    session, _ = book
    assert (
        session.run("outlook").out == "No wish is open. Enter one; graftwright record wish --help says how.\n"
    )
    first, second = wish(session, 3), wish(session, 4)
    made(session, "cross-out", str(first), "--reason", "no room")
    made(session, "correct", str(second), "5")
    (one,) = seen(session)["wishes"]
    assert one["trees"] == 5
    session.today = "2027-10-01"
    assert seen(session)["wishes"] == []


def test_two_varieties_of_one_season_are_looked_at_together(book: Book) -> None:
    session, codes = book
    other = made(session, "record", "receive", "20", "--what", "scionwood", "--of", "Amber Early",
                 "--day", "2027-02-01")["subject"]  # fmt: skip
    made(session, "record", "graft", "6", "--scion", other, "--stock", codes["nuts"], "--sheet", SHEET)
    wish(session, 1)
    assert seen(session)["together"] == []
    wish(session, 1, "2027-09-30", "Amber Early")
    value = seen(session)
    (both,) = value["together"]
    chances = [one["chance"] for one in value["wishes"]]
    assert chances[0] * chances[1] < both["chance"] < min(chances)  # one season's luck is shared


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("Copper Bell", "3", "--ready-by", "2027-09-30", "--sheet", "bag", "--genus", "Castanea"),
         "The handbook has no sheet 'bag'."),
        (("Copper Bell", "3", "--ready-by", "2027-09-30", "--sheet", SHEET, "--genus", "Castanea", "--sure", "1"),
         "'sure' must be from 0.01 to 0.999, not 1."),
        (("Warm shelf", "3", "--ready-by", "2027-09-30", "--sheet", SHEET, "--genus", "Castanea"),
         "'wish' is about a variety."),
        (("Copper Bell", "0", "--ready-by", "2027-09-30", "--sheet", SHEET, "--genus", "Castanea"),
         "COUNT must be a whole number of at least 1, not '0'."),
    ],
)  # fmt: skip
def test_a_wish_that_cannot_be_is_refused(book: Book, words: tuple[str, ...], sentence: str) -> None:
    session, _ = book
    told = session.run("record", "wish", *words)
    assert told.exit_code in {12, 20}
    assert sentence in told.err
    assert told.err.count("\n") <= 1
