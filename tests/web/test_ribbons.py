"""Ribbons, tallies and the words of days: what is drawn is what was given."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from graftwright.web.charts import Away, Check, Milestone, Ribbon, described, ribbon_columns, ribbon_rows
from graftwright.web.ribbons import AXIS, HEAD, ROW, ribbon
from graftwright.web.tallies import MOST_STROKES, tally
from graftwright.web.wording import full_day, span_words, week_day, window_words
from web.samples import RIBBON, SHORT_RIBBON, day

EMPTY = Ribbon("C3JPR-X", "Windows", day(1), "grafted", day(1), ())


def drawn(of: Ribbon) -> ET.Element:
    return ET.fromstring(ribbon(of))


def parts(of: Ribbon, kind: str) -> list[ET.Element]:
    return [part for part in drawn(of).iter() if part.get("class") == kind]


def share(value: str | None) -> float:
    assert value
    return float(value.rstrip("%")) / 100 if value.endswith("%") else float(value)


def test_the_same_days_give_the_same_drawing() -> None:
    assert ribbon(RIBBON) == ribbon(replace(RIBBON))


def test_a_window_lies_between_the_start_of_its_first_and_the_end_of_its_last_day() -> None:
    # 30 May to 18 June with a day at either end: 22 days, and the window is its days 13 to 21
    lens = parts(SHORT_RIBBON, "r-lens")[0]
    assert share(lens.get("x")) == pytest.approx(12 / 22, abs=1e-4)
    assert share(lens.get("width")) == pytest.approx(9 / 22, abs=1e-4)
    # the likely day, 13 June, is the fourth of the nine: its noon stands at 3.5 / 9 of the lens
    heart = next(part for part in lens if part.tag == "line")
    assert float(heart.get("x1") or 0) == pytest.approx(100 * 3.5 / 9, abs=0.01)


def test_today_and_each_check_stand_at_the_noon_of_their_day() -> None:
    # 27 March to 21 May is 56 days; 14 April is the 19th, the checks, latest first,
    # the 16th, 13th and 9th
    assert share(parts(RIBBON, "r-today")[0].get("x1")) == pytest.approx(18.5 / 56, abs=1e-4)
    assert [share(pin.get("cx")) for pin in parts(RIBBON, "r-pin")] == pytest.approx(
        [15.5 / 56, 12.5 / 56, 8.5 / 56], abs=1e-4
    )


def test_days_away_are_shaded_whole_and_only_where_the_ribbon_reaches() -> None:
    shaded = list(drawn(RIBBON).iter("rect"))
    assert len(shaded) == 1
    assert share(shaded[0].get("width")) == pytest.approx(5 / 56, abs=1e-4)  # 24 to 28 April
    later = replace(RIBBON, away=(Away(day(1, 9), day(9, 9)),))
    assert not list(drawn(later).iter("rect"))


def test_every_row_has_its_place_and_its_diamond_only_when_seen() -> None:
    assert len(parts(RIBBON, "r-lens")) == 4
    assert len(parts(RIBBON, "r-diamond")) == 1
    assert len(parts(RIBBON, "r-first")) == 2
    assert drawn(replace(RIBBON, away=())).get("height") == str(HEAD + 4 * ROW + AXIS)


def test_a_ribbon_without_windows_still_has_its_days() -> None:
    assert drawn(EMPTY).get("height") == str(HEAD + AXIS)
    assert not parts(EMPTY, "r-lens")
    assert len(parts(EMPTY, "r-today")) == 1


def test_a_window_of_one_day_is_a_day_wide() -> None:
    sharp = replace(EMPTY, milestones=(Milestone("potted", day(5), day(5), day(5)),))
    lens = parts(sharp, "r-lens")[0]
    days = 1 + (day(5) + timedelta(1) - (day(1) - timedelta(1))).days
    assert share(lens.get("width")) == pytest.approx(1 / max(15, days), abs=1e-4)


@pytest.mark.parametrize("length", [3, 14, 60, 200, 1100])
def test_dates_never_crowd_the_axis(length: int) -> None:
    end = day(1) + timedelta(days=length)
    long = replace(EMPTY, milestones=(Milestone("planted", day(1), end, end),))
    upper = [p for p in parts(long, "r-date") if p.get("y") == str(HEAD + ROW + 21)]
    assert 1 <= len(upper) <= 8
    places = [share(p.get("x")) for p in upper]
    # a date of two letters, or a month of three, takes at most 28 of 336 pixels
    assert all(right - left > 28 / 336 for left, right in pairwise(places))


def test_a_ribbon_of_years_names_months_and_years() -> None:
    long = replace(EMPTY, milestones=(Milestone("planted", day(1), day(1), date(2028, 3, 1)),))
    assert [p.text for p in parts(long, "r-date") if p.text] == [
        "Apr",
        "2026",
        "Jul",
        "Oct",
        "Jan",
        "2027",
        "Apr",
        "Jul",
        "Oct",
        "Jan",
        "2028",
    ]
    assert parts(long, "r-weekend") == []
    assert ribbon_rows(long)[0][3] == "1 Mar 2028"


def test_names_of_parts_differ_from_batch_to_batch() -> None:
    ids = [part.get("id") for of in (RIBBON, SHORT_RIBBON) for part in drawn(of).iter() if part.get("id")]
    assert len(ids) == len(set(ids))


def test_it_is_also_said_in_sentences() -> None:
    of = replace(EMPTY, milestones=RIBBON.milestones[:2], checks=RIBBON.checks[:1], away=RIBBON.away)
    assert described(of) == (
        "grafted 1 Apr. buds swollen: seen 8 Apr. leaves open: 10\N{EN DASH}19 April, likely Tue 14 April. "
        "Check 1, 4 Apr: 12 looked at, none swollen, air misted. Away 24\N{EN DASH}28 April. "
        "Today is Wed 1 April."
    )
    drawing = drawn(of)
    named = (drawing.get("aria-labelledby") or "").split()
    assert [part.text for part in drawing.iter() if part.get("id") in named] == [of.title, described(of)]


def test_the_table_holds_the_numbers_and_no_empty_column() -> None:
    assert ribbon_columns(SHORT_RIBBON) == ("milestone", "earliest", "likely", "latest", "seen")
    assert ribbon_rows(SHORT_RIBBON) == (("good new growth", "10 Jun", "13 Jun", "18 Jun", "not yet"),)
    assert ribbon_columns(RIBBON)[5:] == ("first plant", "10 % plant", "50 % plant", "90 % plant")
    assert ribbon_rows(RIBBON)[0] == (
        "buds swollen",
        "5 Apr",
        "8 Apr",
        "12 Apr",
        "8 Apr",
        "4 Apr (3\N{EN DASH}6 April)",
        "not known",
        "8 Apr (6\N{EN DASH}10 April)",
        "not known",
    )


def test_checks_are_numbered_as_they_came() -> None:
    of = replace(EMPTY, checks=tuple(Check(day(n), "seen") for n in (1, 4, 9)))
    assert [part.text for part in parts(of, "r-which")] == ["3", "2", "1"]


def test_checks_that_crowd_keep_their_stems_and_the_latest_its_number() -> None:
    of = replace(EMPTY, checks=tuple(Check(day(n), "seen") for n in range(1, 31)))
    assert len(parts(of, "r-stem")) == 30
    numbered = [int(part.text or "") for part in parts(of, "r-which")]
    assert numbered == list(range(30, 0, -2))


def strokes(drawing: str) -> int:
    return sum(path.count("M") for path in re.findall(r' d="([^"]*)"', drawing))


@pytest.mark.parametrize("count", range(MOST_STROKES + 1))
def test_a_tally_has_one_stroke_for_each(count: int) -> None:
    assert strokes(tally(count)) == count
    assert tally(count).count("<svg") == -(-count // 5)
    assert strokes(tally(0, count)) == count


def test_the_living_and_the_lost_are_tallied_apart() -> None:
    drawing = tally(7, 3)
    assert strokes(drawing) == 10
    assert drawing.count("<svg") == 3
    assert 'aria-label="tally: 7 growing, 3 lost"' in drawing
    assert tally(7).count("tally-gap") == 0


def test_more_than_the_eye_can_read_is_left_to_the_figure() -> None:
    assert tally(MOST_STROKES, 1) == ""
    assert tally(0) == ""


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (day(3), day(11), "3-11 April"),
        (day(3), day(3), "3 April"),
        (day(28), day(6, 5), "28 April - 6 May"),
        (date(2026, 12, 30), date(2027, 1, 2), "30 December - 2 January"),
        (date(2026, 4, 3), date(2027, 4, 5), "3 April 2026 - 5 April 2027"),
    ],
)
def test_spans_of_days_in_words(first: date, last: date, words: str) -> None:
    assert span_words(first, last) == words.replace("-", "\N{EN DASH}")


def test_days_in_words() -> None:
    # 29 February 2028 is a Tuesday (ISO 8601 week date 2028-W09-2)
    leap = date(2028, 2, 29)
    assert full_day(leap) == "Tuesday 29 February 2028"
    assert week_day(leap) == "Tue 29 February"
    assert window_words(leap, leap, leap) == "29 February, likely Tue 29 February"
