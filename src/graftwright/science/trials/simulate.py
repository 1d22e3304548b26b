"""Size and power of the tests for grafts that share a bag, by simulated trials.

A trial is rejected or not by its exact test. Where many bags make a normal score good enough to
tell clear cases, only those near the limit are worked out exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import betaincinv, ndtri

from graftwright.science.trials.blocks import first_law

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.science.arrays import BoolArray, FloatArray, IntArray

DRAWS = 20_000
SEED = 20_310_317
SAME = 1e-9
LUCK = 4001  # equally likely kinds of bag
FEW = 20  # with fewer bags every simulated trial is worked out exactly
NEAR = 0.25  # standard scores round the limit, besides the step of the statistic, that are
AT_ONCE = 2_000_000  # complex numbers


@dataclass(frozen=True)
class Bench:
    """Bags of one size, how alike bag-mates are, and the rates of the two arms."""

    per_bag: int
    alike: float
    first: float
    second: float

    def rates(self, mean: float) -> FloatArray:
        """Rates of equally likely bags, from the unluckiest on, shape (LUCK,).

        A bag's rate is Beta with this mean; bag-mates then correlate by `alike` (Skellam 1948, J. R.
        Stat. Soc. B 10:257-261).
        """
        if self.alike == 0.0:
            return np.full(LUCK, mean)
        weight = 1.0 / self.alike - 1.0
        luck = (np.arange(LUCK) + 0.5) / LUCK
        rates: FloatArray = betaincinv(mean * weight, (1.0 - mean) * weight, luck)
        return rates


def bag_rejections(bench: Bench, bags: int, alpha: float, draws: int = DRAWS) -> float:
    """Share of simulated trials with `bags` whole bags an arm that the permutation test rejects."""
    rng = np.random.Generator(np.random.PCG64(SEED))
    arms = []
    for mean in (bench.first, bench.second):
        rates = bench.rates(mean)[rng.integers(0, LUCK, (draws, bags))]
        arms.append(rng.binomial(bench.per_bag, rates))
    totals = np.concatenate(arms, axis=1)
    away = np.abs(arms[0].sum(axis=1) - totals.sum(axis=1) / 2.0)
    sd = np.sqrt(bags**2 / (2.0 * bags - 1.0) * totals.var(axis=1))
    rejected, near = _clear_cases(away, sd, alpha, exact=2 * bags < FEW)
    kinds, which = np.unique(_multiplicities(totals[near], bench.per_bag), axis=0, return_inverse=True)
    limits = _in_portions(kinds, lambda part: _bag_limits(part, bags, alpha), 4 * bags * bags * bench.per_bag)
    rejected[near] = away[near] >= limits[which] - SAME
    return float(rejected.mean())


def block_rejections(bench: Bench, bags: int, alpha: float, draws: int = DRAWS) -> float:
    """Share of simulated trials with both arms in each bag that the block test rejects.

    Arms that share a bag share its luck. Bags of an odd size give the odd graft to the arms in turn.
    """
    rng = np.random.Generator(np.random.PCG64(SEED))
    luck = rng.integers(0, LUCK, (draws, bags))
    more = (bench.per_bag + np.arange(bags) % 2) // 2
    first = rng.binomial(more, bench.rates(bench.first)[luck])
    total = first + rng.binomial(bench.per_bag - more, bench.rates(bench.second)[luck])
    share = more / bench.per_bag
    away = np.abs((first - total * share).sum(axis=1))
    spread = total * (bench.per_bag - total) * share * (1.0 - share) / max(bench.per_bag - 1, 1)
    rejected, near = _clear_cases(away, np.sqrt(spread.sum(axis=1)), alpha, exact=bags < FEW)
    kinds = [_multiplicities(total[near, start::2], bench.per_bag)[:, 1:-1] for start in (0, 1)]
    distinct, which = np.unique(np.concatenate(kinds, axis=1), axis=0, return_inverse=True)
    laws = _block_laws(bench.per_bag)
    limits = _in_portions(distinct, lambda part: _block_limits(part, laws, bags, alpha), bags * bench.per_bag)
    rejected[near] = away[near] >= limits[which] - SAME
    return float(rejected.mean())


def _clear_cases(
    away: FloatArray, sd: FloatArray, alpha: float, *, exact: bool
) -> tuple[BoolArray, BoolArray]:
    """Which trials are rejected by their normal score, and which are too near the limit for it."""
    sd = np.maximum(sd, SAME)
    limit = float(ndtri(1.0 - alpha / 2.0))
    score = away / sd
    near = np.abs(score - limit) <= NEAR + 1.5 / sd
    return score > limit, near | exact


def _multiplicities(totals: IntArray, largest: int) -> IntArray:
    """How many bags of each trial have each total, shape (trials, largest + 1)."""
    return np.stack([(totals == value).sum(axis=1) for value in range(largest + 1)], axis=1)


def _in_portions(kinds: IntArray, work: Callable[[IntArray], FloatArray], each: int) -> FloatArray:
    """Work through many kinds of trial, a memory-sized portion at a time."""
    step = max(1, AT_ONCE // each)
    parts = [work(kinds[start : start + step]) for start in range(0, len(kinds), step)]
    return np.concatenate(parts) if parts else np.zeros(0)


def _bag_limits(kinds: IntArray, bags: int, alpha: float) -> FloatArray:
    """Smallest distance from the middle that the permutation test rejects, for each kind of trial.

    The law of a sum of `bags` totals drawn without replacement is a coefficient of the product of
    (1 + x z^total) over all bags, read off at roots of unity; their odd numbers keep off the zeros.
    """
    largest = kinds.shape[1] - 1
    turns, sums = 2 * bags + 1, 2 * ((bags * largest + 1) // 2) + 1
    x = 2.0j * np.pi * np.arange(turns) / turns
    z = -2.0j * np.pi * np.arange(sums // 2 + 1) / sums
    logs = np.stack([np.log1p(np.exp(x[:, None] + value * z)).ravel() for value in range(largest + 1)])
    grid = np.exp(kinds @ logs - 2.0 * bags * np.log(2.0)).reshape(len(kinds), turns, len(z))
    spectrum = np.einsum("ktz,t->kz", grid, np.exp(-bags * x))
    chances = np.maximum(np.fft.irfft(spectrum, sums, axis=1), 0.0)
    middle = (kinds @ np.arange(largest + 1)) / 2.0
    return _limits(chances, np.abs(np.arange(sums) - middle[:, None]), alpha)


def _block_laws(per_bag: int) -> list[FloatArray]:
    """Law of the first arm's takes for each total that says something, even bags before odd."""
    laws = []
    for start in (0, 1):
        first = (per_bag + start) // 2
        for total in range(1, per_bag):
            least = max(0, total - (per_bag - first))
            laws.append(np.concatenate([np.zeros(least), first_law(total, first, per_bag - first)]))
    return laws


