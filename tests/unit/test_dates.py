from __future__ import annotations

import math

import numpy as np
import pytest

from graftwright.science.checks import Check
from graftwright.science.clock import Clock, Milestone, clock_progress
from graftwright.science.dates import look_by, marked_plants, more_than_a_fifth, windows, windows_following
from graftwright.science.laws import Law, laws
from graftwright.science.posterior import posterior
from graftwright.science.ranks import NoSuchPlant
from graftwright.science.response import Response

BENCH = Response(10.0, 23.0, 32.0)
CLOCK = Clock((Milestone("swollen", 10.0, 0.2, BENCH), Milestone("leafing", 15.0, 0.2, BENCH)), 0.1)
WARM = [23.0] * 24 * 60


def batch(*checks, plants=10, hourly_c=WARM, clock=CLOCK):
    return posterior(clock, clock_progress(clock, hourly_c), plants, checks)


def all_days(found):
    plants = (found.first, found.ten, found.fifty, found.ninety)
    return [day for window in plants for day in (window.earliest, window.likely, window.latest)]


def test_at_the_optimum_half_the_plants_are_there_after_the_days_of_the_sheet():
    assert windows(batch(plants=401), 0).fifty.likely == pytest.approx(10.0, abs=0.01)


def test_half_speed_takes_twice_as_long():
    # Wang and Engel's y (2 - y) is one half at y = 1 - sqrt(1/2); y is ((T - 10) / 13) to the power of alpha.
    alpha = math.log(2) / math.log(22 / 13)
    half_speed_c = 10 + 13 * (1 - math.sqrt(0.5)) ** (1 / alpha)
    slow = windows(batch(plants=401, hourly_c=[half_speed_c] * 24 * 60), 0)
    assert slow.fifty.likely == pytest.approx(20.0, abs=0.02)


def test_a_cold_room_gives_no_days_and_says_that_it_stands_still():
    found = windows(batch(hourly_c=[4.0] * 24 * 60), 0)
    assert all_days(found) == [None] * 12
    assert found.stalled


def test_a_room_gone_cold_keeps_the_days_already_reached():
    found = windows(batch(hourly_c=[23.0] * 24 * 9 + [4.0] * 24 * 50), 0)
    assert found.first.likely < 9
    assert found.ninety.likely is None
    assert found.stalled


def test_a_short_horizon_gives_no_days_but_does_not_stand_still():
    found = windows(batch(hourly_c=[23.0] * 24 * 5), 0)
    assert found.ninety.latest is None
    assert not found.stalled


def test_no_hours_at_all_give_no_days():
    found = windows(batch(hourly_c=[]), 0)
    assert all_days(found) == [None] * 12
    assert not found.stalled


def test_a_cold_spell_between_check_and_passing_is_not_passed_in():
    # Seen not yet there on day 8; the room is cold from day 8 to day 20.
    room = [23.0] * 24 * 8 + [5.0] * 24 * 12 + [23.0] * 24 * 30
    found = windows(batch(Check(10.0, (0, 0), 10), hourly_c=room), 0)
    assert all(day > 20 for day in all_days(found))


def test_all_passed_lie_before_the_check_and_none_passed_after_it():
    passed = windows(batch(Check(12.0, (10, 0), 10)), 0)
    assert all(day <= 12.0 for day in all_days(passed))
    waiting = windows(batch(Check(12.0, (10, 0), 10)), 1)
    assert all(day > 12.0 for day in all_days(waiting))


def test_two_plants_have_windows():
    found = windows(batch(Check(9.0, (1, 0), 2), plants=2), 0)
    assert found.first.latest <= 9.0 < found.ninety.earliest


def test_a_check_at_the_very_start_changes_nothing():
    assert all_days(windows(batch(Check(0.0, (0, 0), 10)), 0)) == pytest.approx(
        all_days(windows(batch(), 0)), abs=0.01
    )


def test_plants_said_to_have_passed_at_the_very_start_are_taken_for_a_misreading():
    wrong = windows(batch(Check(0.0, (10, 0), 10), Check(11.0, (6, 0), 10)), 1)
    right = windows(batch(Check(11.0, (6, 0), 10)), 1)
    assert wrong.fifty.likely == pytest.approx(right.fifty.likely, abs=1.0)


