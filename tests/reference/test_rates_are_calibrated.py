"""Simulated benches drawn from the default model's own priors: what it says must come true as often.

Simulation-based calibration (Talts et al. 2018, arXiv:1804.06788; Cook, Gelman & Rubin 2006, J. Comput.
Graph. Stat. 15:675-692): where truths are drawn from the priors, the posterior chance below the truth
is uniform and a 90 % interval covers nine times in ten, whatever the data.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np
import pytest
from scipy.special import chdtrc, expit, ndtr

from graftwright.science.findings.mixture import average_share
from graftwright.science.findings.priors import InterceptPrior
from graftwright.science.findings.rates import RateFit, fit_rates
from graftwright.science.findings.table import Column, Table


@dataclass
class Tally:
    """Chances below the truth, and whether the interval held it, by quantity."""

    below: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))

    def add(self, quantity: str, chance: float) -> None:
        self.below[quantity].append(float(chance))

    def covered(self, quantity: str) -> float:
        chances = np.array(self.below[quantity])
        return float(((chances >= 0.05) & (chances <= 0.95)).mean())

    def rank_p(self, quantity: str) -> float:
        counts = np.histogram(self.below[quantity], np.linspace(0.0, 1.0, 11))[0]
        fair = counts.sum() / 10.0
        return float(chdtrc(9, ((counts - fair) ** 2 / fair).sum()))


@dataclass(frozen=True)
class Bench:
    """A small bench: 2 to 5 varieties in 4 to 14 bags of 2 to 12 grafts, some bags shared."""

    table: Table
    intercept: float
    varieties: np.ndarray
    bags: np.ndarray
    sds: tuple[float, float]


def a_bench(rng: np.random.Generator) -> Bench:
    varieties, bags = int(rng.integers(2, 6)), int(rng.integers(4, 15))
    variety, bag = rng.integers(0, varieties, bags), np.arange(bags)
    variety[:2] = [0, 1]
    made = rng.integers(2, 13, bags)
    if rng.random() < 0.5:
        variety = np.concatenate([variety, rng.integers(0, varieties, bags)])
        bag = np.concatenate([bag, bag])
        made = np.concatenate([made, rng.integers(2, 9, bags)])
    intercept, sds = rng.normal(0.0, 1.5), np.abs(rng.normal(size=2))
    effects, luck = rng.normal(0.0, sds[0], varieties), rng.normal(0.0, sds[1], bags)
    taken = rng.binomial(made, expit(intercept + effects[variety] + luck[bag]))
    columns = [
        Column(name, tuple(map(str, range(size))), code)
        for name, size, code in (("variety", varieties, variety), ("bag", bags, bag))
    ]
    table = Table.of(taken.tolist(), made.tolist(), (columns[0],), ((0,),), (columns[1],))
    return Bench(table, intercept, effects, luck, (float(sds[0]), float(sds[1])))


def tally(bench: Bench, fit: RateFit, rng: np.random.Generator, into: Tally) -> None:
    cells = fit.cell_log_odds(fit.table.cells())
    which = int(rng.integers(len(bench.varieties)))
    middle = bench.intercept + bench.varieties[which]
    into.add("rate", rate_below(fit, cells, which, middle, bench.sds[1]))
    into.add("intercept", fit._effects(slice(0, 1)).chance_below(bench.intercept)[0])
    lead = fit.cell_weights(np.array([[0]])) - fit.cell_weights(np.array([[1]]))
    into.add("lead", fit.sums(lead).chance_below(bench.varieties[0] - bench.varieties[1])[0])
    new = cells.widened(fit.batch_scatter).chance_below(middle + rng.normal(0.0, bench.sds[1]))
    into.add("new bag", new[which])
    for number, name in enumerate(("sd of variety", "sd of bag")):
        values, weights = fit.mixture.sd_law(number)
        into.add(name, np.interp(bench.sds[number], values, np.cumsum(weights), left=0.0))


def rate_below(fit: RateFit, cells: object, which: int, middle: float, scatter: float) -> float:
    """Posterior chance that the average rate is below the true one."""
    true = float(average_share(np.array([middle]), scatter)[0])
    table = np.linspace(-25.0, 25.0, 501)
    averaged = [average_share(table, sd) for sd in fit.batch_scatter]
    back = np.array([np.interp(true, share, table) for share in averaged])
    return float(fit.mixture.weights @ ndtr((back - cells.means[:, which]) / cells.sds[:, which]))


def run(benches: int, seed: int) -> Tally:
    into = Tally()
    rng = np.random.default_rng(seed)
    for _ in range(benches):
        bench = a_bench(rng)
        tally(bench, fit_rates(bench.table, InterceptPrior()), rng, into)
    return into


def test_two_hundred_benches_cover_as_they_say() -> None:
    """Bands of 3.5 standard errors from 200 benches: 0.9 ± 0.074."""
    into = run(200, 20270418)
    for quantity in into.below:
        assert abs(into.covered(quantity) - 0.9) < 3.5 * (0.09 / 200) ** 0.5, quantity
        assert into.rank_p(quantity) > 0.001, quantity


@pytest.mark.long
@pytest.mark.timeout(1200)
def test_two_thousand_benches_cover_between_88_and_92_per_cent() -> None:
    into = run(2000, 20270419)
    for quantity in into.below:
        print(f"{quantity}: covers {into.covered(quantity):.3f}, ranks p {into.rank_p(quantity):.3f}")  # noqa: T201
    for quantity in into.below:
        assert 0.88 <= into.covered(quantity) <= 0.92, quantity
        assert into.rank_p(quantity) > 0.001, quantity
