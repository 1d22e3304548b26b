"""Exact laws of what is left after a chain of stages, by scipy's log-gamma: sums of positive terms only."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammaln

from graftwright.science.sizing import Stage

if TYPE_CHECKING:
    import random
    from collections.abc import Sequence


def left_after(start: int, stages: Sequence[Stage]) -> np.ndarray:
    """Exact law of the count: a beta-binomial or binomial for each stage, summed over what entered it."""
    law = np.zeros(start + 1)
    law[start] = 1.0
    for stage in stages:
        law = sum(law[n] * np.pad(pass_law(n, stage), (0, start - n)) for n in np.flatnonzero(law))
    return law


def pass_law(n: int, stage: Stage) -> np.ndarray:
    k = np.arange(n + 1)
    choices = gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)
    if stage.weight is None:
        lost = np.log1p(-stage.mean) if stage.mean < 1 else -np.inf
        with np.errstate(invalid="ignore"):
            return np.exp(choices + k * math.log(stage.mean) + np.where(k < n, (n - k) * lost, 0.0))
    a, b = stage.mean * stage.weight, (1 - stage.mean) * stage.weight
    rises = (
        gammaln(k + a) - gammaln(a) + gammaln(n - k + b) - gammaln(b) - gammaln(n + a + b) + gammaln(a + b)
    )
    return np.exp(choices + rises)


def random_chain(rng: random.Random, most: int) -> list[Stage]:
    stages = []
    for number in range(rng.randint(1, most)):
        if rng.random() < 0.25:
            stages.append(Stage(f"s{number}", rng.uniform(0.05, 1.0)))
        else:
            mean = rng.choice([rng.uniform(0.02, 0.99), 0.99, 0.5, 0.9])
            failing = math.exp(rng.uniform(math.log(0.01), math.log(300)))
            stages.append(Stage(f"s{number}", mean, failing / (1 - mean)))
    return stages
