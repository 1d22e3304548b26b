"""The rising sequence closest to a given one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray


def rising_fit(values: FloatArray, weights: FloatArray) -> FloatArray:
    """Fit a never-falling sequence by weighted least squares, pooling neighbours that fall.

    Parameters
    ----------
    values : array of shape (n,)
        What is fitted [any unit].
    weights : array of shape (n,)
        Weight of each value [above 0].

    References
    ----------
    Robertson, Wright & Dykstra (1988), *Order Restricted Statistical Inference*, section 1.2.

    Examples
    --------
    >>> rising_fit(np.array([1.0, 3.0, 2.0]), np.ones(3)).tolist()
    [1.0, 2.5, 2.5]
    """
    means: list[float] = []
    pooled: list[float] = []
    sizes: list[int] = []
    for value, weight in zip(values.tolist(), weights.tolist(), strict=True):
        mean, heavy, size = value, weight, 1
        while means and means[-1] >= mean:
            other = pooled.pop()
            mean = (means.pop() * other + mean * heavy) / (other + heavy)
            heavy += other
            size += sizes.pop()
        means.append(mean)
        pooled.append(heavy)
        sizes.append(size)
    return np.repeat(np.array(means), sizes)
