"""Dates as people type them: exact, partly known, in words; every reading against the calendar."""

from __future__ import annotations

import calendar
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.ledger.days import FutureDay, UnreadableDay, read_day, read_happened

TODAY = date(2027, 4, 18)


def span(typed: str, *, southern: bool = False, today: date = TODAY) -> tuple[str, str]:
    happened = read_happened(typed, today, southern=southern)
    return happened.first.isoformat(), happened.last.isoformat()


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("", "2027-04-18"),
        ("today", "2027-04-18"),
        (" Today ", "2027-04-18"),
        ("now", "2027-04-18"),
        ("yesterday", "2027-04-17"),
        ("2027-04-10", "2027-04-10"),
        ("2024-02-29", "2024-02-29"),
        ("2027-04-10T08:30", "2027-04-10"),
        ("2027-04-10 23:59", "2027-04-10"),
        ("2027-04-10T23:59:59+02:00", "2027-04-10"),
        ("a day ago", "2027-04-17"),
        ("3 days ago", "2027-04-15"),
        ("a week ago", "2027-04-11"),
        ("two weeks ago", "2027-04-04"),
        ("about two weeks ago", "2027-04-04"),
        ("some 10 days ago", "2027-04-08"),
        ("a month ago", "2027-03-19"),
        ("ten weeks ago", "2027-02-07"),
    ],
)
def test_a_day(typed: str, day: str) -> None:
    assert span(typed) == (day, day)
    assert not read_happened(typed, TODAY).partial


@pytest.mark.parametrize(
    ("typed", "first", "last"),
    [
        ("2026-03", "2026-03-01", "2026-03-31"),
        ("2024-02", "2024-02-01", "2024-02-29"),
        ("2026-12", "2026-12-01", "2026-12-31"),
        ("2026", "2026-01-01", "2026-12-31"),
        ("spring 2026", "2026-03-01", "2026-05-31"),
        ("Spring  2026", "2026-03-01", "2026-05-31"),
        ("summer 2026", "2026-06-01", "2026-08-31"),
        ("autumn 2026", "2026-09-01", "2026-11-30"),
        ("winter 2025/26", "2025-12-01", "2026-02-28"),
        ("winter 2023/24", "2023-12-01", "2024-02-29"),
        ("winter 2025-2026", "2025-12-01", "2026-02-28"),
        ("winter 1999/00", "1999-12-01", "2000-02-29"),
        ("2027-04", "2027-04-01", "2027-04-18"),  # no further than today
        ("2027", "2027-01-01", "2027-04-18"),
        ("spring 2027", "2027-03-01", "2027-04-18"),
    ],
)
def test_a_date_partly_known_is_a_span(typed: str, first: str, last: str) -> None:
    assert span(typed) == (first, last)
    assert read_happened(typed, TODAY).partial


@pytest.mark.parametrize(
    ("typed", "first", "last"),
    [
        ("spring 2026", "2026-09-01", "2026-11-30"),
        ("summer 2025/26", "2025-12-01", "2026-02-28"),
        ("autumn 2026", "2026-03-01", "2026-05-31"),
        ("winter 2026", "2026-06-01", "2026-08-31"),
    ],
)
def test_seasons_south_of_the_equator(typed: str, first: str, last: str) -> None:
    assert span(typed, southern=True) == (first, last)


@given(st.dates(date(1900, 1, 1), TODAY))
def test_every_day_and_month_of_the_calendar(day: date) -> None:
    assert span(day.isoformat()) == (day.isoformat(), day.isoformat())
    last = min(day.replace(day=calendar.monthrange(day.year, day.month)[1]), TODAY)
    assert span(f"{day:%Y-%m}") == (day.replace(day=1).isoformat(), last.isoformat())


@given(st.integers(1, 999), st.sampled_from([("day", 1), ("week", 7), ("month", 30)]))
def test_so_long_ago(count: int, unit: tuple[str, int]) -> None:
    word, days = unit
    assert span(f"{count} {word}s ago")[0] == (TODAY - timedelta(days=count * days)).isoformat()


def test_a_month_that_began_today_is_still_only_partly_known() -> None:
    happened = read_happened("2027-04", date(2027, 4, 1))
    assert (happened.first, happened.last) == (date(2027, 4, 1), date(2027, 4, 1))
    assert happened.partial


def test_what_was_typed_is_kept() -> None:
    assert read_happened(" Spring 2026 ", TODAY).typed == "Spring 2026"
    assert read_happened("2027-04-10T08:30", TODAY).has_time
    assert not read_happened("2027-04-10", TODAY).has_time


USUAL = "Type it as 2026-04-10, 2026-04, 'spring 2026', 'yesterday' or '2 weeks ago'."


@pytest.mark.parametrize(
    ("typed", "do"),
    [
        ("soon", USUAL),
        ("10.4.2027", USUAL),
        ("4/10/2027", USUAL),
        ("10/04", USUAL),
        ("2027-02-29", USUAL),
        ("2027-13-01", USUAL),
        ("2027-00", USUAL),
        ("2027-13", USUAL),
        ("0000", USUAL),
        ("2027-4-1", USUAL),
        ("20270410", USUAL),
        ("2027-W15-5", USUAL),
        ("2027-04-10 at noon", USUAL),
        ("0 days ago", USUAL),
        ("1000 days ago", USUAL),
        ("² weeks ago", USUAL),
        ("9" * 5000 + " weeks ago", USUAL),
        ("-3 days ago", USUAL),
        ("spring", USUAL),
        ("spring 26", USUAL),
        ("tomorrow", USUAL),
        ("winter 2026", "Type 'winter 2026/27' or a month."),
        ("winter 2026/28", "Type 'winter 2026/27' or a month."),
        ("spring 2026/27", "Type 'spring 2026' or a month."),
        ("2026\x00-03", USUAL),
    ],
)
def test_what_is_no_date_or_two_is_refused(typed: str, do: str) -> None:
    with pytest.raises(UnreadableDay) as told:
        read_happened(typed, TODAY)
    assert told.value.do == do
    assert len(told.value.sentence) < 120
    assert told.value.sentence.endswith("is not a date I can read.")


def test_the_sentences() -> None:
    with pytest.raises(UnreadableDay) as told:
        read_happened("10.4.2027", TODAY)
    assert str(told.value) == f"'10.4.2027' is not a date I can read. {USUAL}"
    with pytest.raises(FutureDay) as told_of_future:
        read_happened("2027-04-19", TODAY)
    assert str(told_of_future.value) == (
        "2027-04-19 is still to come (today is 2027-04-18). "
        "A ledger holds what has happened: type the day it was done."
    )


@pytest.mark.parametrize("typed", ["2027-04-19", "2027-05", "2028", "summer 2027", "9998", "9999-12-31"])
def test_what_is_still_to_come_is_refused(typed: str) -> None:
    with pytest.raises(FutureDay):
        read_happened(typed, TODAY)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(typed: str) -> None:
    try:
        happened = read_happened(typed, TODAY)
    except (UnreadableDay, FutureDay):
        return
    assert happened.first <= happened.last <= TODAY


def test_one_exact_day_may_be_to_come() -> None:
    assert read_day(" 2031-07-01 ") == date(2031, 7, 1)


@pytest.mark.parametrize(
    "typed", ["2027-04", "spring 2027", "", "20270410", "2027-W15-5", "1.4.2027", "today"]
)
def test_one_exact_day_is_typed_one_way(typed: str) -> None:
    with pytest.raises(UnreadableDay) as told:
        read_day(typed)
    assert str(told.value) == f"'{typed}' is not a date I can read. Type it as 2026-04-10."
