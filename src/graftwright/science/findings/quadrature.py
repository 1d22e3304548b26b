"""Adaptive Gauss-Hermite quadrature over one grouping."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit

from graftwright.science.arrays import sum_by

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray
    from graftwright.science.findings.laplace import Peak


@cache
def _nodes(points: int) -> tuple[FloatArray, FloatArray]:
    nodes, weights = np.polynomial.hermite_e.hermegauss(points)
    return nodes, np.log(weights / weights.sum()) + nodes**2 / 2.0


def integrate(peak: Peak, points: int) -> tuple[float, FloatArray, float]:
    """Integrate the one grouping of a model out, with nodes round the mode of each level.

    Returns the log likelihood without constants, each row's expected taken less its fit, and the
    slope by the grouping's sd (Fisher's identity: the slope is the mean of the complete slope).
    """
    nodes, log_weights = _nodes(points)
    taken, made, structure = peak.taken, peak.made, peak.curvature.structure
    level, size = structure.big, structure.n_big
    sd = 1.0 / np.sqrt(peak.curvature.diagonal)
    effects = peak.effects[:, None] + sd[:, None] * nodes
    log_odds = peak.offset[:, None] + (peak.scale[:, None] * effects)[level]
    terms = taken[:, None] * log_odds - made[:, None] * np.logaddexp(0.0, log_odds)
    cell = (level[:, None] * points + np.arange(points)).ravel()
    within = sum_by(cell, terms.ravel(), size * points).reshape(size, points)
    within = within + log_weights - effects**2 / 2.0
    top = within.max(axis=1, keepdims=True)
    share = np.exp(within - top)
    total = share.sum(axis=1, keepdims=True)
    height = float((np.log(total) + top).sum() + np.log(sd).sum())
    share /= total
    left = share[level] * (taken[:, None] - made[:, None] * expit(log_odds))
    return height, left.sum(axis=1), float((left * effects[level]).sum())
