"""A season's law: moments by scipy's Beta law, and simulated seasons that its intervals must cover."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import betaln
from scipy.stats import beta, gamma

from graftwright.science.season import (
    MorePassedThanEntered,
    Season,
    SeasonFigureOutOfRange,
    SeasonLaw,
    effective_count,
    learn,
    season_weight,
)
from graftwright.science.sizing import Stage, alive


@settings(derandomize=True, deadline=None, max_examples=300)
@given(mean=st.floats(1e-6, 1 - 1e-6), worth=st.floats(0.01, 1e7), rho=st.floats(0, 0.499))
def test_the_weight_is_positive_and_bounded_for_every_mean(mean: float, worth: float, rho: float) -> None:
    weight = SeasonLaw(mean, worth, rho).weight
    assert 0 < weight <= worth
    if rho:
        assert weight <= (1 / rho - 1) * (1 + 1e-12)


@pytest.mark.parametrize(("mean", "worth", "rho"), [(0.75, 20, 0.053), (0.35, 6, 0.2), (0.95, 300, 0.01)])
def test_the_weight_has_the_variance_of_a_mean_drawn_and_then_a_season(
    mean: float, worth: float, rho: float
) -> None:
    """p given m has variance rho m (1 - m), and m is Beta: the total by scipy's expectations."""
    law = beta(mean * worth, (1 - mean) * worth)
    total = law.expect(lambda m: rho * m * (1 - m) + (m - mean) ** 2)
    weight = season_weight(worth, rho)
    assert beta(mean * weight, (1 - mean) * weight).var() == pytest.approx(total, rel=1e-7)


def test_grafts_of_one_season_count_less() -> None:
    assert effective_count(1, 0.05) == 1.0
    assert effective_count(0, 0.05) == 0.0
    assert effective_count(40, 0.0) == 40.0
    assert effective_count(10**9, 0.05) == pytest.approx(20, rel=1e-6)


def test_one_great_year_still_plans_for_a_bad_one() -> None:
    law = learn(SeasonLaw(0.75, 20, 0.05), [Season(5000, 5000)])
    assert 0.75 < law.mean < 0.9
    assert law.weight < 1 / 0.05 - 1
    (season,) = alive(100, [Stage("take", law.mean, law.weight)])
    assert season.low < 80


def test_with_fewer_than_three_seasons_the_sheet_says_how_much_they_differ() -> None:
    sheet = SeasonLaw(0.6, 12, 0.04)
    assert learn(sheet, []) == sheet
    assert learn(sheet, [Season(0, 0)]) == sheet
    assert learn(sheet, [Season(1, 30), Season(30, 30), Season(0, 0)]).rho == 0.04
    assert learn(sheet, [Season(1, 30), Season(30, 30), Season(2, 30)]).rho > 0.08
    assert learn(sheet, [Season(18, 30)] * 8).rho < 0.03
    assert learn(SeasonLaw(0.6, 12, 0.0), [Season(1, 30), Season(30, 30), Season(2, 30)]).rho == 0.0


def test_how_much_seasons_differ_is_a_posterior_mean() -> None:
    """The same integral on a grid of 400 by 400, with scipy's laws."""
    sheet, seasons = SeasonLaw(0.7, 15, 0.05), [Season(30, 40), Season(50, 90), Season(20, 22), Season(9, 30)]
    mean, rho = np.meshgrid((np.arange(400) + 0.5) / 400, (np.arange(400) + 0.5) / 800)
    log = beta(10.5, 4.5).logpdf(mean) + gamma(2, scale=0.025).logpdf(rho)
    a, b = mean * (1 / rho - 1), (1 - mean) * (1 / rho - 1)
    for s in seasons:
        log = log + betaln(a + s.passed, b + s.entered - s.passed) - betaln(a, b)
    weights = np.exp(log - log.max())
    assert learn(sheet, seasons).rho == pytest.approx((weights * rho).sum() / weights.sum(), rel=2e-3)


SHEETS = [
    SeasonLaw(0.75, 20, 0.053),
    SeasonLaw(0.6, 12, 0.04),
    SeasonLaw(0.35, 6, 0.05),
    SeasonLaw(0.9, 30, 0.03),
]


def share_covered(rng: random.Random, seasons: int, benches: int) -> float:
    """Share of benches whose next season fell between `low` and `high` of what was expected."""
    covered = 0
    for number in range(benches):
        sheet = SHEETS[number % len(SHEETS)]
        mean = rng.betavariate(sheet.mean * sheet.worth, (1 - sheet.mean) * sheet.worth)
        rho = min(0.49, rng.gammavariate(2, sheet.rho / 2))
        counts = [a_season(rng, mean, rho, rng.randint(20, 200)) for _ in range(seasons)]
        law = learn(sheet, counts)
        coming = a_season(rng, mean, rho, 200)
        (expected,) = alive(200, [Stage("take", law.mean, law.weight)])
        covered += expected.low <= coming.passed <= expected.high
    return covered / benches


def a_season(rng: random.Random, mean: float, rho: float, entered: int) -> Season:
    weight = 1 / rho - 1
    share = rng.betavariate(max(mean * weight, 1e-9), max((1 - mean) * weight, 1e-9))
    return Season(sum(rng.random() < share for _ in range(entered)), entered)


@pytest.mark.parametrize("seasons", [1, 3, 5, 10])
def test_the_next_season_falls_into_its_interval(seasons: int) -> None:
    """Three standard errors round 80 %, wider by the 3 % that the long count allows."""
    benches = 160
    band = 0.03 + 3 * math.sqrt(0.8 * 0.2 / benches)
    assert abs(share_covered(random.Random(seasons), seasons, benches) - 0.8) < band


@pytest.mark.long
@pytest.mark.timeout(1200)
@pytest.mark.parametrize("seasons", [1, 3, 5, 10])
def test_the_next_season_falls_into_its_interval_in_full(seasons: int) -> None:
    assert 0.77 <= share_covered(random.Random(100 + seasons), seasons, 4000) <= 0.83


def test_figures_no_share_can_have_are_refused() -> None:
    with pytest.raises(SeasonFigureOutOfRange) as caught:
        SeasonLaw(0.0, 20, 0.05)
    assert str(caught.value) == "A long-run share cannot be 0. Give a number between 0 and 1."
    with pytest.raises(SeasonFigureOutOfRange) as caught:
        season_weight(0, 0.05)
    assert str(caught.value) == "What a figure is worth cannot be 0. Give a number of grafts above 0."
    for rho in (-0.1, 0.5, math.nan):
        with pytest.raises(SeasonFigureOutOfRange, match="How much seasons differ"):
            effective_count(10, rho)
    with pytest.raises(MorePassedThanEntered) as wrong:
        Season(41, 40)
    assert str(wrong.value) == "Of 40 that entered, 41 cannot have passed. Correct one of the two."
