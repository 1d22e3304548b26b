from __future__ import annotations

import json
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np
import pytest

from graftwright.cli.main import run
from reference_rows import DATA

if TYPE_CHECKING:
    from pathlib import Path

ORCHARD = str(DATA / "thermal" / "winters_walnut_orchard_hourly_2008.csv")
DAILY = str(DATA / "thermal" / "ka_daily_2005_2010.csv")
CLEMSON = str(DATA / "frost" / "clemson_usc00381770_1970_2001.csv")


@pytest.fixture
def asked(capsys: pytest.CaptureFixture[str]):
    def ask(*words: str) -> dict:
        assert run(["weather", *words], json=True) == 0
        return json.loads(capsys.readouterr().out)

    return ask


@pytest.fixture
def refused(capsys: pytest.CaptureFixture[str]):
    def ask(*words: str) -> dict:
        code = run(["weather", *words], json=True)
        error = json.loads(capsys.readouterr().out)["error"]
        return error | {"exit": code}

    return ask


@pytest.fixture
def hourly(tmp_path: Path):
    """A week at 5 °C in which the hours given are missing."""

    def write(*absent: int) -> str:
        hours = np.arange("2024-01-01", "2024-01-08", dtype="datetime64[h]")
        rows = [f"{hour}:00,5" for row, hour in enumerate(hours) if row not in absent]
        path = tmp_path / "week.csv"
        path.write_text("\n".join(["time,temperature_c", *rows]))
        return str(path)

    return write


@pytest.fixture
def frosty(tmp_path: Path):
    """A daily record of 9 °C with -1 °C on the days given."""

    def write(first: str, last: str, frosts: list[str], absent: list[str] | None = None) -> str:
        rows, day = [], date.fromisoformat(first)
        while day <= date.fromisoformat(last):
            if str(day) not in (absent or []):
                rows.append(f"{day},{-1 if str(day) in frosts else 9}")
            day += timedelta(days=1)
        path = tmp_path / "record.csv"
        path.write_text("\n".join(["date,tmin_c", *rows]))
        return str(path)

    return write


@pytest.mark.parametrize(
    ("model", "unit", "column"),
    [("hours", "h", "CH_cum"), ("utah", "units", "Utah_cum"), ("dynamic", "portions", "CP_cum")],
)
def test_chill_of_the_real_orchard(model: str, unit: str, column: str, asked) -> None:
    from reference_rows import rows

    value = asked("chill", ORCHARD, "--model", model, "--unit", "C")
    last = rows("thermal", "winters_walnut_orchard_hourly_2008.csv")[-1]
    assert set(value) == {"model", "total", "unit", "hours", "missing_hours", "notes"}
    assert value["total"] == pytest.approx(float(last[column]), abs=1e-4)
    assert (value["model"], value["unit"], value["hours"], value["missing_hours"]) == (model, unit, 6074, 0)


def test_chill_of_a_window_of_days_both_ends_in_it(asked, hourly) -> None:
    value = asked("chill", hourly(), "--model", "hours", "--from", "2024-01-02", "--to", "2024-01-03")
    assert (value["total"], value["hours"]) == (48, 48)


def test_chill_from_daily_extremes_uses_the_evening_before(asked) -> None:
    """The same nights, whether or not the file begins with the window; chillR's hours are the reference."""
    window = ["--from", "2008-10-31", "--to", "2009-03-01"]
    value = asked("chill", DAILY, "--model", "dynamic", "--unit", "C", "--latitude", "50.4", *window)
    assert value["hours"] == 2928
    assert value["total"] == pytest.approx(75.697, rel=0.015)


def test_a_daily_file_needs_its_latitude(refused) -> None:
    error = refused("chill", DAILY, "--model", "utah", "--unit", "C")
    assert (
        error["sentence"] == "A daily file needs the latitude of its place, from which the hours are rebuilt."
    )
    assert error["exit"] == 12
    error = refused("chill", DAILY, "--model", "utah", "--unit", "C", "--latitude", "70")
    assert error["sentence"] == "The latitude must be between -65 and 65 °, not 70."