def test_a_check_of_another_batch_hardly_moves_the_days():
    right = [Check(8.0, (2, 0), 20), Check(10.0, (9, 0), 20), Check(12.0, (15, 3), 20)]
    wrong = [right[0], Check(9.0, (20, 20), 20), *right[1:]]
    expected, found = (windows(batch(*checks, plants=20), 1).fifty for checks in (right, wrong))
    assert found.likely == pytest.approx(expected.likely, abs=0.3)


def test_a_doubted_check_can_be_named():
    known = batch(Check(8.0, (2, 0), 20), Check(9.0, (20, 20), 20), Check(12.0, (15, 3), 20), plants=20)
    likeliest = known.readings[int(np.argmax(known.chances))]
    assert likeliest.doubted == 1


def test_what_the_last_check_saw_stands_however_unlikely():
    stuck = windows(batch(Check(8.0, (5, 0), 10), Check(15.0, (5, 0), 10)), 0)
    assert stuck.fifty.latest <= 15.0 < stuck.ninety.earliest
    sudden = windows(batch(Check(5.0, (0, 0), 10), Check(6.0, (10, 0), 10)), 0)
    assert sudden.ninety.latest <= 6.0


def test_one_plant_that_never_moves_does_not_hold_up_the_others():
    checks = [Check(9.0, (6, 0), 20), Check(12.0, (18, 3), 20), Check(15.0, (19, 12), 20)]
    late = [*checks, Check(40.0, (19, 19), 20)]
    assert posterior_mean(checks) == pytest.approx(posterior_mean(late), abs=0.05)


def posterior_mean(checks):
    return batch(*checks, plants=20).mean


def test_nobody_left_has_no_windows():
    assert windows(batch(Check(5.0, (0, 0), 0, (10,))), 0) is None
    assert windows(batch(plants=0), 0) is None


def test_those_lost_after_they_were_there_count_with_it_and_not_with_the_next():
    known = batch(Check(12.0, (8, 0), 10), Check(13.0, (6, 0), 8, (0, 2)))
    assert (known.counted(0), known.counted(1)) == (10, 8)


def test_nothing_counts_before_the_chill_is_met():
    waits = Clock(CLOCK.milestones, CLOCK.batch_spread, not_before=20.0)
    found = windows(batch(clock=waits), 0)
    assert found.first.earliest == found.fifty.earliest == 20.0


@pytest.mark.parametrize(("k", "plants"), [(0, 10), (11, 10)])
def test_a_plant_that_is_not_there_is_refused(k, plants):
    with pytest.raises(NoSuchPlant) as trouble:
        laws(batch(plants=plants), 0, [k])
    assert str(trouble.value) == f"A batch has no such plant. (plant {k} of 10) Ask for one from 1 to 10."


def test_a_plant_of_nobody_is_refused():
    with pytest.raises(NoSuchPlant) as trouble:
        laws(batch(plants=0), 0, [1])
    assert str(trouble.value) == "A batch has no such plant. (plant 1 of 0) Nothing is left to forecast."


def test_a_clock_that_cannot_start_has_no_days():
    never = Law(np.array([60.0]), np.array([0.0]))
    assert all_days(windows_following(never, batch(), 0)) == [None] * 12
    assert windows_following(never, batch(plants=0), 0) is None


def test_a_clock_that_follows_takes_its_temperatures_from_its_start():
    # Cold until day 20: a clock that starts on day 20 runs like one that starts in the warm.
    room = [4.0] * 24 * 20 + WARM
    start = Law(np.array([20.0, 20.0]), np.array([0.0, 1.0]))
    follows = windows_following(start, batch(hourly_c=room), 0)
    runs = windows(batch(), 0)
    assert all_days(follows) == pytest.approx([20 + day for day in all_days(runs)], abs=0.05)


def test_the_next_look_is_the_early_day_of_more_than_a_fifth_plus_what_they_can_wait():
    (law,) = laws(batch(plants=10), 0, [more_than_a_fifth(10)])
    assert look_by(law, 6.0) == law.day_of(0.1) + 6.0
    assert look_by(Law(np.array([9.0]), np.array([0.05])), 6.0) is None


@pytest.mark.parametrize(("plants", "marked"), [(1, (1, 1, 1, 1)), (2, (1, 1, 1, 2)), (11, (1, 2, 6, 10))])
def test_marked_plants(plants, marked):
    assert marked_plants(plants) == marked


@pytest.mark.parametrize(("plants", "k"), [(1, 1), (4, 1), (5, 2), (10, 3)])
def test_more_than_a_fifth(plants, k):
    assert more_than_a_fifth(plants) == k
    assert (k - 1) / plants <= 0.2 < k / plants
