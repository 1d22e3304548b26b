"""What is taken for granted before a bench's own counts are seen; all of it stands in the answer."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import polygamma, psi

from graftwright.science.findings.troubles import NotAShare, NotAWeight

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray


@dataclass(frozen=True)
class InterceptPrior:
    """Normal law of the log odds of take on an average bench."""

    mean: float = 0.0
    sd: float = 1.5

    @classmethod
    def from_usual(cls, mean: float, weight: float) -> InterceptPrior:
        """Match the log odds of a Beta law of usual take.

        Parameters
        ----------
        mean : float
            Usual share that takes [0-1, without the ends].
        weight : float
            How many grafts that is worth [grafts, above 0].

        Raises
        ------
        NotAShare, NotAWeight
            A value is outside its range.

        References
        ----------
        Mean and variance of the logarithm of the odds of a Beta variable: Johnson, Kotz & Balakrishnan
        (1995), *Continuous Univariate Distributions* 2, 2nd ed., ch. 25.

        Examples
        --------
        >>> prior = InterceptPrior.from_usual(0.5, 2.0)
        >>> round(prior.mean, 6), round(prior.sd, 6)
        (0.0, 1.813799)
        """
        if not 0.0 < mean < 1.0:
            raise NotAShare("The usual take", mean)
        if not (weight > 0.0 and np.isfinite(weight)):
            raise NotAWeight(weight)
        a, b = mean * weight, (1.0 - mean) * weight
        variance = float(polygamma(1, a) + polygamma(1, b))
        return cls(float(psi(a) - psi(b)), variance**0.5)

    def in_words(self) -> str:
        """Say the law as a share that people know."""
        low, mid, high = (1.0 / (1.0 + exp(-self.mean - k * self.sd)) for k in (-1.645, 0.0, 1.645))
        return f"about {mid:.0%} takes, very likely between {low:.0%} and {high:.0%}"


def half_normal_log_sds(log_sd: FloatArray) -> tuple[float, FloatArray]:
    """Log density of log sds whose sds are half-normal of scale 1, and its slope."""
    sd = np.exp(log_sd)
    return float((log_sd - 0.5 * sd**2).sum()), 1.0 - sd**2