def test_short_gaps_are_bridged_and_counted(asked, hourly) -> None:
    value = asked("chill", hourly(30, 31, 32, 60), "--model", "hours")
    assert (value["total"], value["hours"], value["missing_hours"]) == (168, 168, 4)


def test_long_gaps_are_refused_until_a_policy_is_named(asked, refused, hourly) -> None:
    path = hourly(30, 31, 32, 33)
    error = refused("chill", path, "--model", "hours")
    assert error["exit"] == 11
    assert error["sentence"] == "From 2024-01-02 06:00 on 4 hours are missing."
    assert error["do"] == (
        "Choose what to do: --missing bridge:4 draws a line over them, --missing skip leaves them out."
    )
    bridged = asked("chill", path, "--model", "hours", "--missing", "bridge:4")
    assert (bridged["total"], bridged["hours"], bridged["missing_hours"]) == (168, 168, 4)
    skipped = asked("chill", path, "--model", "hours", "--missing", "skip")
    assert (skipped["total"], skipped["hours"], skipped["missing_hours"]) == (164, 164, 4)


def test_a_window_wider_than_the_file_is_a_gap_nobody_can_bridge(refused, asked, hourly) -> None:
    words = ["chill", hourly(), "--model", "hours", "--to", "2024-01-09"]
    error = refused(*words, "--missing", "bridge:100")
    assert error["sentence"] == "From 2024-01-08 00:00 on 48 hours are missing."
    assert error["do"] == "Choose what to do: --missing skip leaves them out."
    assert asked(*words, "--missing", "skip")["missing_hours"] == 48


def test_whole_days_are_bridged_by_their_extremes(tmp_path: Path, asked, refused) -> None:
    path = tmp_path / "days.csv"
    path.write_text("date,tmin_c,tmax_c\n2024-01-01,2,6\n2024-01-03,2,6\n2024-01-04,2,6\n")
    words = ["chill", str(path), "--model", "hours", "--latitude", "45"]
    assert refused(*words)["sentence"] == "From 2024-01-02 00:00 on 24 hours are missing."
    value = asked(*words, "--missing", "bridge:24")
    assert (value["total"], value["hours"], value["missing_hours"]) == (96, 96, 24)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--missing", "bridge"], "'bridge' is no way to treat missing hours."),
        (["--from", "1 March"], "'1 March' is not a date."),
        (["--from", "2030-01-01"], "The days asked for hold no temperature."),
        (["--to", "2020-01-01"], "The days asked for hold no temperature."),
    ],
)
def test_options_that_cannot_be(words: list[str], sentence: str, refused, hourly) -> None:
    error = refused("chill", hourly(), "--model", "hours", *words)
    assert (error["sentence"], error["exit"]) == (sentence, 12)


def test_the_reading_is_shown(hourly, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["weather", "chill", hourly(5), "--model", "hours"], json=False) == 0
    assert capsys.readouterr().out.splitlines()[:2] == [
        "168.0 h from 168 hours; 1 missing hours bridged.",
        "Read 'temperature_c' in °C; dates as year-month-day.",
    ]


def test_degree_days_of_a_year(asked) -> None:
    """Single sine 10 to 30 °C over 2005 by another implementation; data/thermal/SOURCE.md."""
    window = ["--from", "2005-01-01", "--to", "2005-12-31"]
    words = ["degree-days", DAILY, "--unit", "C", "--base", "10", *window]
    value = asked(*words, "--upper", "30", "--method", "sine")
    assert set(value) == {"total", "days", "missing_days", "notes"}
    assert value["total"] == pytest.approx(1385.52, abs=1.0)
    assert (value["days"], value["missing_days"]) == (365, 0)
    assert asked(*words, "--method", "average")["total"] == pytest.approx(1268.90, abs=0.01)


