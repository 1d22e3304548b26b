"""Plain logistic regression of counts, by Newton steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit

from graftwright.science.findings.troubles import AllOrNone

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray

STEPS = 40
SURE = 14.0


def fit_logistic(taken: FloatArray, made: FloatArray, matrix: FloatArray) -> FloatArray:
    """Fit log odds that are linear in known columns, by maximum likelihood.

    Parameters
    ----------
    taken, made : array of shape (rows,)
        Grafts taken of those made [counts].
    matrix : array of shape (rows, columns)
        Columns, none of them a combination of others [any unit].

    Raises
    ------
    AllOrNone
        The estimates run off without end, because some rates are 0 or 1.

    References
    ----------
    McCullagh & Nelder (1989), *Generalized Linear Models*, 2nd ed., section 4.4.

    Examples
    --------
    >>> fit_logistic(np.array([2.0]), np.array([8.0]), np.ones((1, 1))).round(4).tolist()
    [-1.0986]
    """
    start = np.log((taken + 0.5) / (made - taken + 0.5))
    weight = made / 4.0
    beta: FloatArray = np.linalg.lstsq(
        np.sqrt(weight)[:, None] * matrix, np.sqrt(weight) * start, rcond=None
    )[0]
    for _ in range(STEPS):
        share = expit(matrix @ beta)
        information = matrix.T @ ((made * share * (1.0 - share))[:, None] * matrix)
        slope = matrix.T @ (taken - made * share)
        if np.abs(matrix @ beta).max() > SURE and _runs_off(information):
            raise AllOrNone
        step = np.linalg.solve(information, slope)
        beta = beta + step * min(1.0, 3.0 / float(np.abs(matrix @ step).max() + 1e-300))
        if float(step @ slope) < 1e-14:
            return beta
    raise AllOrNone


def _runs_off(information: FloatArray) -> bool:
    """Tell whether some combination of columns has nearly no information left."""
    size = np.sqrt(np.diagonal(information))
    if size.min() < 1e-2:
        return True
    scaled = information / np.outer(size, size)
    return bool(np.linalg.eigvalsh(scaled)[0] < 1e-8)
