"""The windows of a plan beside a plain simulation of the same season, with none of the planner's code."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from math import ceil

import numpy as np
import pytest

from graftwright.actions.plan import place
from wish_texts import WISH, handbook, wishes

DRAWS = 40_000
QUANTILES = (0.1, 0.5, 0.9)
# Days at the optimum, spread between plants and between batches, as the sheet's text has them.
IN_THE_BAG = {"swollen": 10, "leafing": 15, "weaning": 17}
AFTER = {"potted": (9, 0.20), "settled": (14, 0.25), "planted": (14, 0.20)}
BETWEEN_BATCHES = 0.15


@lru_cache(maxsize=1)
def windows() -> tuple[int, dict[str, tuple[int, int, int]]]:
    """The grafts of one wish in a room at the optimum, 23 °C, and the windows in days after grafting."""
    asked = wishes(WISH + "[room]\ncallusing_c = 23.0\n")
    (batch,) = place(asked, handbook(), date(2026, 10, 20)).batches
    days = {one.name: (one.earliest, one.likely, one.latest) for one in batch.windows}
    return batch.grafts, {
        name: tuple((day - batch.graft_on).days for day in found) for name, found in days.items()
    }


@lru_cache(maxsize=1)
def simulated() -> dict[str, tuple[float, ...]]:
    """Each batch has its own luck, each graft its rank; half of them are there on the day of the middle one."""
    rng = np.random.default_rng(20270401)
    grafts, _ = windows()
    half = ceil(grafts / 2) - 1

    def middle(spread: float) -> np.ndarray:
        lucks = BETWEEN_BATCHES * rng.standard_normal(DRAWS)
        ranks = np.sort(spread * rng.standard_normal((DRAWS, grafts)), axis=1)
        return np.exp(ranks[:, half] + lucks)

    bag = middle(0.20)
    days = {name: optimum * bag for name, optimum in IN_THE_BAG.items()}
    there = days["weaning"]
    for name, (optimum, spread) in AFTER.items():
        there = days[name] = there + optimum * middle(spread)
    return {name: tuple(np.quantile(drawn, QUANTILES)) for name, drawn in days.items()}


@pytest.mark.parametrize("name", [*IN_THE_BAG, *AFTER])
def test_earliest_likely_and_latest_are_those_of_the_simulation(name: str) -> None:
    # A quantile of 40,000 draws of these laws is off by less than 0.1 d (four standard errors).
    earliest, likely, latest = windows()[1][name]
    low, middle, high = simulated()[name]
    assert low - 1.1 < earliest < low + 0.1
    assert abs(likely - middle) < 0.6
    assert high - 0.1 < latest < high + 1.1


def test_a_window_is_wider_than_a_mean_and_widens_on_the_way() -> None:
    widths = [
        latest - earliest for earliest, _, latest in (windows()[1][name] for name in (*IN_THE_BAG, *AFTER))
    ]
    assert widths[0] >= 3
    assert widths[-1] > widths[0]
