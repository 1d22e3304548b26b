from __future__ import annotations

import pytest

from graftwright.science.checks import Check, CheckDoesNotAddUp, CheckOutOfPlace, check_checks
from graftwright.science.clock import Clock, Milestone

TWO = Clock((Milestone("swollen", 10.0, 0.2), Milestone("settled", 14.0, 0.2)), 0.1)


@pytest.mark.parametrize(
    ("check", "because"),
    [
        (Check(3, (0, 0), 9), "9 were looked at where 8 are alive"),
        (Check(3, (0, 0), 8, (1,)), "8 were looked at where 7 are alive"),
        (
            Check(3, (2, 3), 8),
            "more are at a milestone than at the one before it, or than were looked at",
        ),
        (
            Check(3, (5, 0), 4),
            "more are at a milestone than at the one before it, or than were looked at",
        ),
        (Check(3, (0,), 8), "it does not give one count for each of the 2 milestones"),
        (Check(3, (0, 0), 0, (1, 1, 1, 1)), "it does not give one count for each of the 2 milestones"),
        (Check(3, (0, 0), 0, (5, 4)), "more are gone than there were, or a count is below 0"),
        (Check(3, (0, -1), 8), "more are gone than there were, or a count is below 0"),
        (Check(3, (0, 0), 8, lost_anyhow=-1), "more are gone than there were, or a count is below 0"),
    ],
)
def test_a_check_that_does_not_add_up_is_refused_with_the_reason(check, because):
    with pytest.raises(CheckDoesNotAddUp) as trouble:
        check_checks(TWO, 8, [check], 20.0)
    assert str(trouble.value) == (
        f"A check does not add up: {because}. (day 3 of the clock) Correct the check or the losses before it."
    )


@pytest.mark.parametrize(("day", "first"), [(4.0, 5), (21.0, 5), (float("nan"), 5)])
def test_a_check_out_of_place_is_refused(day, first):
    with pytest.raises(CheckOutOfPlace) as trouble:
        check_checks(TWO, 8, [Check(5.0, (0, 0), 8), Check(day, (0, 0), 8)], 20.0)
    assert str(trouble.value) == (
        f"A check must lie between the check before it (day {first}) "
        f"and the end of the temperatures (day 20). (day {day:g} of the clock) "
        "Put the checks in order or give temperatures up to the last of them."
    )
