"""What a weighing or a sensor teaches about conductances whose truth is known."""

from __future__ import annotations

import math
from random import Random

import pytest

from graftwright.science.weighing import (
    PRIOR_LOG_SD,
    Fitted,
    NoDifference,
    conductance_inside,
    conductance_outward,
)

EXPECTED = 5e-5
OUT = 5e-5
DIFFERENCE = 10.0


def loss_g(inside: float, hours: float, out: float = OUT) -> float:
    return 3600 * hours * DIFFERENCE / (1 / inside + 1 / out)


def weigh(lost: float, hours: float, out: float = OUT, error: float = 1.0) -> Fitted:
    return conductance_inside(
        lost,
        hours,
        scale_error_g=error,
        out_m3_s=out,
        difference_g_m3=DIFFERENCE,
        expected_m3_s=EXPECTED,
    )


def share_covered(draws: int, seed: int, hours: float) -> float:
    """Truth from the prior, a scale error of 1 g at each of the two weighings."""
    random, inside = Random(seed), 0
    for _ in range(draws):
        truth = EXPECTED * math.exp(PRIOR_LOG_SD * random.gauss(0, 1))
        fitted = weigh(loss_g(truth, hours) + random.gauss(0, 1) - random.gauss(0, 1), hours)
        inside += fitted.low <= truth <= fitted.high
    return inside / draws


@pytest.mark.parametrize("hours", [2.0, 24.0])
def test_eighty_per_cent_intervals_cover_in_a_short_run(hours: float) -> None:
    """1,000 draws: the band is 3.3 standard errors wide on each side."""
    assert share_covered(1000, seed=3, hours=hours) == pytest.approx(0.8, abs=3.3 * math.sqrt(0.16 / 1000))


@pytest.mark.long
@pytest.mark.parametrize("hours", [2.0, 8.0, 24.0, 96.0])
def test_eighty_per_cent_intervals_cover_77_to_83(hours: float) -> None:
    assert 0.77 <= share_covered(4000, seed=11, hours=hours) <= 0.83


def test_sensor_intervals_cover() -> None:
    random, inside, draws = Random(5), 0, 1000
    for _ in range(draws):
        truth = 2e-5 * math.exp(PRIOR_LOG_SD * random.gauss(0, 1))
        reading = 100 - 50 * truth / (truth + EXPECTED) + random.gauss(0, 2)
        fitted = conductance_outward(
            min(reading, 105.0),
            sensor_error_pct=2.0,
            room_humidity_pct=50.0,
            inside_m3_s=EXPECTED,
            expected_m3_s=2e-5,
        )
        inside += fitted.low <= truth <= fitted.high
    assert inside / draws == pytest.approx(0.8, abs=3.3 * math.sqrt(0.16 / draws))


def test_a_closed_bag_on_a_kitchen_scale_teaches_nothing_and_waiting_does_not_help() -> None:
    fitted = weigh(loss_g(EXPECTED, 48.0, out=2e-7), 48.0, out=2e-7)
    assert not fitted.learned
    assert fitted.wait_h is None
    assert fitted.high / fitted.low == pytest.approx(math.exp(2 * 1.2816 * PRIOR_LOG_SD), rel=0.01)


def test_the_wait_it_asks_for_is_worth_waiting() -> None:
    short = weigh(loss_g(EXPECTED, 0.25), 0.25)
    assert not short.learned
    assert short.wait_h is not None
    longer = weigh(loss_g(EXPECTED, short.wait_h), short.wait_h)
    assert longer.learned
    assert longer.log_sd == pytest.approx(PRIOR_LOG_SD / 2, rel=0.15)


def test_a_better_scale_learns_more() -> None:
    kitchen, pocket = (weigh(loss_g(EXPECTED, 4.0), 4.0, error=error) for error in (1.0, 0.1))
    assert pocket.log_sd < kitchen.log_sd
    assert pocket.likely == pytest.approx(EXPECTED, rel=0.01)


def test_a_saturated_room_is_refused_word_for_word() -> None:
    sentence = "The air of the room is as moist as the air inside, so a weighing tells nothing."
    with pytest.raises(NoDifference) as trouble:
        conductance_inside(1, 1, scale_error_g=1, out_m3_s=OUT, difference_g_m3=0, expected_m3_s=EXPECTED)
    assert str(trouble.value) == f"{sentence} Weigh on a drier day."
