"""The temperature response against the table in data/thermal (see SOURCE.md there) and its own limits."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from graftwright.science.response import (
    Response,
    ResponseOutOfOrder,
    TemperatureMissing,
    hindrance,
    progress,
    response,
)

TABLE = Path(__file__).parent / "data" / "thermal" / "beta_temperature_response.csv"
BENCH = Response(10.0, 23.0, 32.0)


def rows():
    with TABLE.open(newline="") as file:
        return [{name: float(value) for name, value in row.items()} for row in csv.DictReader(file)]


@pytest.mark.parametrize(
    "row", rows(), ids=lambda row: f"{row['tmin']:g}-{row['topt']:g} at {row['temp_C']:g}"
)
def test_response_equals_the_table_of_wang_and_engel(row):
    cardinal = Response(row["tmin"], row["topt"], row["tmax"])
    assert response(row["temp_C"], cardinal) == pytest.approx(row["wang_engel_1998"], abs=5e-9)


def test_the_table_is_complete():
    assert len(rows()) == 57


@pytest.mark.parametrize(("temperature_c", "speed"), [(-40, 0), (10, 0), (23, 1), (32, 0), (60, 0)])
def test_growth_stands_still_outside_and_is_fastest_at_the_optimum(temperature_c, speed):
    assert response(temperature_c, BENCH) == pytest.approx(speed, abs=1e-12)


def test_an_optimum_nearer_the_ceiling_or_the_base_still_gives_shares():
    for optimum in (1.0, 20.0, 39.0):
        share = response(np.linspace(-10, 50, 601), Response(0.0, optimum, 40.0))
        assert share.min() == 0
        assert share.max() == pytest.approx(1.0)


def test_progress_of_a_daily_wave_is_the_integral_of_the_response_not_that_of_the_mean():
    # Reference: scipy.integrate.quad over the stepwise temperature, hour by hour.
    hourly = 12 + 6 * np.sin(np.arange(72) * 2 * np.pi / 24)
    got = progress(hourly, BENCH)
    by_quad = [quad(lambda _, c=c: float(response(c, BENCH)), 0, 1 / 24)[0] for c in hourly]
    assert got[0] == 0
    assert got[1:] == pytest.approx(np.cumsum(by_quad))
    assert got[-1] > 1.2 * 3 * response(12.0, BENCH)


def test_cold_and_heat_stop_progress_and_say_so():
    assert progress([9.9] * 48, BENCH)[-1] == 0
    assert hindrance([23.0] * 24 + [4.0] * 24, BENCH) == "too cold"
    assert hindrance([35.0] * 24, BENCH) == "too hot"
    assert hindrance([4.0] * 23 + [11.0], BENCH) is None
    assert hindrance([], BENCH) is None


def test_no_hours_are_no_progress():
    assert progress([], BENCH).tolist() == [0.0]


def test_a_gap_is_refused_with_its_hour():
    with pytest.raises(TemperatureMissing) as trouble:
        progress([20.0, float("nan"), 20.0], BENCH)
    assert str(trouble.value) == (
        "An hour has no temperature. (hour 1 of the series, counted from 0) "
        "Fill the gap or end the series before it."
    )


@pytest.mark.parametrize("cardinal", [(10, 10, 32), (10, 32, 32), (23, 10, 32), (10, 23, float("inf"))])
def test_temperatures_that_do_not_rise_are_refused(cardinal):
    with pytest.raises(ResponseOutOfOrder, match="must rise from base to optimum to ceiling"):
        Response(*cardinal)