def test_degree_days_count_the_days_that_are_missing(tmp_path: Path, asked, refused) -> None:
    path = tmp_path / "days.csv"
    path.write_text("date,tmin_c,tmax_c\n2024-01-01,2,6\n2024-01-03,2,\n2024-01-04,-2,8\n")
    words = ["degree-days", str(path), "--base", "0", "--method"]
    plain = asked(*words, "average")
    assert (plain["total"], plain["days"], plain["missing_days"]) == (7, 2, 2)
    assert asked(*words, "average-lifted")["total"] == 8
    error = refused(*words, "sine", "--upper", "0")
    assert error["sentence"] == "The upper threshold must lie above the base of 0 °C, not at 0."
    path.write_text("date,tmin_c\n2024-01-01,2\n")
    assert refused(*words, "sine")["sentence"] == "The file has no highest temperatures."


def test_frost_dates_of_the_published_record(asked) -> None:
    value = asked("frost", CLEMSON, "--threshold", "0", "--from", "1970-08-01", "--to", "2000-12-31")
    assert value["years"] == value["spring"]["years"] == 30
    assert value["share_with_frost"] == 1
    spring = value["spring"]
    assert spring["10"] == "04-21"
    assert spring["mean_day"] == pytest.approx(93.133, abs=0.001)
    assert spring["sd_days"] == pytest.approx(14.056, abs=0.001)
    assert value["autumn"]["20"] == "10-20"
    assert [value["autumn"][str(level)] for level in (10, 50, 90)] == sorted(
        value["autumn"][str(level)] for level in (10, 50, 90)
    )
    low, high = spring["intervals"]["50"]
    assert low < spring["50"] < high
    assert value["method"] == "two-part normal"


def test_levels_that_do_not_exist_are_null(asked) -> None:
    """At -8 °C three springs of 31 have no such frost: 90 % still exists, in autumn 80 % does not."""
    value = asked("frost", CLEMSON, "--threshold", "-8")
    assert value["share_with_frost"] == pytest.approx(28 / 31)
    assert value["spring"]["90"] is not None
    assert value["autumn"]["share_with_frost"] == pytest.approx(24 / 31)
    assert value["autumn"]["70"] is not None
    assert value["autumn"]["80"] is None
    assert value["autumn"]["90"] is None


def test_a_place_without_frost(asked, frosty) -> None:
    value = asked("frost", frosty("2020-01-01", "2022-12-31", []), "--threshold", "0")
    assert value["share_with_frost"] == 0
    assert value["spring"]["mean_day"] is None
    assert all(value["spring"][f"{tenth}0"] is None for tenth in range(1, 10))


def test_one_frost_has_a_day_but_no_spread(asked, frosty) -> None:
    value = asked("frost", frosty("2020-01-01", "2022-12-31", ["2021-04-10"]), "--threshold", "0")
    assert value["share_with_frost"] == pytest.approx(1 / 3)
    assert value["spring"]["mean_day"] == 100
    assert value["spring"]["sd_days"] is None
    assert value["spring"]["10"] is None


def test_a_spring_counts_with_five_missing_days_and_not_with_six(asked, frosty) -> None:
    five = [f"2021-05-{day:02}" for day in range(1, 6)]
    frosts = ["2021-03-01", "2022-03-03"]
    assert asked("frost", frosty("2021-01-01", "2022-07-01", frosts, five), "--threshold", "0")["years"] == 2
    six = [*five, "2021-05-06"]
    assert asked("frost", frosty("2021-01-01", "2022-07-01", frosts, six), "--threshold", "0")["years"] == 1


def test_a_record_may_start_and_end_inside_its_season(asked, frosty) -> None:
    value = asked(
        "frost", frosty("2021-01-01", "2022-06-30", ["2021-03-01", "2022-03-03"]), "--threshold", "0"
    )
    assert value["years"] == 2
    assert value["autumn"]["years"] == 1
    assert value["autumn"]["share_with_frost"] == 0


def test_no_complete_spring_is_refused(refused, frosty) -> None:
    error = refused("frost", frosty("2021-03-01", "2021-12-31", ["2021-04-01"]), "--threshold", "0")
    assert error["sentence"].startswith("No spring of the record is complete:")


