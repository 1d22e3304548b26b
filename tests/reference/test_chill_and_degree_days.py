"""Temperature sums against real hours, published tables and open implementations.

Sources, tolerances and how each table was made: data/thermal/SOURCE.md.
"""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from graftwright.science.chill import chill_hours, dynamic_portions, growing_degree_hours, utah_units
from graftwright.science.degree_days import average, average_lifted, single_sine, single_triangle
from graftwright.science.hourly import day_length_h, hours_from_extremes
from reference_rows import rows

HOURLY_FILES = ["winters_walnut_orchard_hourly_2008.csv", "ka_hourly_2008_11_to_2009_03.csv"]
FRUCLIMADAPT = {  # chilling hours, Utah units, portions by fruclimadapt 0.4.5, from SOURCE.md
    2006: (1562, 1215, 76.5161),
    2007: (1475, 1978, 87.8041),
    2008: (1663, 1822.5, 86.3672),
    2009: (1567, 1320, 76.0081),
    2010: (1247, 1285.5, 70.6048),
}


def column(table: list[dict[str, str]], name: str) -> np.ndarray:
    return np.array([float(row[name]) for row in table])


def days_of(table: list[dict[str, str]]) -> list[date]:
    return [date(int(row["Year"]), int(row["Month"]), int(row["Day"])) for row in table]


def day_numbers(days: list[date]) -> list[int]:
    return [day.timetuple().tm_yday for day in days]


@pytest.mark.parametrize("name", HOURLY_FILES)
def test_running_sums_over_every_hour(name: str) -> None:
    table = rows("thermal", name)
    celsius = column(table, "Temp")
    np.testing.assert_array_equal(np.cumsum(chill_hours(celsius)), column(table, "CH_cum"))
    np.testing.assert_array_equal(np.cumsum(utah_units(celsius)), column(table, "Utah_cum"))
    np.testing.assert_allclose(np.cumsum(dynamic_portions(celsius)), column(table, "CP_cum"), atol=1e-4)
    np.testing.assert_allclose(np.cumsum(growing_degree_hours(celsius)), column(table, "GDH_cum"), atol=1e-3)


def test_portions_of_the_published_winter() -> None:
    celsius = column(rows("thermal", HOURLY_FILES[1]), "Temp")
    assert float(dynamic_portions(celsius).sum()) == pytest.approx(75.69698, abs=1e-5)


@pytest.mark.parametrize("row", rows("thermal", "dynamic_model_constant_temperature.csv"))
def test_portions_at_constant_temperature(row: dict[str, str]) -> None:
    """The table counts hours elapsed: its 500th value is that of the hour after the 500th."""
    portions = dynamic_portions(np.full(1001, float(row["temp_C"])))
    assert portions[:501].sum() == pytest.approx(float(row["portions_after_500"]), abs=1e-4)
    assert portions.sum() == pytest.approx(float(row["portions_after_1000"]), abs=1e-4)
    first = np.flatnonzero(portions)
    step = float(row["first_portion_step"]) if row["first_portion_step"] else None
    assert (first[0] + 1 if first.size else None) == step


@pytest.mark.parametrize("row", rows("thermal", "dynamic_model_daily_cycles.csv"))
def test_portions_of_daily_cycles(row: dict[str, str]) -> None:
    """As above: the series stands one hour behind the hours elapsed."""
    low, high = float(row["low_C"]), float(row["high_C"])
    day = [low] * int(row["low_h"]) + [high] * int(row["high_h"])
    portions = dynamic_portions([low, *day * int(row["days"])])
    assert portions.sum() == pytest.approx(float(row["portions"]), abs=1e-4)


def test_steps_at_single_temperatures() -> None:
    utah = rows("thermal", "utah_points.csv")
    np.testing.assert_array_equal(utah_units(column(utah, "temp_C")), column(utah, "utah"))
    np.testing.assert_array_equal(chill_hours(column(utah, "temp_C")), column(utah, "chill_hour_0_7p2"))
    forcing = rows("thermal", "gdh_points.csv")
    np.testing.assert_allclose(
        growing_degree_hours(column(forcing, "temp_C")), column(forcing, "GDH"), atol=1e-6
    )


