"""Frost dates against published ones; sources in data/frost/SOURCE.md."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from graftwright.science.frost import FrostLaw, frost_law
from graftwright.science.frost_levels import empirical_level_day, level_day, month_day
from reference_rows import rows

RECORD = rows("frost", "clemson_usc00381770_1970_2001.csv")
DAYS = np.array([row["date"] for row in RECORD], dtype="datetime64[D]")
TMIN_C = (np.array([float(row["tmin_F"]) for row in RECORD]) - 32) / 1.8
PUBLISHED = rows("frost", "published_last_spring_freeze_clemson.csv")
MEANS = {36: (107.433, 12.583), 32: (93.133, 14.056), 28: (79.467, 15.213)}


def spring_1971_to_2000(fahrenheit: float) -> FrostLaw:
    chosen = (np.datetime64("1970-08-01") <= DAYS) & (np.datetime64("2000-12-31") >= DAYS)
    return frost_law(DAYS[chosen], TMIN_C[chosen], (fahrenheit - 32) / 1.8, "spring")


def day_number(text: str) -> int:
    return datetime.strptime(f"2001 {text}", "%Y %b %d").timetuple().tm_yday  # noqa: DTZ007


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda r: f"{r['threshold_F']}F")
def test_published_dates_within_a_day(row: dict[str, str]) -> None:
    law = spring_1971_to_2000(float(row["threshold_F"]))
    for tenth in range(1, 10):
        day, published = level_day(law, tenth / 10), day_number(row[f"p{tenth}0"])
        assert day is not None
        assert abs(day - published) <= 1
        empirical = empirical_level_day(law, tenth / 10)
        assert empirical is not None
        assert abs(empirical - published) <= 5


@pytest.mark.parametrize("fahrenheit", [36, 32, 28])
def test_mean_and_spread_of_thirty_springs(fahrenheit: int) -> None:
    law = spring_1971_to_2000(fahrenheit)
    assert len(law.days) == 30
    assert law.share == 1
    assert (law.mean_day, law.sd_days) == pytest.approx(MEANS[fahrenheit], abs=0.0006)


def test_every_spring_of_the_record() -> None:
    by_year = [
        float(row["day_of_year_nonleap"]) for row in rows("frost", "clemson_last_spring_32F_by_year.csv")
    ]
    assert list(spring_1971_to_2000(32).days) == by_year


def test_first_autumn_frost() -> None:
    """October 20 has one chance in five, as published; 30 autumns."""
    chosen = (np.datetime64("1971-01-01") <= DAYS) & (np.datetime64("2001-01-31") >= DAYS)
    law = frost_law(DAYS[chosen], TMIN_C[chosen], 0.0, "autumn")
    assert len(law.days) == 30
    assert (law.mean_day, law.sd_days) == pytest.approx((305.533, 15.062), abs=0.0006)
    assert month_day(level_day(law, 0.2) or 0) == "10-20"


def test_fahrenheit_thresholds_meet_records_in_tenths_of_celsius() -> None:
    """24 °F is stored as -4.4 °C: without rounding two freezes in ten are missed."""
    exact = frost_law(DAYS, TMIN_C, (24 - 32) / 1.8, "spring")
    stored = frost_law(DAYS, TMIN_C, -4.4, "spring")
    assert exact.days == stored.days
    naive = np.flatnonzero(TMIN_C <= (24 - 32) / 1.8 - 1e-9).size
    counted = np.flatnonzero(np.rint(TMIN_C * 10) <= -44).size
    assert naive < 0.9 * counted
