"""The first five minutes: from the demo to a book of one's own, twelve grafts, the next date, the first look."""

from __future__ import annotations

import re
import shutil
from typing import TYPE_CHECKING

import pytest

from graftwright import bootstrap, settings
from graftwright.web.app import ENVIRONMENT, from_environment, make_app
from web.bench import NOON, Answer, Reader

if TYPE_CHECKING:
    from pathlib import Path

    from web.conftest import Bench

NOT_YET = re.compile(r"\b(lot|place|sheet)s?\b", re.IGNORECASE)
MOST_TYPED = 40


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("TZ", "Europe/Paris")


def test_twelve_grafts_the_next_date_and_the_first_look_in_few_keys_and_plain_words(bench: Bench) -> None:
    reader, met, typed = bench.reader, [], ""

    def meet(answer: Answer) -> Answer:
        met.append(answer.text)
        return answer

    assert 'href="/first/own">Start my own book</a>' in meet(reader.get("/first")).html
    doors = meet(reader.follow(reader.fill_again(meet(reader.get("/first/own")))))
    assert "DEMO" not in doors.html
    assert "I have grafts standing here" in doors.text
    door = meet(reader.get("/first/standing"))
    typed += "12" + "Grey Marron"
    batch = meet(reader.follow(reader.fill_again(door, count="12", variety="Grey Marron")))
    assert "Grey Marron on Castanea" in batch.text
    assert "12 made 12 growing" in batch.text
    assert "Next: look at them today" in batch.text
    assert "There since 4 April; every 3 days: look for swelling, mould and moisture." in batch.text
    check = meet(reader.get(re.findall(r'href="(/check/[^"]*)"', batch.html)[0]))
    typed += "9" + "2" + "1"
    looked = meet(
        reader.follow(reader.fill_again(check, seen__callusing="9", seen__swollen="2", dead__mould="1"))
    )
    assert "12 made 1 mould 11 growing" in looked.text
    meet(reader.get("/"))
    assert len(typed) < MOST_TYPED
    assert [NOT_YET.findall(words) for words in met] == [[] for _ in met]
    with bootstrap.open_book(settings.own_notebook(), NOON).notebook.reading() as reading:
        assert reading.counted()["entries"] == 5


def test_the_own_book_keeps_what_was_answered(bench: Bench) -> None:
    values = {"name": "Withy End", "time_zone": "America/New_York", "sat": "", "fri": "yes"}
    bench.reader.fill("/first/own", **values)
    book = bootstrap.open_book(settings.own_notebook())
    assert (book.site.name, book.site.zone, book.site.free.weekdays) == (
        "Withy End", "America/New_York", ("fri", "sun"))  # fmt: skip
    assert "Withy End" in bench.reader.get("/").text


def test_a_wrong_time_zone_makes_no_book(bench: Bench) -> None:
    answer = bench.reader.fill("/first/own", time_zone="Europe/Nowhere", name="Withy End")
    assert answer.status == 422
    assert "Look again: There is no time zone 'Europe/Nowhere'." in answer.text
    assert answer.page.values["name"] == "Withy End"
    assert not settings.own_notebook().exists()


def test_the_same_start_twice_makes_one_book_and_gives_the_same_answer(bench: Bench) -> None:
    form = bench.reader.get("/first/own")
    first = bench.reader.fill_again(form)
    again = bench.reader.fill_again(form)
    assert (first.status, again.to) == (303, first.to)


def test_an_own_book_that_is_there_is_opened_and_not_made_anew(bench: Bench) -> None:
    bootstrap.new_book(settings.own_notebook(), "Mine", "Europe/Paris", None, "")
    page = bench.reader.get("/first")
    assert "Open my own book" in page.text
    assert bench.reader.fill("/first/own").to == "/first"
    assert "Mine" in bench.reader.get("/").text


def test_the_demo_takes_no_grafts_of_ones_own(bench: Bench) -> None:
    assert bench.reader.get("/first/standing").to == "/first"
    assert bench.reader.send("POST", "/first/standing", {"count": "12"}).to == "/first"


def test_door_one_sent_twice_is_written_once(own: Bench) -> None:
    form = own.reader.get("/first/standing")
    first = own.reader.fill_again(form, count="12", variety="Grey Marron")
    written = own.entries
    assert own.reader.fill_again(form, count="12", variety="Grey Marron").to == first.to
    assert own.entries == written
    other = own.reader.fill_again(form, count="13", variety="Grey Marron")
    assert (other.status, own.entries) == (409, written)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"count": ""}, "Look again: This is needed."),
        ({"count": "0"}, "Look again: This must be a whole number of at least 1"),
        ({"count": "twelve"}, "Look again: This must be a whole number of at least 1"),
        ({"variety": ""}, "Look again: Which variety is it? If you do not know, write 'unknown'."),
        ({"day": "2027-04-19"}, "19 is still to come"),
        ({"sheet": "nothing"}, "The handbook has no sheet 'nothing'."),
    ],
)
def test_a_wrong_answer_at_door_one_writes_nothing_at_all(
    own: Bench, values: dict[str, str], says: str
) -> None:
    before = own.entries
    answer = own.reader.fill("/first/standing", **({"count": "12", "variety": "Grey Marron"} | values))
    assert answer.status in {409, 422}
    assert says in answer.text
    assert own.entries == before


def test_another_tree_and_another_way_give_a_date_without_windows(own: Bench) -> None:
    page = own.reader.follow(own.reader.fill("/first/standing", count="3", variety="Tall Wenna", on="other",
                                             other_tree="Malus", sheet="plain", happened="yesterday"))  # fmt: skip
    assert "Tall Wenna on Malus" in page.text
    assert "coming in 6 days" in page.text


def test_the_environment_names_the_book_that_is_served(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(ENVIRONMENT, str(bench.path))
    assert "Fenn's bench" in Reader(from_environment()).get("/").text


def test_without_a_name_the_own_book_comes_before_the_demo(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(ENVIRONMENT, raising=False)
    settings.data_folder().mkdir(parents=True)
    shutil.copy(bench.path, settings.demo_notebook())
    assert "DEMO" in Reader(from_environment()).get("/").html
    bootstrap.new_book(settings.own_notebook(), "Mine", "Europe/Paris", None, "")
    assert "Mine" in Reader(from_environment()).get("/").text


@pytest.mark.parametrize(("hour", "day"), [(21, "Sat 17 April"), (22, "Sun 18 April")])
def test_a_new_day_begins_at_the_bench_not_at_greenwich(tmp_path: Path, hour: int, day: str) -> None:
    """Paris is two hours ahead of Greenwich in April."""
    book = bootstrap.new_book(tmp_path / "b.graftwright", "B", "Europe/Paris", None, "")
    reader = Reader(make_app(book, lambda: NOON.replace(day=17, hour=hour, minute=30)))
    assert day in reader.get("/").text
