"""Edges of the temperature sums: nothing, one hour, what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from graftwright.science.chill import (
    HourWithoutTemperature,
    chill_hours,
    dynamic_portions,
    growing_degree_hours,
    utah_units,
)
from graftwright.science.degree_days import (
    DayUpsideDown,
    ThresholdsCrossed,
    average,
    average_lifted,
    single_sine,
    single_triangle,
)
from graftwright.science.gaps import bridged, gaps
from graftwright.science.hourly import hours_from_extremes

SUMS = [chill_hours, utah_units, dynamic_portions, growing_degree_hours]
METHODS = [average, average_lifted, single_triangle, single_sine]
NAN = float("nan")


@pytest.mark.parametrize("function", SUMS)
@pytest.mark.parametrize("hours", [0, 1, 7, 8, 9, 8192, 8193])
def test_any_number_of_hours(function, hours: int) -> None:
    assert function(np.full(hours, 6.0)).shape == (hours,)


@pytest.mark.parametrize("function", SUMS)
@pytest.mark.parametrize("wrong", [NAN, np.inf, -91.0, 61.0])
def test_an_impossible_hour_is_refused_by_its_number(function, wrong: float) -> None:
    with pytest.raises(HourWithoutTemperature) as trouble:
        function([5.0, 6.0, wrong])
    assert trouble.value.sentence == (
        f"The temperature of an hour must lie between -90 and 60 °C, not {wrong:g}."
    )
    assert trouble.value.where == "hour 2 of the series, counted from 0"


@pytest.mark.parametrize("celsius", [-90.0, 60.0])
def test_the_ends_of_the_range_make_no_portion(celsius: float) -> None:
    assert dynamic_portions(np.full(2000, celsius)).sum() == 0


def test_a_length_that_is_no_whole_block_changes_nothing() -> None:
    """The first hours of a long series are those of a short one."""
    celsius = 6 + 6 * np.sin(np.arange(9000) / 4)
    whole = dynamic_portions(celsius)
    for length in (100, 101, 8191, 8195, 8999):
        np.testing.assert_allclose(dynamic_portions(celsius[:length]), whole[:length], rtol=1e-12)


@pytest.mark.parametrize("function", METHODS)
def test_days_wholly_on_one_side(function) -> None:
    low, high = np.array([-5.0, 12.0, 20.0, 31.0]), np.array([9.0, 12.0, 28.0, 40.0])
    np.testing.assert_allclose(function(low, high, 10.0, 30.0), [0, 2, 14, 20])


@pytest.mark.parametrize("function", METHODS)
def test_days_that_cannot_be_are_refused(function) -> None:
    for low, high in (([1, 5], [2, 4]), ([1, NAN], [2, 4]), ([1, 2], [2, NAN])):
        with pytest.raises(DayUpsideDown) as trouble:
            function(low, high, 0.0)
        assert trouble.value.where == "day 1 of the series, counted from 0"
    with pytest.raises(ThresholdsCrossed, match="above the base of 10 °C, not at 10"):
        function([1], [2], 10.0, 10.0)


def test_gaps_at_the_ends_are_never_bridged() -> None:
    values = [NAN, 1.0, NAN, 2.0, NAN]
    assert gaps(values) == [(0, 1), (2, 1), (4, 1)]
    np.testing.assert_array_equal(bridged(values, 9), [NAN, 1.0, 1.5, 2.0, NAN])
    assert gaps([]) == []
    assert np.isnan(bridged([NAN, NAN], 9)).all()


def test_rebuilt_days_keep_their_extremes_and_join_at_midnight() -> None:
    low, high = np.array([2.0, 4.0, 3.0, 5.0]), np.array([12.0, 11.0, 13.0, 12.0])
    hours = hours_from_extremes(low, high, [80, 81, 82, 83], 45.0)
    assert (hours >= low[:, None] - 2).all()
    assert (hours.max(axis=1) <= high + 1e-9).all()
    assert (hours.max(axis=1) >= high - 0.5).all()
    assert np.abs(np.diff(hours.ravel())).max() < 4


def test_a_missing_day_leaves_its_neighbours_alone() -> None:
    low, high = np.array([2.0, NAN, 3.0]), np.array([12.0, 11.0, 13.0])
    hours = hours_from_extremes(low, high, [80, 81, 82], 45.0)
    assert np.isnan(hours[1]).all()
    assert not np.isnan(hours[[0, 2]]).any()
