"""Designs and tests of trials against R and published values: data/trial_design/SOURCE.md."""

from __future__ import annotations

from itertools import combinations
from math import comb

import numpy as np
import pytest

from findings_data import expected, rows_of
from graftwright.science.trials.bags import bag_permutation_p, subset_sums
from graftwright.science.trials.blocks import block_p, common_odds_ratio
from graftwright.science.trials.boschloo import (
    boschloo_design,
    boschloo_p,
    fisher_power,
    largest_region,
    normal_number,
)
from graftwright.science.trials.fisher import fisher_p_values
from graftwright.science.trials.intervals import difference, wilson
from graftwright.science.trials.lay_out import lay_out
from graftwright.science.trials.read import holm
from graftwright.science.trials.simulate import DRAWS, Bench, bag_rejections, block_rejections
from graftwright.science.trials.size import bags, within

REFERENCE = expected("trial_design")


@pytest.mark.parametrize(
    ("usual", "better", "power", "per_arm"),
    [(0.65, 0.85, 0.8, 74), (0.4, 0.6, 0.9, 134), (0.9, 0.97, 0.8, 197)],
)
def test_how_many_grafts_an_arm_needs(usual: float, better: float, power: float, per_arm: int) -> None:
    design = boschloo_design(usual, better, power, 0.05)
    assert abs(design.per_arm - per_arm) <= 2
    assert design.power >= power
    assert design.size <= 0.05 + 1e-6


def enumerated(per_arm: int, alpha: float) -> list[tuple[int, int]]:
    """Tables that Boschloo's test rejects, by plain sums over a grid of 999 rates; nothing of the package."""
    made = range(per_arm + 1)
    ways = [comb(per_arm, x) for x in made]
    weight = {(x, y): ways[x] * ways[y] for x in made for y in made}
    fisher = {
        (x, y): sum(
            weight[other, x + y - other]
            for other in range(max(0, x + y - per_arm), min(per_arm, x + y) + 1)
            if weight[other, x + y - other] <= weight[x, y]
        )
        / comb(2 * per_arm, x + y)
        for x in made
        for y in made
    }
    inside: list[tuple[int, int]] = []
    for level in sorted({round(p, 12) for p in fisher.values()}):
        tried = [table for table, p in fisher.items() if p <= level * (1 + 1e-9)]
        by_total = [sum(weight[x, y] for x, y in tried if x + y == total) for total in range(2 * per_arm + 1)]
        rates = np.arange(1, 1000) / 1000
        totals = np.arange(2 * per_arm + 1)
        chances = rates[:, None] ** totals * (1 - rates[:, None]) ** (2 * per_arm - totals)
        if (chances @ np.array(by_total, dtype=float)).max() > alpha:
            break
        inside = tried
    return inside


@pytest.mark.parametrize("per_arm", [4, 9, 15])
def test_the_rejected_tables_are_those_of_a_plain_enumeration(per_arm: int) -> None:
    ours = {tuple(table) for table in np.argwhere(largest_region(per_arm, 0.05)).tolist()}
    assert ours == set(enumerated(per_arm, 0.05))


def test_exact_power_of_fishers_test() -> None:
    for design, power in REFERENCE["exact_power_fisher_two_sided_0.05"].items():
        number, usual, _, better = design.removeprefix("n=").split()
        assert fisher_power(int(number), float(usual), float(better), 0.05) == pytest.approx(power, rel=1e-6)


def test_the_normal_number_where_the_search_starts() -> None:
    table = REFERENCE["sample_size_two_proportions_per_group_alpha_0.05_two_sided_power_prop_test"]
    for rates, numbers in table.items():
        usual, better = map(float, rates.split())
        assert normal_number(usual, better, 0.8, 0.05) == pytest.approx(numbers["n80"], rel=1e-3)
        assert normal_number(usual, better, 0.9, 0.05) == pytest.approx(numbers["n90"], rel=1e-3)


def test_fishers_p() -> None:
    (a, b), (c, d) = REFERENCE["fisher_convictions"]["table"]
    p = REFERENCE["fisher_convictions"]["p_two_sided"]
    assert fisher_p_values(a + b, c + d)[a, c] == pytest.approx(p, rel=1e-6)
    # the tea tasting is given one-sided; its table is symmetric, so two-sided is twice that
    one_sided = REFERENCE["fisher_tea_tasting_one_sided"]["p"]
    assert fisher_p_values(4, 4)[3, 1] == pytest.approx(2.0 * one_sided, rel=1e-6)