def _block_limits(kinds: IntArray, laws: list[FloatArray], bags: int, alpha: float) -> FloatArray:
    """Smallest distance from the middle that the block test rejects, for each kind of trial."""
    sums = 1 + bags * max(len(law) - 1 for law in laws)
    spectrum = np.ones((len(kinds), sums // 2 + 1), dtype=complex)
    for number, law in enumerate(laws):
        spectrum *= np.fft.rfft(law, sums)[None, :] ** kinds[:, number, None]
    chances = np.maximum(np.fft.irfft(spectrum, sums, axis=1), 0.0)
    middle = kinds @ np.array([law @ np.arange(len(law)) for law in laws])
    return _limits(chances, np.abs(np.arange(sums) - middle[:, None]), alpha)


def _limits(chances: FloatArray, distance: FloatArray, alpha: float) -> FloatArray:
    """Go inward while the chance of so far or farther stays within alpha; ties go together."""
    chances = chances / chances.sum(axis=1, keepdims=True)
    order = np.argsort(-distance, axis=1, kind="stable")
    far = np.take_along_axis(distance, order, axis=1)
    beyond = np.cumsum(np.take_along_axis(chances, order, axis=1), axis=1)
    closes = np.ones(far.shape, dtype=bool)
    closes[:, :-1] = far[:, 1:] < far[:, :-1] - SAME
    kept = closes & (beyond <= alpha * (1.0 + SAME))
    limits: FloatArray = np.where(kept, far, np.inf).min(axis=1)
    return limits


def whole_bags(grafts: float, per_bag: float) -> int:
    """Bags that hold at least so many grafts."""
    return max(1, ceil(grafts / per_bag - SAME))
