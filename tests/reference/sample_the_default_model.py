"""Draws from the default model of rates by Hamiltonian Monte Carlo, to check its approximation against.

Run by hand: `python tests/reference/sample_the_default_model.py` rewrites
`data/take_rate/sampled_posteriors.json`. Nothing of the package is used: the model is written out
again here, and many chains run side by side as one array (Neal 2011, *MCMC using Hamiltonian
dynamics*, Handbook of Markov Chain Monte Carlo, ch. 5). Effective sizes are those of Geyer's initial
monotone sequence (Geyer 1992, Stat. Sci. 7:473-483), pooled over chains.
"""

from __future__ import annotations

import csv
import json
import sys
from pathlib import Path

import numpy as np

DATA = Path(__file__).parent / "data" / "take_rate"
CHAINS, WARM, KEPT = 200, 400, 3000


def model(taken, made, terms, intercept=(0.0, 1.5)):
    """Log density and slope of (intercept, effects of each term in units of their sd, log sds)."""
    sizes = [int(codes.max()) + 1 for codes in terms]
    starts = np.cumsum([1, *sizes])
    total = int(starts[-1])
    ones = [np.eye(size)[codes] for codes, size in zip(terms, sizes, strict=True)]

    def log_odds(q):
        eta = intercept[0] + intercept[1] * q[:, :1]
        for k, one in enumerate(ones):
            eta = eta + np.exp(q[:, total + k])[:, None] * (q[:, starts[k] : starts[k + 1]] @ one.T)
        return eta

    def density(q):
        eta = log_odds(q)
        left = taken - made / (1.0 + np.exp(-eta))
        sds = np.exp(q[:, total:])
        height = (taken * eta - made * np.logaddexp(0.0, eta)).sum(1) - 0.5 * (q[:, :total] ** 2).sum(1)
        height += (q[:, total:] - 0.5 * sds**2).sum(1)
        slope = np.empty_like(q)
        slope[:, 0] = intercept[1] * left.sum(1) - q[:, 0]
        for k, one in enumerate(ones):
            pull = sds[:, k, None] * (left @ one)
            part = q[:, starts[k] : starts[k + 1]]
            slope[:, starts[k] : starts[k + 1]] = pull - part
            slope[:, total + k] = (pull * part).sum(1) + 1.0 - sds[:, k] ** 2
        return height, slope

    def quantities(q):
        sds = np.exp(q[:, total:])
        effects = [intercept[0] + intercept[1] * q[:, :1]]
        effects += [sds[:, k, None] * q[:, starts[k] : starts[k + 1]] for k in range(len(terms))]
        return np.concatenate([*effects, sds], axis=1)

    return total + len(terms), density, quantities


def sample(size, density, quantities, seed, steps=24):
    """Run the chains; the step size and the masses are learned while they warm up."""
    rng = np.random.default_rng(seed)
    q = rng.normal(0.0, 0.3, (CHAINS, size))
    height, slope = density(q)
    sd, step, kept = np.ones(size), 0.05, []
    for turn in range(WARM + KEPT):
        p = rng.normal(size=q.shape)
        new, momentum, new_slope = q, p, slope
        jitter = step * rng.uniform(0.7, 1.3)
        for _ in range(int(rng.integers(steps // 2, steps + 1))):
            momentum = momentum + 0.5 * jitter * sd * new_slope
            new = new + jitter * sd * momentum
            new_height, new_slope = density(new)
            momentum = momentum + 0.5 * jitter * sd * new_slope
        gain = new_height - height - 0.5 * ((momentum**2).sum(1) - (p**2).sum(1))
        taken = np.log(rng.uniform(size=CHAINS)) < gain
        q = np.where(taken[:, None], new, q)
        height, slope = np.where(taken, new_height, height), np.where(taken[:, None], new_slope, slope)
        if turn < WARM:
            step *= np.exp(0.1 * (np.minimum(1.0, np.exp(np.minimum(gain, 0.0))).mean() - 0.8))
            if turn in (100, 200, 300):
                sd = q.std(0)
        else:
            kept.append(quantities(q))
    return np.array(kept)


def effective_size(draws):
    """Effective sample size of one quantity, draws of shape (turns, chains)."""
    turns, chains = draws.shape
    centred = draws - draws.mean()
    spread = np.fft.rfft(centred, 2 * turns, axis=0)
    correlation = np.fft.irfft(np.abs(spread) ** 2, axis=0)[:turns].mean(1) / np.arange(turns, 0, -1)
    correlation /= correlation[0]
    pairs = correlation[: turns // 2 * 2].reshape(-1, 2).sum(1)
    stop = int(np.argmax(pairs < 0)) or len(pairs)
    return turns * chains / (2.0 * np.minimum.accumulate(pairs[:stop]).sum() - 1.0)


def read(name, taken, made, terms):
    with (DATA / name).open(newline="") as file:
        rows = list(csv.DictReader(file))
    codes = []
    for term in terms:
        values = [tuple(row[column] for column in term.split("*")) for row in rows]
        numbers = all(len(value) == 1 and value[0].isdigit() for value in values)
        levels = sorted(set(values), key=(lambda value: float(value[0])) if numbers else None)
        codes.append(np.array([levels.index(value) for value in values]))
    counts = [np.array([float(row[column]) for row in rows]) for column in (taken, made)]
    return (*counts, codes)


LUMPY = {
    "taken": [0, 0, 2, 2, 2, 0, 2, 2, 2, 2, 0, 1],
    "made": [2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2],
    "variety": [0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1],
    "bag": [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
}
ALL_OR_NONE = {"taken": [0, 8, 5], "made": [8, 8, 8], "variety": [0, 1, 2]}


def made_up(table, terms):
    return (
        np.array(table["taken"], float),
        np.array(table["made"], float),
        [np.array(table[term]) for term in terms],
    )


CASES = {
    "seeds": lambda: read("crowder_seeds.csv", "germ", "n", ["gen", "extract", "gen*extract", "plate"]),
    "cbpp": lambda: read("cbpp.csv", "incidence", "size", ["period", "herd"]),
    "canker": lambda: read("jansen_apple_canker.csv", "y", "n", ["gen", "inoculum", "block"]),
    "bags that live or die together": lambda: made_up(LUMPY, ["variety", "bag"]),
    "none of eight, all of eight": lambda: made_up(ALL_OR_NONE, ["variety"]),
}


def main():
    answers = {}
    for number, (name, case) in enumerate(CASES.items()):
        size, density, quantities = model(*case())
        draws = sample(size, density, quantities, seed=number)
        sizes = [effective_size(draws[:, :, k]) for k in range(draws.shape[2])]
        flat = draws.reshape(-1, draws.shape[2])
        answers[name] = {
            "mean": [round(float(value), 5) for value in flat.mean(0)],
            "sd": [round(float(value), 5) for value in flat.std(0)],
            "low": [round(float(value), 5) for value in np.quantile(flat, 0.05, axis=0)],
            "high": [round(float(value), 5) for value in np.quantile(flat, 0.95, axis=0)],
            "least_effective_size": int(min(sizes)),
        }
        sys.stdout.write(f"{name}: {answers[name]['least_effective_size']}\n")
    (DATA / "sampled_posteriors.json").write_text(json.dumps(answers, indent=1) + "\n")


if __name__ == "__main__":
    main()
