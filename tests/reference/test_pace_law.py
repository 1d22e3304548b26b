"""Posterior and laws against direct integration with scipy, written from the formulas and not from the code.

With one milestone, no losses and every plant looked at, the checks are one multinomial over the cells
between the limits z_i = (ln P(t_i) - u) / spread, and given u the k-th of the plants still to come follows
the incomplete beta law (David and Nagaraja 2003, *Order Statistics*, section 2.1).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize, special, stats

from graftwright.science.checks import Check
from graftwright.science.clock import Clock, Milestone, clock_progress
from graftwright.science.laws import Law, laws, laws_following
from graftwright.science.posterior import WRONG_CHECK, posterior
from graftwright.science.readings import MISREAD

DAYS, SPREAD, BETWEEN = 14.0, 0.2, 0.1
CLOCK = Clock((Milestone("settled", DAYS, SPREAD),), BETWEEN)
PROGRESS = clock_progress(CLOCK, [20.0] * 24 * 120)
U = np.linspace(-8 * BETWEEN, 8 * BETWEEN, 8001)


def limit(day):
    return (np.log(day / DAYS) - U) / SPREAD


def weights(days, passed, plants):
    """One multinomial: cells between neighbouring checks, those with plants mixed with a misreading."""
    edges = [np.full(U.size, -np.inf), *(limit(day) for day in days), np.full(U.size, np.inf)]
    counts = np.diff([0, *passed, plants])
    cells = (counts > 0).sum()
    log_weight = -0.5 * (U / BETWEEN) ** 2
    for low, high, count in zip(edges[:-1], edges[1:], counts, strict=True):
        cell = special.ndtr(high) - special.ndtr(low)
        log_weight = log_weight + count * np.log((1 - MISREAD) * cell + MISREAD / cells)
    weight = np.exp(log_weight - log_weight.max())
    return weight / weight.sum()


def day_of(chance, k, left, since, weight):
    """The day by which k of those left are there with a chance; z of each is above its limit at `since`."""
    floor = special.ndtr(limit(since)) if since else np.zeros(U.size)

    def missing(day):
        q = (special.ndtr(limit(day)) - floor) / (1 - floor)
        return weight @ special.betainc(k, left - k + 1, np.clip(q, 0, 1)) - chance

    return optimize.brentq(missing, since or 1e-6, 100.0, xtol=1e-9)


def believing_all(known):
    return replace(known, readings=known.readings[:1], chances=(1.0,))


@pytest.mark.parametrize("plants", [1, 2, 8, 40, 900])
def test_before_any_check_the_law_is_the_beta_law_mixed_over_batches(plants):
    known = posterior(CLOCK, PROGRESS, plants, [])
    ks = sorted({1, (plants + 1) // 2, plants})
    for k, law in zip(ks, laws(known, 0, ks), strict=True):
        for chance in (0.1, 0.5, 0.9):
            exact = day_of(chance, k, plants, 0, weights([], [], plants))
            assert law.day_of(chance) == pytest.approx(exact, abs=2e-3)


@pytest.mark.parametrize(
    ("days", "passed", "plants"),
    [
        ([12.0], [0], 8),
        ([9.0, 11.0, 14.0], [0, 0, 0], 20),
        ([12.0, 14.0], [3, 9], 20),
        ([10.0, 12.0, 14.0, 17.0], [2, 9, 22, 36], 40),
        ([13.0], [1], 2),
        ([12.0, 14.0], [90, 260], 600),
    ],
)
def test_after_checks_posterior_and_law_equal_direct_integration(days, passed, plants):
    checks = [Check(day, (n,), plants) for day, n in zip(days, passed, strict=True)]
    known = believing_all(posterior(CLOCK, PROGRESS, plants, checks))
    weight = weights(days, passed, plants)
    mean = weight @ U
    assert known.mean == pytest.approx(mean, abs=1e-6)
    assert known.variance == pytest.approx(weight @ (U - mean) ** 2, rel=1e-4)
    left = plants - passed[-1]
    for k in sorted({1, (left + 1) // 2, left}):
        (law,) = laws(known, 0, [passed[-1] + k])
        for chance in (0.1, 0.5, 0.9):
            exact = day_of(chance, k, left, days[-1], weight)
            assert law.day_of(chance) == pytest.approx(exact, abs=2e-3)


def test_lost_plants_count_as_not_there_up_to_their_last_check():
    # Five lost unseen multiply the likelihood by (1 - Phi)^5 at day 13, the five that stay go on to day 15.
    checks = [Check(13.0, (0,), 10), Check(15.0, (2,), 5, lost=(5, 0))]
    known = believing_all(posterior(CLOCK, PROGRESS, 10, checks))
    early, late = special.ndtr(limit(13.0)), special.ndtr(limit(15.0))
    log_weight = -0.5 * (U / BETWEEN) ** 2
    for cell, count in ((late - early, 2), (1 - late, 3), (1 - early, 5)):
        log_weight = log_weight + count * np.log((1 - MISREAD) * cell + MISREAD / 3)
    weight = np.exp(log_weight - log_weight.max())
    assert known.mean == pytest.approx(weight @ U / weight.sum(), abs=1e-5)


@pytest.mark.parametrize("passed", [1, 3, 14, 16, 30])
def test_a_check_is_held_to_be_wrong_as_often_as_its_counts_are_unlikely(passed):
    # Bayes' rule: the chance of these counts under the prior against one of all 31 possible counts.
    plants, day = 30, 11.0
    known = posterior(CLOCK, PROGRESS, plants, [Check(day, (passed,), plants)])
    cells = 1 if passed == plants else 2
    cell = (1 - MISREAD) * special.ndtr(limit(day)) + MISREAD / cells
    prior = np.exp(-0.5 * (U / BETWEEN) ** 2)
    counts = stats.binom.pmf(passed, plants, cell) @ prior / prior.sum()
    right = (1 - WRONG_CHECK) * counts
    wrong = WRONG_CHECK / (plants + 1)
    doubt = wrong / (wrong + right)
    assert sum(known.chances[1:]) == pytest.approx(doubt if doubt >= 0.02 else 0.0, rel=1e-3)


def test_a_batch_without_spread_between_batches_has_one_u():
    clock = Clock((Milestone("settled", DAYS, SPREAD),), 0.0)
    known = believing_all(posterior(clock, PROGRESS, 3, [Check(12.0, (1,), 3)]))
    (law,) = laws(known, 0, [2])
    floor = special.ndtr(np.log(12 / DAYS) / SPREAD)
    # First of two left, half chance: 1 - (1 - q)^2 = 1/2.
    z = special.ndtri(floor + (1 - floor) * (1 - np.sqrt(0.5)))
    assert known.variance == 0
    assert law.day_of(0.5) == pytest.approx(DAYS * np.exp(SPREAD * z), abs=2e-3)


def test_a_clock_to_come_mixes_its_law_over_its_start():
    # Start uniform on days 10 to 14; the law of one plant is log-normal with both spreads together.
    known = posterior(CLOCK, PROGRESS, 1, [])
    (law,) = laws_following(Law(np.array([10.0, 14.0]), np.array([0.0, 1.0])), known, 0, [1])
    starts = np.linspace(10, 14, 4001)
    for chance in (0.1, 0.5, 0.9):
        exact = optimize.brentq(
            lambda day, p=chance: (
                special.ndtr(np.log((day - starts) / DAYS) / np.hypot(SPREAD, BETWEEN)).mean() - p
            ),
            14.001,
            90,
        )
        assert law.day_of(chance) == pytest.approx(exact, abs=0.01)
