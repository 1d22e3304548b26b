"""The default model of rates beside a no-U-turn sampler that draws from the same posterior.

Needs numpyro (from the package index). Run: python benchmarks/rates_against_sampling.py [grafts …]
Both are timed in processor seconds, the sampler with its compilation done by a first run.
"""

from __future__ import annotations

import sys
from importlib import import_module
from statistics import median
from time import process_time
from typing import TYPE_CHECKING, Any

import numpy as np
from _rates import grafts

from graftwright.science.findings.priors import InterceptPrior
from graftwright.science.findings.rates import fit_rates

if TYPE_CHECKING:
    from graftwright.science.findings.table import Table

WANTED = 400


def sampler(table: Table, draws: int) -> Any:
    numpyro, laws = import_module("numpyro"), import_module("numpyro.distributions")
    blocks = [(column.codes, len(column.levels)) for column in (*table.by, *table.batches)]

    def model() -> None:
        log_odds = numpyro.sample("intercept", laws.Normal(0.0, 1.5))
        for number, (codes, size) in enumerate(blocks):
            sd = numpyro.sample(f"sd{number}", laws.HalfNormal(1.0))
            effects = numpyro.sample(f"effects{number}", laws.Normal(0.0, 1.0).expand([size]))
            log_odds = log_odds + sd * effects[codes]
        numpyro.sample("taken", laws.Binomial(table.made, logits=log_odds), obs=table.taken)

    infer = import_module("numpyro.infer")
    return infer.MCMC(infer.NUTS(model), num_warmup=500, num_samples=draws, num_chains=1, progress_bar=False)


def sample(table: Table, draws: int) -> tuple[float, float, float]:
    """Time a run; give its least effective size and its mean sd of sittings too."""
    random, diagnostics = import_module("jax.random"), import_module("numpyro.diagnostics")
    chain = sampler(table, draws)
    chain.run(random.PRNGKey(0))
    start = process_time()
    chain.run(random.PRNGKey(1))
    drawn = {name: np.asarray(values) for name, values in chain.get_samples(group_by_chain=True).items()}
    spent = process_time() - start
    least = min(float(np.min(diagnostics.effective_sample_size(values))) for values in drawn.values())
    return spent, least, float(drawn["sd1"].mean())


def compare(number: int) -> None:
    table = grafts(number)
    spent, least, theirs = sample(table, 1000)
    needed = spent * max(1.0, WANTED / least)
    ours = []
    for _ in range(3):
        start = process_time()
        fit = fit_rates(table, InterceptPrior())
        fit.rates(fit.cell_log_odds(fit.table.cells()))
        ours.append(process_time() - start)
    print(
        f"{number:,} grafts: ours {median(ours):.3f} s, sampler {spent:.1f} s for an effective size of {least:.0f}, "
        f"so {needed / median(ours):.0f} times for {WANTED} (target 100); mean sd of sittings "
        f"{fit.scatter_spread().mean[1]:.3f} and {theirs:.3f}",
        flush=True,
    )


if __name__ == "__main__":
    for grafts_made in [int(word) for word in sys.argv[1:]] or [2_000, 100_000]:
        compare(grafts_made)
