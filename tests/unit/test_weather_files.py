"""Files as stations and loggers write them: recognised, or refused with the line and the reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from graftwright.adapters.files.weather import Told, read_weather
from graftwright.errors import Trouble
from graftwright.science.series import Days, Readings, days_of, hours_of

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def written(tmp_path: Path):
    def write(text: str | bytes, encoding: str = "utf-8") -> str:
        path = tmp_path / "readings.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return str(path)

    return write


def readings(path: str, **told: str) -> Readings:
    record = read_weather(path, Told(**told)).record  # type: ignore[arg-type]
    assert isinstance(record, Readings)
    return record


def notes(path: str) -> tuple[str, ...]:
    return read_weather(path).notes


def days(path: str, **told: str) -> Days:
    record = read_weather(path, Told(**told)).record  # type: ignore[arg-type]
    assert isinstance(record, Days)
    return record


def refusal(path: str, **told: str) -> Trouble:
    with pytest.raises(Trouble) as trouble:
        read_weather(path, Told(**told))  # type: ignore[arg-type]
    return trouble.value


FOUR = ("1.5", "-0.5", "10", "2.25")
COMMA = ("1,5", "-0,5", "10", "2,25")


def lines(head: str, times: list[str], values: tuple[str, ...], between: str = ",", end: str = "\n") -> str:
    return end.join([head, *(f"{time}{between}{value}" for time, value in zip(times, values, strict=True))])


ISO = ["2024-03-30 22:00", "2024-03-30 23:00", "2024-03-31 00:00", "2024-03-31 01:00"]
HALVES = ["03/30/2024 10:00 PM", "03/30/2024 11:00 PM", "03/31/2024 12:00 AM", "03/31/2024 1:00 AM"]
OFFSETS = ["2024-03-30T21:00Z", "2024-03-30T23:00+01:00", "2024-03-31T00:00+01:00", "2024-03-31T02:00+02:00"]
SAME_FOUR = [
    lines("time,temperature_c", ISO, FOUR),
    lines("time,temperature_c", [f"{t.replace(' ', 'T')}:00" for t in ISO], FOUR, end="\r\n"),
    lines(
        "Datum;Uhrzeit;Temperatur (°C)",
        ["30.03.2024;22:00", "30.03.2024;23:00", "31.03.2024;00:00", "31.03.2024;01:00"],
        COMMA,
        between=";",
    ),
    lines("Date/Time\tAir temp. [°F]", HALVES, ("34.7", "31.1", "50", "36.05"), between="\t"),
    lines(
        'Logger 7, shelf\nserial,123\n\n"No.","Date Time, UTC","Temp, °C"',
        [f"{row},{time.replace('-', '/')}:00" for row, time in enumerate(ISO)],
        FOUR,
    ),
    lines(
        "Year,Month,Day,Hour,Temp_C", ["2024,3,30,22", "2024,3,30,23", "2024,3,30,24", "2024,3,31,1"], FOUR
    ),
    lines(
        "time;temperature_c",
        [time.replace("-", "") for time in ISO],
        ("1.5", "\u22120.5", "10.0", "2.25"),
        between=";",
    ),
    lines("timestamp,celsius", OFFSETS, FOUR),
    "\n".join(["time,temperature_c", *lines("", ISO, FOUR).split("\n")[:0:-1]]),
]


@pytest.mark.parametrize("text", SAME_FOUR)
def test_one_series_in_many_spellings(text: str, written) -> None:
    read = readings(written(text))
    hours = hours_of(read).celsius
    np.testing.assert_allclose(hours[~np.isnan(hours)], [1.5, -0.5, 10, 2.25], atol=1e-12)


@pytest.mark.parametrize("text", [text for text in SAME_FOUR if "Z" not in text])
def test_times_are_kept_as_written(text: str, written) -> None:
    expected = np.arange("2024-03-30T22", "2024-03-31T02", dtype="datetime64[h]")
    np.testing.assert_array_equal(readings(written(text)).times, expected)


def test_offsets_count_in_the_standard_time_of_the_file(written) -> None:
    """+01:00 is the smaller offset of the two; Z would be smaller still."""
    text = (
        "time,temperature_c\n2024-10-27T02:00+02:00,5\n2024-10-27T02:00+01:00,4\n2024-10-27T03:00+01:00,3\n"
    )
    expected = np.arange("2024-10-27T01", "2024-10-27T04", dtype="datetime64[h]")
    np.testing.assert_array_equal(readings(written(text)).times, expected)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_encodings(encoding: str, written) -> None:
    text = "Zeit;Temperatur in °C\n2024-01-01 00:00;3,5\n2024-01-01 01:00;4,5\n"
    np.testing.assert_array_equal(readings(written(text, encoding)).celsius, [3.5, 4.5])


def test_it_shows_how_the_file_was_read(written) -> None:
    text = (
        "Datum;Uhrzeit;Temperatur (°C)\n30.03.2024;22:00;1,5\n30.03.2024;23:00;-99\n31.03.2024;00:00;85,0\n"
    )
    assert notes(written(text)) == (
        "Read 'Temperatur (°C)' in °C, decimal comma; dates as day-month-year.",
        "2 values that no air has (a broken sensor's) count as missing.",
    )


@pytest.mark.parametrize(
    ("value", "unit"),
    [("-99", "c"), ("-99.9", "c"), ("-9999", "f"), ("-99", "f"), ("85.0", "c"), ("185", "f")],
)
def test_a_broken_sensor_counts_as_missing(value: str, unit: str, written) -> None:
    text = f"time,temperature_{unit}\n2024-01-01 00:00,50\n2024-01-01 01:00,{value}\n2024-01-01 02:00,51\n"
    assert np.isnan(readings(written(text)).celsius).tolist() == [False, True, False]


def test_85_fahrenheit_is_summer(written) -> None:
    text = "time,temperature_f\n2024-07-01 12:00,85\n2024-07-01 13:00,86\n"
    np.testing.assert_allclose(readings(written(text)).celsius, [29.444, 30], atol=1e-3)


def test_a_stuck_sensor_is_pointed_at(written) -> None:
    hours = np.arange("2024-01-01", "2024-01-05", dtype="datetime64[h]")
    lines = [f"{hour}:00,{4.5 if 10 <= row <= 58 else row / 10}" for row, hour in enumerate(hours)]
    stuck = notes(written("\n".join(["time,temperature_c", *lines])))
    assert stuck[1] == "4.5 °C stands there for 48 h from 2024-01-01 10:00 on: is the sensor stuck?"
    lines = [f"{hour}:00,{4.5 if 10 <= row <= 57 else row / 10}" for row, hour in enumerate(hours)]
    assert len(notes(written("\n".join(["time,temperature_c", *lines])))) == 1


def test_the_same_reading_twice_counts_once(written) -> None:
    text = (
        "time,temperature_c\n2024-01-01 00:00,3\n2024-01-01 00:00,3\n2024-01-01 01:00,\n2024-01-01 01:00,4\n"
    )
    read = readings(written(text))
    np.testing.assert_array_equal(read.celsius, [3, 4])
    assert notes(written(text))[1] == "2 readings stood there twice and count once."


def test_clocks_that_go_back_need_the_zone(written) -> None:
    rows = ["2024-10-27 01:30,6", "2024-10-27 02:00,5", "2024-10-27 02:30,4"]
    rows += ["2024-10-27 02:00,3", "2024-10-27 02:30,2", "2024-10-27 03:00,1"]
    path = written("\n".join(["time,temperature_c", *rows]))
    trouble = refusal(path)
    assert str(trouble) == (
        "Two readings for 2024-10-27 02:00 differ. (lines 3 and 5) "
        "Where clocks went back add --time-zone, for example Europe/Paris; else remove one."
    )
    read = readings(path, zone="Europe/Paris")
    assert read.times.astype("datetime64[m]").astype(str).tolist() == [
        f"2024-10-27T{clock}" for clock in ("00:30", "01:00", "01:30", "02:00", "02:30", "03:00")
    ]
    np.testing.assert_array_equal(read.celsius, [6, 5, 4, 3, 2, 1])


def test_clocks_that_go_forward_leave_no_gap_with_the_zone(written) -> None:
    path = written("time,temperature_c\n2024-03-31 01:00,6\n2024-03-31 03:00,5\n2024-03-31 04:00,4\n")
    assert np.isnan(hours_of(readings(path)).celsius).tolist() == [False, True, False, False]
    assert hours_of(readings(path, zone="Europe/Paris")).celsius.tolist() == [6, 5, 4]


def test_south_of_the_equator_standard_time_is_in_july(written) -> None:
    path = written("time,temperature_c\n2024-01-10 12:00,20\n2024-01-10 13:00,21\n")
    read = readings(path, zone="Australia/Sydney")
    assert str(read.times[0]) == "2024-01-10T11:00:00"


@pytest.mark.parametrize(("minutes", "expected"), [(10, [3, 9]), (15, [2, 6]), (60, [0, 1])])
def test_readings_within_the_hour_are_averaged(minutes: int, expected: list[float], written) -> None:
    times = np.arange(
        "2024-01-01T00:00", "2024-01-01T02:00", np.timedelta64(minutes, "m"), dtype="datetime64[m]"
    )
    values = [row if minutes == 60 else row * 20 // minutes / (20 // minutes) for row in range(times.size)]
    text = "\n".join(["time,temperature_c", *(f"{t},{v}" for t, v in zip(times, values, strict=True))])
    hours = hours_of(readings(written(text))).celsius
    per_hour = 60 // minutes
    by_hand = [sum(values[:per_hour]) / per_hour, sum(values[per_hour:]) / per_hour]
    np.testing.assert_allclose(hours, by_hand)
    assert len(expected) == hours.size


def test_daily_files_fill_their_gaps(written) -> None:
    read = days(written("date,tmin_c,tmax_c\n2024-02-28,1,5\n2024-03-01,2,6\n2024-03-02,,7\n"))
    assert str(read.first) == "2024-02-28"
    np.testing.assert_array_equal(read.tmin_c, [1, np.nan, 2, np.nan])
    np.testing.assert_array_equal(read.tmax_c, [5, np.nan, 6, 7])


def test_extremes_of_hours(written) -> None:
    hours = np.arange("2024-01-01T06", "2024-01-03T20", dtype="datetime64[h]")
    text = "\n".join(["time,temperature_c", *(f"{h}:00,{i / 2}" for i, h in enumerate(hours))])
    found = days_of(readings(written(text)))
    np.testing.assert_array_equal(found.tmin_c, [np.nan, 9, 21])
    np.testing.assert_array_equal(found.tmax_c, [np.nan, 20.5, 30.5])


REFUSED = [
    ("a,b\n1,2\n", "No line of the file names a time and a temperature column."),
    ("", "No line of the file names a time and a temperature column."),
    ("time,temperature_c\n", "The file holds no temperature."),
    ("time,temperature_c\n2024-01-01 00:00,\n", "The file holds no temperature."),
    ("date,tmin_c,tmax_c\n2024-01-01,,\n", "The file holds no temperature."),
    ("time,temp\n2024-01-01 00:00,3\n", "Column 'temp' does not say the unit of its temperatures."),
    (
        "time,temp1 °C,temp2 °C\n2024-01-01 00:00,3,4\n",
        "More than one column may be the temperature: 'temp1 °C', 'temp2 °C'.",
    ),
    (
        "time,temperature_c\n03/04/2024 00:00,3\n05/06/2024 01:00,3\n",
        "The date '03/04/2024' can be read in more than one way, and no date of the file decides.",
    ),
    (
        "time,temperature_c\n03.04.24 00:00,3\n13.04.24 01:00,3\n",
        "The date '03.04.24' can be read in more than one way, and no date of the file decides.",
    ),
    ("time,temperature_c\n31/02/2024 00:00,3\n", "'31/02/2024' is not a date and time."),
    ("time,temperature_c\n2024-01-01 25:00,3\n", "'2024-01-01 25:00' is not a date and time."),
    ("time,temperature_c\n2024-01-01 13:00 PM,3\n", "'2024-01-01 13:00 PM' is not a date and time."),
    ("time,temperature_c\n2024-01-01 00:00,warm\n", "'warm' is not a temperature."),
    ("time;temperature_c\n2024-01-01 00:00;1.234,5\n", "'1.234,5' is not a temperature."),
    (
        "time;temperature_c\n2024-01-01 00:00;1,5\n2024-01-01 01:00;1.5\n",
        "'1.5' has a decimal point where others of the column have a comma.",
    ),
    ("time,temperature_c\n2024-01-01 00:00,1,5\n", "The line has 3 cells where the heading has 2."),
    (
        "time,temperature_c\n2024-01-01 00:00Z,1\n2024-01-01 01:00,2\n",
        "The time '2024-01-01 01:00' has no UTC offset while others of the file have one.",
    ),
    (
        "date,tmin_c,tmax_c\n2024-01-01,5,3\n",
        "The day's lowest temperature (5 °C) lies above its highest (3 °C).",
    ),
    ('time,temperature_c\n2024-01-01 00:00,"' + "1" * 200_000, "The cells of the file cannot be told apart."),
    (
        "date,tmin_c,tmax_c\n0204-01-01,5,9\n2024-01-01,6,9\n",
        "The file goes from 0204-01-01 to 2024-01-01: a year must be wrong.",
    ),
    ("date,tmin_c,tmax_c\n2024-01-01,5,9\n2024-01-01,6,9\n", "Two readings for 2024-01-01 00:00 differ."),
]


@pytest.mark.parametrize(("text", "sentence"), REFUSED)
def test_refuses_in_one_sentence(text: str, sentence: str, written) -> None:
    trouble = refusal(written(text))
    assert trouble.sentence == sentence
    assert trouble.exit_code == 11
    assert trouble.do


def test_refusals_name_the_line(written) -> None:
    text = "a logger\n\ntime,temperature_c\n2024-01-01 00:00,1\n2024-01-01 01:00,x\n"
    assert refusal(written(text)).where == "line 5"
    text = "time,temperature_c\n2024-01-01 00:00,1\n\n2024-01-99 01:00,2\n"
    assert refusal(written(text)).where == "line 4"


def test_a_missing_file(tmp_path: Path) -> None:
    trouble = refusal(str(tmp_path / "none.csv"))
    assert trouble.exit_code == 10
    assert trouble.sentence.startswith("The file '")
    assert trouble.sentence.endswith("' cannot be read.")


@pytest.mark.parametrize(("order", "day"), [("dmy", "2024-04-03"), ("mdy", "2024-03-04")])
def test_the_person_decides_the_order(order: str, day: str, written) -> None:
    path = written("time,temperature_c\n03/04/2024 00:00,3\n05/06/2024 01:00,3\n")
    assert "Add --dates dmy or --dates mdy" in refusal(path).do
    assert str(readings(path, order=order).times[0]).startswith(day)


def test_one_late_day_decides_the_order(written) -> None:
    path = written("time,temperature_c\n03/04/2024 00:00,3\n05/13/2024 01:00,3\n")
    assert str(readings(path).times[0]) == "2024-03-04T00:00:00"


def test_the_person_chooses_the_column_and_unit(written) -> None:
    path = written("time,shelf temp,frame temp\n2024-01-01 00:00,50,14\n")
    assert readings(path, column="frame temp", unit="C").celsius.tolist() == [14]
    np.testing.assert_allclose(readings(path, column="Shelf Temp", unit="F").celsius, [10])
    assert refusal(path, column="sill").sentence == "There is no column 'sill'."


def test_a_time_that_never_was(written) -> None:
    path = written("time,temperature_c\n2024-03-31 01:30,6\n2024-03-31 02:30,5\n")
    trouble = refusal(path, zone="Europe/Paris")
    assert trouble.sentence == "2024-03-31 02:30 never was in Europe/Paris: clocks leapt over it."
    assert trouble.where == "line 3"
    assert refusal(path, zone="Mars/Base").sentence == "There is no time zone 'Mars/Base'."


GHCN_WIDE = (
    '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"\n'
    '"XX000000001","2024-01-01","-37.5","10.0","100.0","MADE UP, XX","   56",",,W","  -12",",,W"\n'
    '"XX000000001","2024-01-03","-37.5","10.0","100.0","MADE UP, XX","   61",",I,W","  -30",",,W"\n'
    '"XX000000001","2024-01-04","-37.5","10.0","100.0","MADE UP, XX","",",,","    5",",,W"\n'
)
GHCN_LONG = (
    "XX000000001,20240101,TMAX,56,,,W,0700\nXX000000001,20240101,TMIN,-12,,,W,0700\n"
    "XX000000001,20240101,PRCP,0,,,W,0700\nXX000000001,20240103,TMAX,61,,I,W,\n"
    "XX000000001,20240103,TMIN,-30,,,W,\nXX000000001,20240104,TMIN,5,,,W,\nXX000000001,20240104,TMAX,-9999,,,W,\n"
)


@pytest.mark.parametrize(
    "text",
    [GHCN_WIDE, GHCN_LONG, "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + GHCN_LONG],
)
def test_both_layouts_of_ghcn_daily_are_tenths(text: str, written) -> None:
    read = days(written(text))
    assert str(read.first) == "2024-01-01"
    np.testing.assert_allclose(read.tmin_c, [-1.2, np.nan, -3.0, 0.5])
    np.testing.assert_allclose(read.tmax_c, [5.6, np.nan, np.nan, np.nan])
    file = read_weather(written(text))
    assert file.notes == (
        "Read station XX000000001 of GHCN-Daily in tenths of °C.",
        "1 values that failed a quality check count as missing.",
    )
    assert file.latitude == (-37.5 if text is GHCN_WIDE else None)


def test_exports_whose_unit_was_chosen_are_asked_about(written) -> None:
    """The same archive, ordered with a unit of one's choice: the station's name stands second."""
    head = "STATION,NAME,DATE,TMAX,TMIN\n"
    doubtful = written(head + "XX000000001,MADE UP,2024-01-01,41,28\n")
    assert refusal(doubtful).do == "Add --unit C, --unit F or --unit tenths."
    np.testing.assert_allclose(days(doubtful, unit="F").tmax_c, [5])
    decimals = written(head + "XX000000001,MADE UP,2024-01-01,4.1,2.8\n")
    assert refusal(decimals).do == "Add --unit C or --unit F."
    sure = written(head + "XX000000001,MADE UP,2024-07-01,281,141\n")
    np.testing.assert_allclose(days(sure).tmax_c, [28.1])


def test_stations_are_not_mixed(written) -> None:
    text = GHCN_LONG + "XX000000002,20240101,TMAX,56,,,W,0700\n"
    trouble = refusal(written(text))
    assert trouble.sentence == "The file holds more than one station, XX000000001 and XX000000002."
    assert trouble.where == "line 8"


def test_a_station_does_not_contradict_itself(written) -> None:
    text = GHCN_LONG + "XX000000001,20240101,TMAX,57,,,W,0700\n"
    assert refusal(written(text)).sentence == "Two readings for 2024-01-01 differ."


def test_a_latitude_that_is_none(written) -> None:
    assert refusal(written(GHCN_WIDE.replace("-37.5", "-375"))).sentence == "'-375' is not a latitude."


def test_lines_that_end_the_old_way(written) -> None:
    np.testing.assert_array_equal(
        readings(written(SAME_FOUR[0].replace("\n", "\r"))).celsius, [1.5, -0.5, 10, 2.25]
    )