def test_boschloo_never_says_less_than_fisher() -> None:
    for taken in ((7, 2), (8, 8), (0, 8), (5, 3), (1, 1)):
        assert boschloo_p(taken, (8, 8)) <= fisher_p_values(8, 8)[taken] + 1e-12


def test_intervals_of_a_share() -> None:
    for name, (low, high) in REFERENCE["single_proportion_intervals_published_newcombe_1998_wilson"].items():
        taken, made = map(int, name.split("/"))
        assert wilson(taken, made, 0.95) == pytest.approx((low, high), abs=5e-5)
    for name, kinds in REFERENCE["single_proportion_intervals_R"].items():
        taken, made = map(int, name.split("/"))
        assert wilson(taken, made, 0.95) == pytest.approx(kinds["wilson"], rel=1e-6, abs=1e-8)


def test_intervals_of_a_difference() -> None:
    """Newcombe (1998), Stat. Med. 17:873-890, Table II, method 10."""
    for a, m, b, n, low, high in REFERENCE["difference_newcombe_1998_table_II_method_10"]:
        assert difference((a, b), (m, n), 0.95) == pytest.approx((low, high), abs=5e-5)


def test_plum_cuttings_common_odds_ratio() -> None:
    """Bartlett's plum cuttings, planted now against spring, given length: 4.177 (3.132 to 5.572)."""
    theirs = expected("take_rate")["bartlett_plum"]["mantel_haenszel_time_given_length"]
    alive = {
        (row["Time"], row["Length"]): int(row["Freq"])
        for row in rows_of("take_rate", "bartlett_plum_cuttings.csv")
        if row["Alive"] == "Alive"
    }
    taken = [(alive["Now", length], alive["Spring", length]) for length in ("Long", "Short")]
    found = common_odds_ratio(taken, [(240, 240)] * 2, level=0.95)
    assert found.ratio == pytest.approx(theirs["common_odds_ratio_MH"], rel=1e-6)
    assert (found.low, found.high) == pytest.approx(theirs["ci_MH"], rel=1e-6)


def test_pairs_in_bags_are_mcnemars_exact_test() -> None:
    """R's approval ratings: 150 and 86 pairs that differ."""
    (_, b), (c, _) = REFERENCE["mcnemar_approval"]["table"]
    p = block_p([(1, 0)] * b + [(0, 1)] * c + [(1, 1)] * 40, [(1, 1)] * (b + c + 40))
    assert p == pytest.approx(REFERENCE["mcnemar_approval"]["exact_p"], rel=1e-6)


def test_one_bag_of_both_arms_is_fishers_test() -> None:
    (a, b), (c, d) = REFERENCE["fisher_convictions"]["table"]
    p = REFERENCE["fisher_convictions"]["p_two_sided"]
    assert block_p([(a, c)], [(a + b, c + d)]) == pytest.approx(p, rel=1e-6)


def test_several_comparisons() -> None:
    assert holm([0.01, 0.02, 0.03, 0.04, 0.05]) == pytest.approx(REFERENCE["holm_adjust_0.01_to_0.05"])


@pytest.mark.parametrize(
    ("taken", "made"), [([2, 1, 2, 0, 0, 1], [2] * 6), ([3, 1, 2, 0, 2, 1, 4, 0], [4, 2, 3, 3, 4, 4, 5, 2])]
)
def test_bags_given_in_every_way_there_is(taken: list[int], made: list[int]) -> None:
    """Every permutation written out, on the excess over the common rate."""
    half = len(taken) // 2
    rate = sum(taken) / sum(made)
    excess = [t - rate * m for t, m in zip(taken, made, strict=True)]
    sums = [sum(excess[bag] for bag in chosen) for chosen in combinations(range(len(taken)), half)]
    seen = abs(sum(excess[:half]))
    plain = sum(abs(one) >= seen - 1e-9 for one in sums) / len(sums)
    p, exact = bag_permutation_p(taken, made, [True] * half + [False] * half)
    assert exact
    assert p == pytest.approx(plain, abs=1e-12)


def test_sums_of_bags_have_chances_that_add_up() -> None:
    chances = subset_sums(np.array([0, 1, 2, 2, 4, 0, 3]), 3)
    assert chances.sum() == pytest.approx(1.0)
    assert chances @ np.arange(len(chances)) == pytest.approx(3 * 12 / 7)


