"""The Gaussian at the mode of a binomial model, moved by its third-order term.

Taken counts are binomial with log odds offset + sum of scaled effects, the effects standard normal.
The log posterior is concave, so Newton steps with halving reach its one maximum. Laplace's
approximation of the marginal likelihood and the third-order shift of the mean follow Tierney &
Kadane (1986), J. Am. Stat. Assoc. 81:82-86, and Rue, Martino & Chopin (2009), J. R. Stat. Soc. B
71:319-392, section 3.2.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit, gammaln

from graftwright.science.findings.structure import Curvature

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray
    from graftwright.science.findings.structure import Structure

STEPS = 60
LEAST_GAIN = 1e-30
NODES, NODE_WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
NODE_WEIGHTS = NODE_WEIGHTS / NODE_WEIGHTS.sum()


@dataclass(frozen=True)
class Peak:
    """The mode of the effects at given scales, and what surrounds it.

    `effects` are in units of their scale; `log_odds` are those of the rows.
    """

    effects: FloatArray
    log_odds: FloatArray
    share: FloatArray
    scale: FloatArray
    taken: FloatArray
    made: FloatArray
    offset: FloatArray
    height: float
    curvature: Curvature

    @cached_property
    def row_variances(self) -> FloatArray:
        """Variance of each row's log odds."""
        return self.curvature.row_variances()

    @cached_property
    def log_marginal(self) -> float:
        """Laplace's log marginal likelihood, with the binomial constants."""
        return self.height - 0.5 * self.curvature.log_determinant

    @cached_property
    def refinement(self) -> float:
        """Next term of the log marginal likelihood after Laplace's."""
        share = self.share
        flat = share * (1.0 - share)
        variance = self.row_variances
        fourth = -self.made * flat * (1.0 - 6.0 * flat)
        third = self.made * flat * (1.0 - 2.0 * share)
        crossed = float(self.pull @ (self.scale * self.curvature.structure.scatter(self.bend)))
        return float((fourth @ variance**2) / 8.0 + crossed / 8.0 + (third**2 @ variance**3) / 12.0)

    @cached_property
    def bend(self) -> FloatArray:
        """Change of each row's curvature weight with its log odds, times its variance, shape (rows,)."""
        share = self.share
        return self.made * share * (1.0 - share) * (1.0 - 2.0 * share) * self.row_variances

    @cached_property
    def pull(self) -> FloatArray:
        """Twice the third-order distance from mean to mode, in units of scale, shape (size,)."""
        return self.curvature.solve(self.scale * self.curvature.structure.scatter(self.bend))

    @cached_property
    def mean(self) -> FloatArray:
        """Scaled effects at the mean, shape (size,).

        The shift answers to the average of each row's share over its own uncertainty, taken by
        quadrature: the third-order term alone overshoots where a row has one or two grafts.
        """
        wide = self.log_odds[:, None] + np.sqrt(self.row_variances)[:, None] * NODES
        excess = self.made * (expit(wide) @ NODE_WEIGHTS - self.share)
        shift = self.curvature.solve(self.scale * self.curvature.structure.scatter(excess))
        return self.scale * (self.effects - shift)

    @cached_property
    def slope_of_log_scale(self) -> FloatArray:
        """Derivative of the log marginal likelihood by each effect's log scale, shape (size,)."""
        return self.effects**2 - 1.0 + self.curvature.variances() - self.pull * self.effects


def log_constants(taken: FloatArray, made: FloatArray) -> float:
    """Sum of the log binomial coefficients."""
    return float((gammaln(made + 1) - gammaln(taken + 1) - gammaln(made - taken + 1)).sum())


def shares(log_odds: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Shares with these log odds, and minus the logarithms of what is left, from one exponential."""
    small = np.exp(-np.abs(log_odds))
    share: FloatArray = np.where(log_odds >= 0.0, 1.0, small) / (1.0 + small)
    return share, np.log1p(small) + np.maximum(log_odds, 0.0)


def find_peak(
    structure: Structure,
    *,
    taken: FloatArray,
    made: FloatArray,
    offset: FloatArray,
    scale: FloatArray,
    start: FloatArray,
    tolerance: float = 1e-6,
) -> Peak:
    """Climb to the mode by Newton's method with step halving."""
    effects = start
    log_odds = offset + structure.gather(scale * effects)
    share, log_left = shares(log_odds)
    height = float(taken @ log_odds - made @ log_left) - 0.5 * float(effects @ effects)
    for _ in range(STEPS):
        curvature = Curvature(structure, made * share * (1.0 - share), scale)
        slope = scale * structure.scatter(taken - made * share) - effects
        step = curvature.solve(slope)
        gain = float(step @ slope)
        if gain < LEAST_GAIN:
            break
        moved = structure.gather(scale * step)
        for _ in range(STEPS):
            share, log_left = shares(log_odds + moved)
            there = effects + step
            tried = float(taken @ (log_odds + moved) - made @ log_left) - 0.5 * float(there @ there)
            if tried >= height - 1e-12 * abs(height):
                break
            step, moved = step / 2.0, moved / 2.0
        effects, log_odds, height = there, log_odds + moved, tried
        # the curvature of a step so small ago is that of the mode
        if gain < tolerance:
            break
    return Peak(effects, log_odds, share, scale, taken, made, offset, height, curvature)
