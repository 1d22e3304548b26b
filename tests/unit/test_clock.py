from __future__ import annotations

import numpy as np
import pytest

from graftwright.science.clock import (
    Clock,
    Milestone,
    PaceOutOfRange,
    clock_progress,
    relative_progress,
)
from graftwright.science.response import Response

BENCH = Response(10.0, 23.0, 32.0)
SWOLLEN = Milestone("swollen", 10.0, 0.2, BENCH)
SETTLED = Milestone("settled", 14.0, 0.2)
TWO = Clock((SWOLLEN, SETTLED), 0.1)


def test_thermal_milestones_follow_the_room_and_calendar_ones_the_days():
    cold, calendar = clock_progress(TWO, [4.0] * 48)
    assert cold[-1] == 0
    assert calendar[-1] == 2.0


def test_progress_is_straight_between_hours_and_measured_against_the_days():
    spent = clock_progress(TWO, [23.0] * 24 * 20)
    assert np.exp(relative_progress(TWO, spent, 5.0)) == pytest.approx([0.5, 5 / 14])
    assert np.exp(relative_progress(TWO, spent, 5.0 + 1 / 48)) == pytest.approx([0.50208333, 5.02083333 / 14])


def test_nothing_is_gained_on_the_first_day_at_the_first_moment_or_before_the_chill_is_met():
    spent = clock_progress(TWO, [23.0] * 24 * 20)
    assert relative_progress(TWO, spent, 0.0).tolist() == [-np.inf, -np.inf]
    waits = Clock((SWOLLEN, SETTLED), 0.1, not_before=12.0)
    assert relative_progress(waits, spent, 11.9).tolist() == [-np.inf, -np.inf]
    assert np.exp(relative_progress(waits, spent, 12.0)) == pytest.approx([1.2, 12 / 14])


@pytest.mark.parametrize(
    ("days", "spread", "sentence"),
    [
        (0, 0.2, "The days at the optimum of a pace must be above 0. (it is 0)"),
        (10, -0.1, "The spread between plants of a pace must be above 0. (it is -0.1)"),
        (float("nan"), 0.2, "The days at the optimum of a pace must be above 0. (it is nan)"),
        (10, float("inf"), "The spread between plants of a pace must be above 0. (it is inf)"),
    ],
)
def test_a_pace_that_cannot_be_is_refused(days, spread, sentence):
    with pytest.raises(PaceOutOfRange) as trouble:
        Milestone("swollen", days, spread)
    assert str(trouble.value) == f"{sentence} Correct it on the sheet or among your own values."


def test_a_clock_with_a_spread_below_0_is_refused():
    with pytest.raises(PaceOutOfRange) as trouble:
        Clock((SWOLLEN,), -0.1)
    assert str(trouble.value) == (
        "The spread between batches of a pace must be 0 or more. (it is -0.1) "
        "Correct it on the sheet or among your own values."
    )