@pytest.mark.parametrize(("per_bag", "alike"), [(2, 0.4), (4, 0.2), (3, 0.3)])
def test_whole_bags_keep_to_alpha_and_reach_the_power(per_bag: int, alike: float) -> None:
    found = bags(0.4, 0.8, 0.8, 0.05, per_bag=per_bag, alike=alike)
    error = (0.05 * 0.95 / DRAWS) ** 0.5
    assert found.size <= 0.05 + 3.0 * error
    assert found.power >= 0.8
    assert found.per_arm % per_bag == 0
    assert found.design_effect == pytest.approx(1.0 + (per_bag - 1) * alike)
    assert found.test == "bag-permutation"


@pytest.mark.parametrize(("per_bag", "alike"), [(2, 0.4), (4, 0.2), (3, 0.3)])
def test_both_arms_in_a_bag_need_fewer(per_bag: int, alike: float) -> None:
    found = within(0.4, 0.8, 0.8, 0.05, per_bag=per_bag, alike=alike)
    error = (0.05 * 0.95 / DRAWS) ** 0.5
    assert found.size <= 0.05 + 3.0 * error
    assert found.power >= 0.8
    assert found.design_effect == pytest.approx(1.0 - alike)
    assert found.per_arm < bags(0.4, 0.8, 0.8, 0.05, per_bag=per_bag, alike=alike).per_arm


@pytest.mark.parametrize("number", [6, 24])
def test_simulated_rejections_are_those_of_the_tests_themselves(number: int) -> None:
    """The same trials drawn again and read one by one with the test that reads real trials."""
    bench, draws = Bench(3, 0.3, 0.4, 0.8), 200
    rng = np.random.default_rng(1)
    arms = [bench.rates(mean) for mean in (0.4, 0.8)]
    rejected = 0
    for _ in range(draws):
        taken = np.concatenate([rng.binomial(3, rng.choice(rates, number)) for rates in arms]).tolist()
        p, _ = bag_permutation_p(taken, [3] * 2 * number, [True] * number + [False] * number)
        rejected += p <= 0.05
    share = bag_rejections(bench, number, 0.05, 4000)
    assert abs(rejected / draws - share) < 4.0 * (share * (1 - share) / draws + 1e-4) ** 0.5


@pytest.mark.parametrize("number", [6, 24])
def test_simulated_block_rejections_are_those_of_the_block_test(number: int) -> None:
    bench, draws = Bench(4, 0.3, 0.4, 0.8), 200
    rng = np.random.default_rng(2)
    arms = [bench.rates(mean) for mean in (0.4, 0.8)]
    rejected = 0
    for _ in range(draws):
        luck = rng.integers(0, 4001, number)
        first, second = (rng.binomial(2, rates[luck]).tolist() for rates in arms)
        rejected += block_p(list(zip(first, second, strict=True)), [(2, 2)] * number) <= 0.05
    share = block_rejections(bench, number, 0.05, 4000)
    assert abs(rejected / draws - share) < 4.0 * (share * (1 - share) / draws + 1e-4) ** 0.5


def test_bag_mates_are_as_alike_as_asked() -> None:
    rates = Bench(4, 0.3, 0.4, 0.8).rates(0.4)
    assert rates.mean() == pytest.approx(0.4, abs=1e-3)
    assert rates.var() / (0.4 * 0.6) == pytest.approx(0.3, abs=1e-3)


def test_a_seed_gives_the_same_layout_on_any_machine() -> None:
    """random() of seed 7 starts 0.3238…, 0.1508…, 0.6509… (the language's own generator), so three arms
    are swapped 2 with 0, then 1 with 0; worked by hand.
    """
    assert [unit.arm for unit in lay_out(["A", "B", "C"], 1, 1, 7)] == ["B", "C", "A"]


def test_every_block_holds_every_arm_alike() -> None:
    units = lay_out(["A", "B", "C"], 20, 2, 5)
    assert [unit.number for unit in units] == list(range(1, 121))
    for block in range(1, 21):
        assert sorted(unit.arm for unit in units if unit.block == block) == ["A", "A", "B", "B", "C", "C"]
    assert len({tuple(u.arm for u in units if u.block == block) for block in range(1, 21)}) > 5
