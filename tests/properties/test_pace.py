"""What must hold of paces and windows whatever the batch, the temperatures and the checks."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.science.cells import evenly, quotas
from graftwright.science.checks import Check
from graftwright.science.clock import Clock, Milestone, clock_progress
from graftwright.science.dates import marked_plants, windows, windows_following
from graftwright.science.laws import laws
from graftwright.science.posterior import posterior
from graftwright.science.response import Response, progress

HORIZON_DAYS = 150
steady = settings(derandomize=True, deadline=None, max_examples=60)

spreads = st.floats(0.05, 0.4)


@st.composite
def clocks(draw):
    days = sorted(draw(st.lists(st.floats(4, 30), min_size=1, max_size=3)))
    response = draw(st.sampled_from([None, Response(10.0, 23.0, 32.0)]))
    milestones = tuple(Milestone(str(j), d, draw(spreads), response) for j, d in enumerate(days))
    return Clock(milestones, draw(st.floats(0, 0.3)), draw(st.sampled_from([0.0, 12.0])))


@st.composite
def temperatures(draw):
    mean, wave = draw(st.floats(0, 38)), draw(st.floats(0, 8))
    hours = draw(st.sampled_from([0, 7, 24 * 30, 24 * HORIZON_DAYS]))
    return mean + wave * np.sin(np.arange(hours) * 2 * np.pi / 24)


@st.composite
def any_checks(draw, milestones, plants, last_day):
    """Checks that add up but need not make sense: made-up counts, some plants only, losses of any stage."""
    days = sorted(draw(st.lists(st.floats(0, last_day), max_size=4)))
    alive, checks = plants, []
    for day in days:
        lost = draw(st.lists(st.integers(0, max(alive // 4, 1)), max_size=milestones + 1))
        anyhow = draw(st.integers(0, 1))
        if sum(lost) + anyhow > alive:
            lost, anyhow = [], 0
        alive -= sum(lost) + anyhow
        seen = draw(st.one_of(st.just(alive), st.integers(0, alive)))
        counts = [draw(st.integers(0, seen)) for _ in range(milestones)]
        checks.append(Check(day, tuple(sorted(counts, reverse=True)), seen, tuple(lost), anyhow))
    return checks


@st.composite
def batches(draw):
    clock, hourly_c = draw(clocks()), draw(temperatures())
    plants = draw(st.sampled_from([1, 2, 3, 9, 40]))
    checks = draw(any_checks(len(clock.milestones), plants, len(hourly_c) / 24))
    return posterior(clock, clock_progress(clock, hourly_c), plants, checks)


def all_windows(known):
    found = [windows(known, j) for j in range(len(known.clock.milestones))]
    return [one for one in found if one is not None]


def rising(days):
    """In order; whatever lies past the horizon comes last."""
    days = [np.inf if day is None else day for day in days]
    return all(b - a > -1e-3 for a, b in pairwise(days) if a < np.inf)


@steady
@given(batches())
def test_whatever_the_checks_say_the_posterior_lives(known):
    assert abs(known.weight.sum() - 1) < 1e-9
    assert (known.weight >= 0).all()
    assert np.isfinite(known.mean)
    assert known.variance >= 0


@steady
@given(batches())
def test_earliest_likely_latest_are_in_order_and_so_are_the_plants(known):
    for found in all_windows(known):
        plants = (found.first, found.ten, found.fifty, found.ninety)
        for window in plants:
            assert rising([window.earliest, window.likely, window.latest])
        for name in ("earliest", "likely", "latest"):
            assert rising([getattr(window, name) for window in plants])


@steady
@given(batches())
def test_a_law_rises_from_0_to_1_within_the_horizon(known):
    horizon = (known.progress[0].size - 1) / 24
    for j in range(len(known.clock.milestones)):
        plants = known.counted(j)
        for law in laws(known, j, [1, plants]) if plants else ():
            assert (np.diff(law.chance) >= 0).all()
            assert (np.diff(law.day) >= 0).all()
            assert law.chance.min() >= 0
            assert law.chance.max() <= 1 + 1e-9
            assert law.day.max() <= max(horizon, known.clock.not_before) + 1e-9
            chances = [law.by(day) for day in np.linspace(0, horizon, 50)]
            assert (np.diff(chances) >= 0).all()


@steady
@given(
    st.integers(1, 40),
    spreads,
    st.floats(0, 0.3),
    st.lists(st.floats(0.5, 70), min_size=2, max_size=5, unique=True),
)
def test_one_more_check_with_nothing_passed_never_makes_a_median_earlier(plants, spread, between, days):
    clock = Clock((Milestone("swollen", 14.0, spread), Milestone("leafing", 20.0, spread)), between)
    spent = clock_progress(clock, [20.0] * 24 * HORIZON_DAYS)
    checks = [Check(day, (0, 0), plants) for day in sorted(days)]
    before, after = (posterior(clock, spent, plants, some) for some in (checks[:-1], checks))
    for j in range(2):
        assert rising([windows(before, j).fifty.likely, windows(after, j).fifty.likely])


@steady
@given(st.integers(1, 40), st.floats(11, 22), st.floats(0.1, 1.0))
def test_a_warmer_room_below_the_optimum_is_never_later(plants, temperature_c, warmer):
    clock = Clock((Milestone("swollen", 10.0, 0.2, Response(10.0, 23.0, 32.0)),), 0.1)

    def half(at):
        spent = clock_progress(clock, [at] * 24 * HORIZON_DAYS)
        return windows(posterior(clock, spent, plants, []), 0).fifty.likely

    assert rising([half(temperature_c + warmer), half(temperature_c)])


@steady
@given(batches(), st.integers(1, 30))
def test_a_clock_that_follows_is_never_there_before_it_starts(known, plants):
    if not known.counted(0):
        return
    (start,) = laws(known, 0, [1])
    clock = Clock((Milestone("rooted", 12.0, 0.2),), 0.1)
    hours = known.progress[0].size - 1
    to_come = posterior(clock, clock_progress(clock, np.full(hours, 20.0)), plants, [])
    found = windows_following(start, to_come, 0)
    for name, chance in (("earliest", 0.1), ("likely", 0.5), ("latest", 0.9)):
        assert rising([start.day_of(chance), getattr(found.first, name)])


@steady
@given(st.lists(st.floats(-30, 60), max_size=200))
def test_progress_never_falls_and_never_outruns_the_calendar(hourly_c):
    days = progress(hourly_c, Response(5.0, 24.0, 35.0))
    assert (np.diff(days) >= 0).all()
    assert (days <= np.arange(len(days)) / 24 + 1e-12).all()


@steady
@given(st.lists(st.integers(0, 9), min_size=2, max_size=4), st.data())
def test_a_check_of_some_plants_takes_each_stage_within_its_number(there, data):
    alive = sum(there)
    seen = data.draw(st.integers(0, alive))
    passed = sorted((data.draw(st.integers(0, seen)) for _ in range(len(there) - 1)), reverse=True)
    taken = quotas(np.array(there), seen, passed)
    assert sum(taken) == seen
    assert all(0 <= n <= most for n, most in zip(taken, there, strict=True))


@steady
@given(st.integers(0, 50), st.integers(0, 50))
def test_plants_are_taken_at_even_distances(count, places):
    count = min(count, places)
    taken = evenly(count, np.arange(places))
    assert len(set(taken.tolist())) == count
    if count > 1:
        gaps = np.diff(taken)
        assert gaps.max() - gaps.min() <= 1


@steady
@given(st.integers(1, 5000))
def test_marked_plants_are_those_at_or_after_their_share(plants):
    first, ten, fifty, ninety = marked_plants(plants)
    assert first == 1
    for k, share in ((ten, 10), (fifty, 50), (ninety, 90)):
        assert 100 * k >= share * plants > 100 * (k - 1)
