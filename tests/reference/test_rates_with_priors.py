"""The default model against sampled posteriors, and the same engine under published priors."""

from __future__ import annotations

import json

import numpy as np
import pytest

from findings_data import DATA, canker, cbpp, expected, seeds
from graftwright.science.findings.priors import InterceptPrior
from graftwright.science.findings.rates import RateFit, fit_rates
from graftwright.science.findings.scales import Model, average_over_sds
from graftwright.science.findings.structure import Structure
from graftwright.science.findings.table import Column, Table

# made by sample_the_default_model.py: Hamiltonian Monte Carlo, effective sizes from 49,000 up
SAMPLED = json.loads((DATA / "take_rate" / "sampled_posteriors.json").read_text(encoding="utf-8"))


def lumpy() -> Table:
    """Bags of two that live or die together."""
    taken = [0, 0, 2, 2, 2, 0, 2, 2, 2, 2, 0, 1]
    variety = Column.of("variety", ["a"] * 6 + ["b"] * 6)
    bag = Column.of("bag", [f"{number:02}" for number in range(12)])
    return Table.of(taken, [2] * 12, (variety,), ((0,),), (bag,))


def all_or_none() -> Table:
    return Table.of([0, 8, 5], [8, 8, 8], (Column.of("variety", ["a", "b", "c"]),), ((0,),))


CASES = {
    "seeds": (seeds, 0.05),
    "cbpp": (cbpp, 0.05),
    "canker": (canker, 0.06),
    # Laplace's approximation is at its worst for the scatter of bags of two
    "bags that live or die together": (lumpy, 0.1),
    "none of eight, all of eight": (all_or_none, 0.05),
}


def means_and_sds(fit: RateFit) -> tuple[np.ndarray, np.ndarray]:
    effects, scatter = fit._effects(slice(0, None)), fit.scatter_spread()
    return np.concatenate([effects.mean(), scatter.mean]), np.concatenate([effects.sd(), scatter.sd])


@pytest.mark.parametrize("name", CASES)
def test_means_within_a_twentieth_sd_and_sds_within_a_tenth(name: str) -> None:
    table, of_scatter = CASES[name]
    theirs = SAMPLED[name]
    assert theirs["least_effective_size"] >= 40_000
    fit = fit_rates(table(), InterceptPrior())
    mean, sd = means_and_sds(fit)
    off = np.abs(mean - theirs["mean"]) / theirs["sd"]
    scatters = fit.sds.shape[1]
    assert off[:-scatters].max() < 0.05
    assert off[-scatters:].max() < of_scatter
    assert np.abs(sd / theirs["sd"] - 1.0).max() < 0.1


@pytest.mark.parametrize("name", CASES)
def test_ends_of_intervals_within_a_tenth_sd(name: str) -> None:
    fit = fit_rates(CASES[name][0](), InterceptPrior())
    effects = fit._effects(slice(0, None))
    theirs = {key: np.array(SAMPLED[name][key]) for key in ("low", "high", "sd")}
    size = fit.structure.size
    for key, share in (("low", 0.05), ("high", 0.95)):
        off = (effects.quantile(share) - theirs[key][:size]) / theirs["sd"][:size]
        assert np.abs(off).max() < 0.15


def published_model(log_prior: object) -> Model:
    """Seeds with treatment contrasts of nearly flat prior (sd 1000), as in the published example."""
    table = seeds()
    ones = np.zeros(len(table.made), dtype=np.int64)
    o73, cucumber = table.by[0].codes == 0, table.by[1].codes == 1
    blocks = [ones, o73 * 1, cucumber * 1, (o73 & cucumber) * 1, table.batches[0].codes]
    structure = Structure(blocks, [1, 2, 2, 2, 21])
    # the first level of each contrast has no effect at all
    fixed = np.array([1e3, 0.0, 1e3, 0.0, 1e3, 0.0, 1e3, *[1.0] * 21])
    which = np.array([-1] * 7 + [0] * 21)
    return Model(structure, table.taken, table.made, np.zeros(21), fixed, which, log_prior)


def gamma_precision(log_sd: np.ndarray) -> tuple[float, np.ndarray]:
    """1/sd² ~ Gamma(0.001, 0.001)."""
    precision = np.exp(-2.0 * log_sd)
    return float(0.001 * (-2.0 * log_sd - precision).sum()), 0.001 * (-2.0 + 2.0 * precision)


def uniform_sd(log_sd: np.ndarray) -> tuple[float, np.ndarray]:
    """Sd ~ Uniform(0, 10)."""
    inside = bool((log_sd < np.log(10.0)).all())
    return float(log_sd.sum()) if inside else -1e300, np.ones_like(log_sd)


@pytest.mark.parametrize(
    ("prior", "key"),
    [(gamma_precision, "gamma_prior_mean"), (uniform_sd, "uniform_sigma_0_10_mean")],
)
def test_seeds_under_the_priors_of_the_published_example(prior: object, key: str) -> None:
    """Re-run of the published example under two priors, means to about 0.01: SOURCE.md."""
    mixture = average_over_sds(published_model(prior))
    means = mixture.weights @ np.array([peak.mean for peak in mixture.peaks])
    values, weights = mixture.sd_law(0)
    found = [*means[[0, 2, 4, 6]], values @ weights]
    assert found == pytest.approx(expected("take_rate")["seeds"]["recomputed_posterior"][key], abs=0.03)


def test_seeds_as_published() -> None:
    """JuliaBUGS documentation, prior Gamma(0.001, 0.001) on the precision: means to 0.03."""
    mixture = average_over_sds(published_model(gamma_precision))
    means = mixture.weights @ np.array([peak.mean for peak in mixture.peaks])
    theirs = expected("take_rate")["seeds"]["published_posterior_gamma_prior"]
    order = ("alpha0", "alpha1", "alpha2", "alpha12")
    assert means[[0, 2, 4, 6]] == pytest.approx([theirs[name][0] for name in order], abs=0.03)