def test_days_before_january_and_after_december(asked, frosty) -> None:
    """A mild winter's last frost on 30 December counts day -1; a first frost on 3 January day 368."""
    path = frosty("2020-07-01", "2022-07-31", ["2020-12-30", "2022-01-03"])
    value = asked("frost", path, "--threshold", "0")
    assert value["spring"]["mean_day"] == (-1 + 3) / 2
    assert value["autumn"]["mean_day"] == (364 + 368) / 2


def test_29_february_shares_a_number(asked, frosty) -> None:
    leap = asked("frost", frosty("2020-01-01", "2020-12-31", ["2020-02-29"]), "--threshold", "0")
    assert leap["spring"]["mean_day"] == 59


def test_south_of_the_equator_the_year_turns(asked, frosty) -> None:
    """Last frosts on 10 and 20 October are days 102 and 112 from 1 July, read off a calendar."""
    path = frosty("2019-07-01", "2021-06-30", ["2019-10-10", "2020-10-20", "2021-05-01"])
    value = asked("frost", path, "--threshold", "0", "--latitude", "-37")
    assert value["spring"]["years"] == 2
    assert value["spring"]["50"] == "10-15"
    assert value["spring"]["mean_day"] == (102 + 112) / 2
    assert value["autumn"]["mean_day"] == 305  # 1 May
    north = asked("frost", path, "--threshold", "0")
    assert north["spring"]["50"] != "10-15"


def test_fahrenheit_thresholds_are_rounded_like_the_record(asked, frosty) -> None:
    value = asked("frost", frosty("2020-01-01", "2022-12-31", ["2021-04-10"]), "--threshold", "-4.444")
    assert value["threshold_used_c"] == -4.4


def test_hourly_files_have_frosts_too(asked, tmp_path: Path) -> None:
    hours = np.arange("2021-01-01", "2021-07-01", dtype="datetime64[h]")
    rows = [f"{hour}:00,{-2 if str(hour) == '2021-04-10T05' else 6}" for hour in hours]
    path = tmp_path / "hours.csv"
    path.write_text("\n".join(["time,temperature_c", *rows]))
    assert asked("frost", str(path), "--threshold", "0")["spring"]["mean_day"] == 100


def test_frost_lines_for_people(frosty, capsys: pytest.CaptureFixture[str]) -> None:
    path = frosty("2020-01-01", "2022-12-31", ["2020-04-10", "2021-04-20"])
    assert run(["weather", "frost", path, "--threshold", "0"], json=False) == 0
    shown = capsys.readouterr().out.splitlines()
    assert shown[0] == "at or below 0 °C, 3 springs"
    assert shown[2].split() == ["10", "%", "04-22", "never"]
    assert shown[9].split() == ["80", "%", "never", "never"]
    assert "67 % of 3 springs had any frost." in shown


def test_the_chance_after_a_planting_day(asked, capsys: pytest.CaptureFixture[str]) -> None:
    """32 °F at Clemson: one chance in ten after 21 April, published; one in five before 20 October."""
    words = ["frost", CLEMSON, "--threshold", "0", "--from", "1971-01-01", "--to", "2000-12-31"]
    value = asked(*words, "--after", "04-21", "--before", "10-20")
    assert value["after"]["chance"] == pytest.approx(0.10, abs=0.01)
    assert value["after"]["low"] < value["after"]["chance"] < value["after"]["high"]
    assert value["before"]["chance"] == pytest.approx(0.20, abs=0.01)
    assert run(["weather", *words, "--after", "04-21"], json=False) == 0
    assert "10 % chance of 0 °C after 04-21; 30 years of record." in capsys.readouterr().out


def test_no_such_day(refused) -> None:
    error = refused("frost", CLEMSON, "--threshold", "0", "--after", "02-30")
    assert error["sentence"] == "'02-30' is not a day of the year."


def test_no_chance_without_any_frost(asked, frosty) -> None:
    value = asked("frost", frosty("2020-01-01", "2022-12-31", []), "--threshold", "0", "--after", "04-01")
    assert value["after"] == {"day": "04-01", "chance": 0.0, "low": None, "high": None}
