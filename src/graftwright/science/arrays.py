"""Names for the kinds of array the formulas work on, and the sum they use most."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
BoolArray: TypeAlias = NDArray[np.bool]


def sum_by(codes: IntArray, values: FloatArray, size: int) -> FloatArray:
    """Sum values that have the same code.

    Parameters
    ----------
    codes : array of shape (rows,)
        Which sum each row belongs to [0 to size - 1].
    values : array of shape (rows,)
        What is summed [any unit].
    size : int
        How many sums there are.

    Examples
    --------
    >>> sum_by(np.array([0, 2, 0]), np.array([1.0, 5.0, 2.0]), 3).tolist()
    [3.0, 0.0, 5.0]
    """
    return np.bincount(codes, values, size).astype(np.float64, copy=False)
