"""Weaning plans for random bags and rooms keep their rule, or say where the physics cannot."""

from __future__ import annotations

import math
from random import Random

import pytest

from graftwright.actions.wean import bag, box, surroundings, wean
from graftwright.science.vents import Container, Surroundings, Vents
from graftwright.science.weaning import LEAST_DEFICIT_KPA, WeaningPlan, plan_weaning


def random_case(random: Random) -> tuple[Container, Surroundings]:
    hole = random.uniform(1, 20)
    if random.random() < 0.5:
        container = bag(random.uniform(80, 600), random.uniform(100, 900), hole)
    else:
        container = box(*(random.uniform(100, 900) for _ in range(3)), hole)
    leaves, medium = 10 ** random.uniform(0, 3.3), random.choice([0.0, 10 ** random.uniform(0, 3)])
    room = (random.uniform(10, 32), random.uniform(5, 100))
    inside = random.choice([None, room[0] + random.uniform(0, 12)])
    return container, surroundings(leaves, medium, room, inside)


def check_plan(plan: WeaningPlan, container: Container, around: Surroundings) -> None:
    """The rule itself, written once more and without the code's own ratio."""
    previous = max(plan.closed_vpd_kpa, LEAST_DEFICIT_KPA)
    jumps = []
    for step in plan.steps:
        jumps.append(step.vpd_kpa.likely / previous)
        previous = max(step.vpd_kpa.likely, LEAST_DEFICIT_KPA)
        assert step.humidity_pct.low <= step.humidity_pct.likely <= step.humidity_pct.high <= 100
        assert step.water_g_per_day.low <= step.water_g_per_day.likely <= step.water_g_per_day.high
        assert step.hours >= 24
    assert plan.steps[-1].opening.how == "room"
    assert max(jumps) == pytest.approx(plan.steps[plan.largest_jump - 1].ratio, rel=1e-9)
    assert all(jump <= plan.ratio * (1 + 1e-9) for jump in jumps[:-1])
    assert plan.keeps_ratio == (jumps[-1] <= plan.ratio * (1 + 1e-9))
    if jumps[-1] > plan.ratio * (1 + 1e-9):
        widest = Vents(container, around).widest
        assert plan.steps[-2].opening == widest, "only the mouth that opens no further excuses the jump"


def run_cases(seed: int, count: int) -> None:
    random = Random(seed)
    for _ in range(count):
        container, around = random_case(random)
        check_plan(plan_weaning(container, around), container, around)
        ratio = random.uniform(1.3, 3)
        check_plan(plan_weaning(container, around, ratio=ratio), container, around)


def test_two_hundred_random_bags_and_rooms() -> None:
    run_cases(seed=20270214, count=200)


@pytest.mark.long
def test_ten_thousand_random_bags_and_rooms() -> None:
    run_cases(seed=1, count=10_000)


def test_dry_and_moist_rooms_give_visibly_different_plans() -> None:
    plans = []
    for humidity in (35.0, 65.0):
        answer = wean(bag(200, 300, 5), surroundings(80, 80, (22.0, humidity), None))
        plans.append(answer.as_json()["steps"])
    dry, moist = plans
    assert isinstance(dry, list)
    assert isinstance(moist, list)
    assert [step["opening"] for step in dry] != [step["opening"] for step in moist]
    for one, other in zip(dry[1:], moist[1:], strict=True):
        assert one["vpd_kpa"] > 1.2 * other["vpd_kpa"]
    assert sum(step["hours"] for step in dry) >= sum(step["hours"] for step in moist) + 6


def test_the_default_ratio_spreads_the_way_evenly() -> None:
    """The fourth root of the way from 0.1 kPa to the room, by hand: 22 °C and 50 % are 1.322 kPa."""
    answer = wean(bag(200, 300, 5), surroundings(80, 80, (22.0, 50.0), None))
    assert answer.plan.ratio == pytest.approx((1.3224 / 0.1) ** 0.25, rel=1e-3)
    assert [step.ratio for step in answer.plan.steps[:2]] == pytest.approx([answer.plan.ratio] * 2)


def test_what_the_leaves_bore_is_the_start() -> None:
    around = surroundings(80, 80, (22.0, 50.0), None)
    plan = plan_weaning(bag(200, 300, 5), around, ratio=1.5, tolerated_kpa=0.4)
    assert plan.steps[0].vpd_kpa.likely > 0.4
    assert plan.steps[0].vpd_kpa.likely <= 0.6 * (1 + 1e-9)
    assert all(math.isfinite(step.ratio) for step in plan.steps)
