"""The last frost from a station's file beside the wish file."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import NormalDist, mean, stdev
from typing import TYPE_CHECKING

import pytest

from graftwright.actions.plan_frost import last_frost
from graftwright.actions.wish_file import Wishes, read_wishes
from graftwright.adapters.files.wish_file import read_paper
from graftwright.bootstrap import with_weather
from graftwright.errors import Trouble
from wish_texts import WISH, handbook

if TYPE_CHECKING:
    from pathlib import Path

SITE = '[site]\nweather = "station.csv"\n'
LAST = (100, 104, 118, 121, 95, 110, 107, 99)  # day of the year of the last frost, eight springs from 2001 on


def station(last: tuple[int, ...], shift: int = 0) -> str:
    """A daily file: 5 °C, and one night of -1 °C in each spring."""
    frosts = {date(2001 + n, 1, 1) + timedelta(days=day - 1 + shift) for n, day in enumerate(last)}
    first, end = date(2000, 7, 1), date(2000 + len(last), 12, 31)
    days = (first + timedelta(days=n) for n in range((end - first).days))
    return "date,tmin_c,tmax_c\n" + "".join(f"{day},{-1 if day in frosts else 5},12\n" for day in days)


def read(folder: Path, text: str, weather: str | None = None) -> Wishes:
    (folder / "wishes.toml").write_text(text)
    if weather is not None:
        (folder / "station.csv").write_text(weather)
    path = folder / "wishes.toml"
    return with_weather(read_wishes(read_paper(path), handbook()), path)


def complaint(folder: Path, text: str, weather: str | None = None) -> str:
    with pytest.raises(Trouble) as caught:
        read(folder, text, weather)
    return str(caught.value)


def test_it_is_the_day_after_which_one_spring_in_ten_has_frost(tmp_path: Path) -> None:
    # A normal law of the days: statistics.NormalDist of the standard library; 2004 and 2008 have a leap day.
    days = [day - (n in (3, 7)) for n, day in enumerate(LAST)]
    level = NormalDist(mean(days), stdev(days)).inv_cdf(0.9)
    asked = read(tmp_path, WISH + SITE, station(LAST))
    told = date(2027, 1, 1) + timedelta(days=round(level) - 1)
    assert asked.wishes[0].last_frost == told
    assert asked.notes == (
        f"Last frost {told}, from 8 springs of station.csv: 1 in 10 has 0 °C or less after it.",
    )


def test_each_wish_has_the_frost_of_its_own_spring(tmp_path: Path) -> None:
    two = WISH + WISH.replace("2027", "2028")
    first, second = (wish.last_frost for wish in read(tmp_path, two + SITE, station(LAST)).wishes)
    assert first
    assert second == first.replace(year=2028)


def test_where_hardly_any_spring_has_frost_nothing_waits(tmp_path: Path) -> None:
    asked = read(tmp_path, WISH + SITE, station((1, -170, -170, -170)).replace("-1,", "5,"))
    assert asked.wishes[0].last_frost is None
    assert asked.notes == (
        "In 4 springs of station.csv too few had frost to wait for one: hardening waits for none.",
    )


@pytest.mark.parametrize(
    ("by", "told"),
    [
        (date(2027, 7, 1), date(2027, 10, 8)),
        (date(2027, 12, 31), date(2027, 10, 8)),
        (date(2028, 6, 30), date(2027, 10, 8)),
    ],
)
def test_south_of_the_equator_the_year_begins_in_july(by: date, told: date) -> None:
    assert last_frost(by, 100.0, south=True) == told


def test_a_spring_before_new_year_and_a_leap_year() -> None:
    assert last_frost(date(2027, 6, 1), -3.0, south=False) == date(2026, 12, 28)
    assert last_frost(date(2028, 6, 1), 100.0, south=False) == date(2028, 4, 10)


def test_a_latitude_south_turns_the_year(tmp_path: Path) -> None:
    south = SITE.replace("weather", "latitude = -41.0\nweather")
    (wish,) = read(tmp_path, WISH + south, station(LAST, shift=-181)).wishes
    assert wish.last_frost
    assert wish.last_frost.month in (10, 11)
    assert wish.last_frost.year == 2026


def test_a_file_that_cannot_be_used_is_told_with_the_line_of_the_wish_file(tmp_path: Path) -> None:
    assert complaint(tmp_path, WISH + SITE) == (
        "No last frost can be taken from 'station.csv': it cannot be read. (wishes.toml, line 9) "
        "Put the file right, or give 'last_frost' instead."
    )
    assert complaint(tmp_path, WISH + SITE, "date,tmin_c,tmax_c\n2001-01-01,cold,12\n").startswith(
        "No last frost can be taken from 'station.csv': "
    )
    assert "no spring of the record is complete" in complaint(tmp_path, WISH + SITE, station(LAST)[:2000])
    assert "no line of the file names a time" in complaint(tmp_path, WISH + SITE, "nothing\nhere\n")


def test_a_day_and_a_file_are_one_too_many(tmp_path: Path) -> None:
    both = WISH + SITE + "last_frost = 2027-05-04\n"
    assert complaint(tmp_path, both, station(LAST)) == (
        "Both 'last_frost' and 'weather' say when the last frost is. (wishes.toml, line 9) Leave one of them out."
    )
