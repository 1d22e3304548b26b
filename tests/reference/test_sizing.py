"""How many to start, against scipy's distributions, exact sums over chains, and mpmath's integrals."""

from __future__ import annotations

import math
import random
from functools import cache
from typing import TYPE_CHECKING

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import betaincc, betaincinv
from scipy.stats import betabinom, binom

from chains import left_after, pass_law, random_chain
from graftwright.science.sizing import (
    MOST,
    CertainWithWeight,
    CountOutOfRange,
    ShareOutOfRange,
    Stage,
    SureOutOfRange,
    TooFewPass,
    TooLittleKnown,
    WeightOutOfRange,
    alive,
    chance,
    how_many,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

TOLERANCE = 1e-9


def beta_stage(passing: float, failing: float, name: str = "take") -> Stage:
    return Stage(name, passing / (passing + failing), passing + failing)


def check_random_chains(rng: random.Random, cases: int) -> None:
    for _ in range(cases):
        start = rng.choice([2, 3, 5, 10, 30, 100])
        want = rng.randint(max(1, start - 3) if rng.random() < 0.4 else 1, start)
        stages = random_chain(rng, 4 if start > 30 else 12)
        exact = left_after(start, stages)[want:].sum()
        assert chance(want, start, stages) == pytest.approx(exact, abs=TOLERANCE), (want, start, stages)


def test_chains_equal_the_exact_sum_over_all_counts() -> None:
    check_random_chains(random.Random(11), 150)


@pytest.mark.long
def test_many_chains_equal_the_exact_sum_over_all_counts() -> None:
    check_random_chains(random.Random(12), 5000)


@pytest.mark.parametrize("start", [1, 2, 7, 40, 900])
@pytest.mark.parametrize(
    ("passing", "failing"), [(0.99, 0.01), (15, 5), (0.02, 0.01), (300, 700), (40, 0.01)]
)
def test_one_stage_is_scipys_beta_binomial(start: int, passing: float, failing: float) -> None:
    stage = beta_stage(passing, failing)
    wants = sorted({1, start // 3 or 1, start // 2 or 1, start - 1 or 1, start})
    found = [chance(want, start, [stage]) for want in wants]
    exact = betabinom.sf(np.array(wants) - 1, start, passing, failing)
    assert found == pytest.approx(list(exact), abs=TOLERANCE)


@cache
def legendre() -> tuple[np.ndarray, np.ndarray]:
    return np.polynomial.legendre.leggauss(600)


def one_stage_by_quadrature(want: int, start: int, passing: float, failing: float) -> float:
    """E[P(share ≥ U)] over U ~ Beta(want, start - want + 1), by scipy's incomplete beta function."""
    rest = start - want + 1
    low, high = betaincinv(want, rest, 1e-18), 1 - betaincinv(rest, want, 1e-18)
    nodes, weights = legendre()
    u = low + (high - low) * (nodes + 1) / 2
    log_density = (want - 1) * np.log(u) + (rest - 1) * np.log1p(-u)
    density = weights * np.exp(log_density - log_density.max())
    return float(density @ betaincc(passing, failing, u) / density.sum())


def check_large_counts(rng: random.Random, cases: int) -> None:
    for _ in range(cases):
        want = int(math.exp(rng.uniform(math.log(1000), math.log(100_000))))
        start = min(
            MOST, int(want * math.exp(math.exp(rng.uniform(math.log(0.001), 1.5)))) + rng.randint(1, 5)
        )
        passing, failing = (math.exp(rng.uniform(math.log(0.01), math.log(500))) for _ in range(2))
        exact = one_stage_by_quadrature(want, start, passing, failing)
        found = chance(want, start, [beta_stage(passing, failing)])
        assert found == pytest.approx(exact, abs=TOLERANCE), (want, start, passing, failing)


def test_up_to_100_000_wanted_one_stage_equals_quadrature() -> None:
    check_large_counts(random.Random(3), 200)


@pytest.mark.long
def test_up_to_100_000_wanted_one_stage_equals_quadrature_in_full() -> None:
    check_large_counts(random.Random(4), 5000)


def check_known_shares(rng: random.Random, cases: int) -> None:
    for _ in range(cases):
        start = int(math.exp(rng.uniform(math.log(2), math.log(MOST))))
        want = max(
            1, min(start - 1, rng.choice([int(start ** rng.random()), start - int(start ** rng.random())]))
        )
        likely = (want + rng.uniform(-5, 5) * math.sqrt(want * (start - want) / start)) / start
        mean = min(1 - 1e-7, max(1e-7, likely))
        found = chance(want, start, [Stage("sure", 1.0), Stage("known", mean)])
        allowed = TOLERANCE if want <= 100_000 else 5 * TOLERANCE
        assert found == pytest.approx(binom.sf(want - 1, start, mean), abs=allowed), (want, start, mean)


def test_shares_known_exactly_are_scipys_binomial() -> None:
    check_known_shares(random.Random(5), 300)


@pytest.mark.long
def test_shares_known_exactly_are_scipys_binomial_in_full() -> None:
    check_known_shares(random.Random(6), 10_000)


def chain_by_mpmath(want: int, start: int, stages: Sequence[Stage]) -> float:
    """The inversion along a straight line, by mpmath's gamma function and quadrature at 25 digits."""
    with mpmath.workdps(25):
        pairs = [(mpmath.mpf(s.mean) * s.weight, mpmath.mpf(s.weight)) for s in stages if s.weight]
        known = mpmath.fprod(s.mean for s in stages if not s.weight)
        at_rest = mpmath.loggamma(start + 1) - mpmath.loggamma(want)
        at_rest -= sum(mpmath.loggamma(a) - mpmath.loggamma(w) for a, w in pairs)

        def integrand(y: mpmath.mpf) -> mpmath.mpf:
            z = mpmath.mpc(line, y)
            log = at_rest + mpmath.loggamma(want - z) - mpmath.loggamma(start + 1 - z) + z * mpmath.log(known)
            log += sum(mpmath.loggamma(a + z) - mpmath.loggamma(w + z) for a, w in pairs)
            return (mpmath.exp(log) / z).real

        line = mpmath.mpf(min(want / 2, 3))
        edges = [0, 1, 3, 8, 20, 50, 120, 300, 700, 1500]
        return float(mpmath.quad(integrand, edges, maxdegree=7) / mpmath.pi)


MPMATH_CASES = [
    (5, 9, [Stage("a", 0.9, 20), Stage("b", 0.8)]),
    (20_000, 95_225, [Stage(f"s{i}", 0.75 + 0.03 * i, 20 + 5 * i) for i in range(7)]),
    (100_000, 250_000, [Stage("a", 0.8, 30), Stage("b", 0.7, 12), Stage("c", 0.95)]),
    (100_000, 700_000, [Stage(f"s{i}", 0.9, 40) for i in range(12)]),
]


@pytest.mark.parametrize(("want", "start", "stages"), MPMATH_CASES)
def test_long_chains_equal_mpmath(want: int, start: int, stages: list[Stage]) -> None:
    assert chance(want, start, stages) == pytest.approx(chain_by_mpmath(want, start, stages), abs=TOLERANCE)


@pytest.mark.parametrize("want", [1, 2, 50, 3000, 100_000])
def test_as_many_started_as_wanted(want: int) -> None:
    """Then none may be lost: a product of Beta moments (mpmath)."""
    stages = [Stage("a", 0.999, 400), Stage("b", 0.99, 2), Stage("c", 0.9999)]
    with mpmath.workdps(30):
        exact = mpmath.mpf(0.9999) ** want
        for s in stages[:2]:
            assert s.weight is not None
            a, b = mpmath.mpf(s.mean) * s.weight, (1 - mpmath.mpf(s.mean)) * s.weight
            exact *= mpmath.beta(a + want, b) / mpmath.beta(a, b)
    assert chance(want, want, stages) == pytest.approx(float(exact), abs=TOLERANCE)
    assert chance(want + 1, want, stages) == 0.0


def test_worked_values() -> None:
    """1.98 · 2.98 · 3.98 / (2 · 3 · 4), and 1 - (5 · 6) / (20 · 21): both by hand."""
    three = how_many(3, 0.5, [Stage("take", 0.99, 2)])
    assert (three.start, three.below) == (3, 0.0)
    assert three.chance == pytest.approx(0.978483, abs=TOLERANCE)
    one = how_many(1, 0.9, [Stage("take", 0.75, 20)])
    assert (one.start, one.chance) == (2, pytest.approx(1 - 30 / 420, abs=TOLERANCE))


@pytest.mark.parametrize("sure", [0.01, 0.5, 0.8, 0.9, 0.99])
@pytest.mark.parametrize("want", [1, 2, 13, 60])
def test_the_number_is_the_smallest(want: int, sure: float) -> None:
    """Every number from `want` on is tried with scipy's beta-binomial."""
    start = np.arange(want, 3000)
    reached = betabinom.sf(want - 1, start, 12, 8)
    first = int(np.argmax(reached >= sure))
    found = how_many(want, sure, [Stage("take", 0.6, 20)])
    assert found.start == start[first]
    assert found.chance == pytest.approx(reached[first], abs=TOLERANCE)
    assert found.below == pytest.approx(reached[first - 1] if first else 0.0, abs=TOLERANCE)


def test_a_chance_met_to_the_last_digit_is_met() -> None:
    assert how_many(1, 0.75, [Stage("take", 0.75, 20)]).start == 1
    assert how_many(4, 0.9**4, [Stage("take", 0.9)]).start == 4


def test_stages_passed_by_all_change_nothing() -> None:
    sure, plain = Stage("sorted", 1.0), Stage("take", 0.7, 9)
    assert how_many(40, 0.9, [sure, plain, sure]) == how_many(40, 0.9, [plain])
    assert how_many(40, 0.9, [sure]).start == 40
    assert how_many(40, 0.9, []).start == 40


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    want=st.integers(1, 100_000),
    more=st.integers(0, 100_000),
    step=st.integers(1, 5000),
    seed=st.integers(0, 10**6),
)
def test_the_chance_rises_with_the_number_and_falls_with_the_want(
    want: int, more: int, step: int, seed: int
) -> None:
    stages = random_chain(random.Random(seed), 12)
    usual = chance(want, want + more, stages)
    assert 0.0 <= usual <= 1.0
    assert chance(want, want + more + step, stages) >= usual - 2 * TOLERANCE
    assert chance(want + step, want + more, stages) <= usual + 2 * TOLERANCE


@settings(derandomize=True, deadline=None, max_examples=40)
@given(want=st.integers(1, 100_000), sure=st.floats(0.01, 0.995), seed=st.integers(0, 10**6))
def test_a_search_agrees_with_the_single_chances(want: int, sure: float, seed: int) -> None:
    """A path kept through a search gives what a path of its own gives."""
    rng = random.Random(seed)
    stages = [Stage(f"s{i}", rng.uniform(0.8, 0.99), rng.uniform(5, 200)) for i in range(rng.randint(1, 12))]
    found = how_many(want, sure, stages)
    assert found.chance == pytest.approx(chance(want, found.start, stages), abs=TOLERANCE)
    assert found.below <= sure <= found.chance + TOLERANCE
    if found.start > want:
        assert found.below == pytest.approx(chance(want, found.start - 1, stages), abs=TOLERANCE)


@pytest.mark.parametrize("start", [1, 2, 9, 60])
def test_counts_alive_are_the_points_of_the_exact_law(start: int) -> None:
    stages = [Stage("sprouted", 0.8, 20), Stage("bench", 0.97), Stage("take", 0.75, 6), Stage("sorted", 1.0)]
    for number, seen in enumerate(alive(start, stages), 1):
        law = left_after(start, stages[:number])
        up_to = np.cumsum(law) + 1e-12
        assert seen.name == stages[number - 1].name
        assert seen.expected == pytest.approx(law @ np.arange(start + 1), abs=1e-9)
        assert (seen.low, seen.high) == (np.argmax(up_to >= 0.1), np.argmax(up_to >= 0.9))


@pytest.mark.parametrize("start", [700, 50_000])
@pytest.mark.parametrize(("passing", "failing"), [(16, 4), (0.3, 0.2), (900, 300)])
def test_many_counts_alive_are_the_points_of_the_exact_law(
    start: int, passing: float, failing: float
) -> None:
    stage = beta_stage(passing, failing)
    (seen,) = alive(start, [stage])
    law = np.cumsum(pass_law(start, stage))
    assert (seen.low, seen.high) == (np.argmax(law >= 0.1), np.argmax(law >= 0.9))


def test_hopeless_wishes_name_the_stage_and_the_best_there_is() -> None:
    exact = one_stage_by_quadrature(10, MOST, 0.1, 0.9)
    with pytest.raises(TooLittleKnown) as caught:
        how_many(10, 0.99, [Stage("sprouted", 0.9, 3), Stage("take", 0.1, 1)])
    assert caught.value.exit_code == 14
    with pytest.raises(TooLittleKnown) as caught:
        how_many(10, 0.99, [Stage("take", 0.1, 1)])
    assert caught.value.sentence == (
        "With so little known about take no number makes you that sure; "
        f"at 10,000,000 you are {exact:.3f} sure."
    )
    with pytest.raises(TooFewPass) as few:
        how_many(100, 0.9, [Stage("sprouted", 0.5), Stage("take", 1e-6)])
    assert few.value.sentence == (
        "So few pass take that 10,000,000 are not enough; with them you are 0.000 sure."
    )


def test_what_no_stage_can_be_is_refused() -> None:
    for mean in (0.0, -0.1, 1.01, math.nan):
        with pytest.raises(ShareOutOfRange, match="The share that passes take cannot be "):
            Stage("take", mean)
    for weight in (0.0, -3.0, math.inf, math.nan):
        with pytest.raises(WeightOutOfRange, match="The season weight of take cannot be "):
            Stage("take", 0.5, weight)
    with pytest.raises(CertainWithWeight) as caught:
        Stage("take", 1.0, 20)
    assert str(caught.value) == (
        "Where all pass take there is nothing for seasons to change. "
        "Give a share below 1, or leave its season weight out."
    )


def test_counts_and_chances_out_of_range_are_refused() -> None:
    stages = [Stage("take", 0.5)]
    for want in (0, -3, MOST + 1):
        with pytest.raises(CountOutOfRange, match="The number wanted cannot be "):
            how_many(want, 0.9, stages)
    for start in (0, MOST + 1):
        with pytest.raises(CountOutOfRange, match="The number to start cannot be "):
            alive(start, stages)
        with pytest.raises(CountOutOfRange, match="The number to start cannot be "):
            chance(1, start, stages)
    for sure in (0.0, 1.0, -1.0, math.nan):
        with pytest.raises(SureOutOfRange, match="Nobody can be "):
            how_many(1, sure, stages)
