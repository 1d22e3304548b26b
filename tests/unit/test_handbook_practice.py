"""The closed-bag sheet against what growers say of it: consistency with common practice, nothing more.

The temperature response is that of Wang & Engel (1998), Agricultural Systems 58:1-24, written out here
a second time. Room temperatures and days are common practice for a mild room.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest

from graftwright.handbook import load_handbook

HANDBOOK = load_handbook()
SHEET = HANDBOOK.sheets["hypocotyl-closed-bag"]
CASTANEA = HANDBOOK.species["Castanea"]
FOOT_M = 0.3048  # exact, international yard and pound agreement of 1959
QUART_L = 0.946352946  # exact, NIST Handbook 44, appendix C


def speed(response: str, temperature_c: float) -> float:
    """Share of the fastest pace at a temperature."""
    cardinal = CASTANEA.responses[response]
    warmth, best = temperature_c - cardinal.base, cardinal.optimum - cardinal.base
    if not 0 < warmth < cardinal.ceiling - cardinal.base:
        return 0.0
    alpha = math.log(2) / math.log((cardinal.ceiling - cardinal.base) / best)
    part = (warmth / best) ** alpha
    return 2 * part - part**2


def days_from_grafting(stage: str, temperature_c: float) -> float:
    figures = SHEET.stage(stage).figures("Castanea")
    assert figures is not None
    assert figures.pace is not None
    assert (figures.pace.kind, SHEET.stage(stage).started_by) == ("thermal", "graft")
    return figures.pace.days / speed("callus", temperature_c)


def days_from_step(stage: str) -> float:
    figures = SHEET.stage(stage).figures("Castanea")
    assert figures is not None
    assert figures.pace is not None
    assert figures.pace.kind == "calendar"
    return figures.pace.days


@pytest.mark.parametrize("temperature_c", [22.0, 22.5, 23.0])
@pytest.mark.parametrize(
    ("stage", "earliest", "latest"), [("callusing", 9, 11), ("swollen", 14, 16), ("leafing", 16, 18)]
)
def test_medians_in_a_mild_room(stage: str, earliest: float, latest: float, temperature_c: float) -> None:
    assert earliest <= days_from_grafting(stage, temperature_c) <= latest


@pytest.mark.parametrize("temperature_c", [22.0, 22.5, 23.0])
def test_potting_and_new_growth_when_vented_as_soon_as_ready(temperature_c: float) -> None:
    potted = days_from_grafting("leafing", temperature_c) + days_from_step("weaning")
    assert 24 <= potted <= 28
    assert 38 <= potted + days_from_step("potted") <= 42


def test_the_usual_steps_of_weaning_take_the_days_of_the_sheet_and_the_slow_line_longer() -> None:
    steps = SHEET.stage("weaning").steps
    usual, slow = (
        [[step.hours[end] for step in steps if step.variant == variant] for end in (0, 1)]
        for variant in ("usual", "slow")
    )
    assert sum(usual[0]) <= 24 * days_from_step("weaning") <= sum(usual[1])
    assert (pytest.approx(sum(slow[0]), abs=24), pytest.approx(sum(slow[1]), abs=24)) == (24 * 10, 24 * 21)


def test_hardening_takes_the_days_of_its_steps() -> None:
    steps = SHEET.stage("hardening").steps
    assert (
        sum(step.hours[0] for step in steps)
        <= 24 * days_from_step("hardening")
        <= sum(step.hours[1] for step in steps)
    )


@pytest.mark.parametrize(
    ("cold_days", "cold_c", "room_c", "earliest", "latest"),
    [
        (60, 1.7, 21.0, 14, 21),  # mayfield-2007: 60 days at about 35 °F, then two to three weeks in a room
        (90, 3.0, 20.0, 3, 14),  # common practice: 3 to 14 days at 20 to 24 °C after full chill
        (90, 3.0, 24.0, 3, 14),
    ],
)
def test_half_the_chilled_nuts_have_sprouted_in_time(
    cold_days: float, cold_c: float, room_c: float, earliest: float, latest: float
) -> None:
    figures = CASTANEA.seed_stage("sprouting").figures("Castanea")
    assert figures is not None
    assert figures.pace is not None
    left = figures.pace.days - cold_days * speed("sprouting", cold_c)
    assert earliest <= left / speed("sprouting", room_c) <= latest


def test_a_third_of_the_nuts_sprout_in_the_refrigerator_by_mid_february() -> None:
    """acf-germination-time: about 30 % with roots by mid-February, bagged in September; 4 °C supposed."""
    figures = CASTANEA.seed_stage("sprouting").figures("Castanea")
    assert figures is not None
    assert figures.pace is not None
    progress = 150 * speed("sprouting", 4.0) / figures.pace.days
    assert 0.2 <= NormalDist().cdf(math.log(progress) / figures.pace.spread) <= 0.4


def test_the_share_that_sprouts_is_the_counted_one() -> None:
    """Rows of fernandez-pascual-2021: sown after chill, at 12, 16, 22, 26, 26 and 29 °C; and one lot in soil."""
    sprouted = [24, 25, 24, 25, 22, 24, 94]
    sown = [25] * 6 + [100]
    figures = CASTANEA.seed_stage("sprouting").figures("Castanea")
    assert figures is not None
    assert figures.survival is not None
    assert figures.survival.practised.mean == pytest.approx(sum(sprouted) / sum(sown), abs=0.005)


def test_over_all_stages_to_take_the_practised_keep_what_the_trial_kept() -> None:
    """anadolu-nurse-seed: 59.6 % of the grafts made survived."""
    kept = 1.0
    for stage in SHEET.stages[: SHEET.path.index(SHEET.take_at)]:
        figures = stage.figures("Castanea")
        assert figures is not None
        assert figures.survival is not None
        kept *= figures.survival.practised.mean
    assert kept == pytest.approx(0.596, abs=0.02)


def test_figures_printed_in_feet_quarts_and_fahrenheit_are_converted() -> None:
    spacing = CASTANEA.spacing
    assert spacing is not None
    assert spacing.apart == pytest.approx((25 * FOOT_M, 30 * FOOT_M), abs=0.05)
    assert spacing.vigorous == pytest.approx(40 * FOOT_M, abs=0.05)
    mix = next(use for use in SHEET.stage("potted").uses if use.item == "potting mix")
    assert mix.litres == pytest.approx(2 * QUART_L, abs=0.05)
    assert CASTANEA.chill is not None
    assert CASTANEA.chill.temperature == pytest.approx(((34 - 32) / 1.8, (40 - 32) / 1.8), abs=0.5)