@pytest.mark.parametrize("year", sorted(FRUCLIMADAPT))
def test_winters_rebuilt_from_daily_extremes(year: int) -> None:
    """Within 2 % of chilling hours, 1.5 % of Utah units and portions of one implementation or the other."""
    table = rows("thermal", "ka_daily_2005_2010.csv")
    days = days_of(table)
    numbers = day_numbers(days)
    hours = hours_from_extremes(column(table, "Tmin"), column(table, "Tmax"), numbers, 50.4)
    inside = [
        (day.year == year - 1 and number >= 305) or (day.year == year and number <= 60)
        for day, number in zip(days, numbers, strict=True)
    ]
    winter = hours[inside].ravel()
    [chillr] = [r for r in rows("thermal", "ka_season_totals_doy305_60.csv") if r["end_year"] == str(year)]
    assert winter.size == int(chillr["hours"])
    ours = [f(winter).sum() for f in (chill_hours, utah_units, dynamic_portions)]
    theirs = [float(chillr[n]) for n in ("Chilling_Hours", "Utah", "CP_Dynamic_Model_fresh_start")]
    for mine, pair, share in zip(
        ours, zip(theirs, FRUCLIMADAPT[year], strict=True), (0.02, 0.015, 0.015), strict=True
    ):
        assert min(abs(mine / other - 1) for other in pair) <= share


def test_rebuilt_hours_of_a_real_orchard() -> None:
    measured = rows("thermal", "winters_walnut_orchard_hourly_2008.csv")
    table = rows("thermal", "winters_walnut_orchard_daily_2008.csv")
    real = {
        (int(r["Year"]), int(r["Month"]), int(r["Day"]), int(r["Hour"])): float(r["Temp"]) for r in measured
    }
    days = days_of(table)
    hours = hours_from_extremes(column(table, "Tmin"), column(table, "Tmax"), day_numbers(days), 38.5)
    errors = [
        hours[i, hour] - real[day.year, day.month, day.day, hour]
        for i, day in enumerate(days)
        for hour in range(24)
    ]
    assert len(errors) == 252 * 24
    assert float(np.sqrt(np.mean(np.square(errors)))) <= 1.8


def test_day_length() -> None:
    for row in rows("thermal", "daylength_lat50p4.csv"):
        ours = float(day_length_h(int(row["doy"]), 50.4))
        assert ours == pytest.approx(float(row["chillr_daylength_h"]), abs=0.002)
        assert ours == pytest.approx(float(row["pvlib_spa_daylength"]), abs=0.1)
        assert ours == pytest.approx(float(row["astral_daylength"]), abs=0.1)


def test_zalom_table_7() -> None:
    """Degrees Fahrenheit, thresholds 55 and 90 °F; the methods know no unit."""
    table = rows("thermal", "zalom1983_table7.csv")
    low, high = column(table, "temp_min"), column(table, "temp_max")
    np.testing.assert_allclose(single_triangle(low, high, 55, 90), column(table, "sng_tri"), atol=0.01)
    np.testing.assert_allclose(single_sine(low, high, 55, 90), column(table, "sng_sine"), atol=0.01)


def test_mcmaster_and_wilhelm_table_1() -> None:
    table = rows("thermal", "mcmaster1997_table1.csv")
    low, high = column(table, "tmin"), column(table, "tmax")
    np.testing.assert_array_equal(average(low, high, 0.0), column(table, "gdd_method1"))
    np.testing.assert_array_equal(average_lifted(low, high, 0.0), column(table, "gdd_method2"))


def test_a_year_of_degree_days_by_another_implementation() -> None:
    """Each day rounded to 0.01 by degday."""
    table = rows("thermal", "ka_gdd_2007.csv")
    low, high = column(table, "Tmin"), column(table, "Tmax")
    np.testing.assert_allclose(
        single_sine(low, high, 10, 30), column(table, "single_sine_10_30"), atol=0.0051
    )
    np.testing.assert_allclose(
        single_triangle(low, high, 10, 30), column(table, "single_triangle_10_30"), atol=0.0051
    )
    np.testing.assert_allclose(average(low, high, 10), column(table, "average_base10"), atol=0.0051)


@pytest.mark.parametrize(
    ("base", "upper", "sums"),
    [
        (10, None, [1394.08, 1532.88, 1134.44, 1108.85, 1168.81]),
        (10, 30, [1385.52, 1520.17, 1133.44, 1108.34, 1167.23]),
        (4.5, None, [2669.42, 2837.04, 2477.82, 2367.59, 2454.12]),
    ],
)
def test_five_years_of_single_sine(base: float, upper: float | None, sums: list[float]) -> None:
    table = rows("thermal", "ka_daily_2005_2010.csv")
    for year, expected in zip(range(2005, 2010), sums, strict=True):
        days = [row for row in table if row["Year"] == str(year)]
        total = single_sine(column(days, "Tmin"), column(days, "Tmax"), base, upper).sum()
        assert float(total) == pytest.approx(expected, abs=1.0)


def test_five_years_of_averages() -> None:
    table = rows("thermal", "ka_daily_2005_2010.csv")
    sums = [1268.90, 1439.85, 1027.05, 1006.80, 1084.65]
    for year, expected in zip(range(2005, 2010), sums, strict=True):
        days = [row for row in table if row["Year"] == str(year)]
        assert float(average(column(days, "Tmin"), column(days, "Tmax"), 10).sum()) == pytest.approx(
            expected, abs=0.01
        )
