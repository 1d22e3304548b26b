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


class Grouping:
    """Codes laid out once, to sum many arrays by them.

    With many rows, sums over sorted stretches are several times faster than sums by code.

    Examples
    --------
    >>> Grouping(np.array([0, 2, 0]), 3).sums(np.array([1.0, 5.0, 2.0])).tolist()
    [3.0, 0.0, 5.0]
    """

    MANY = 4000

    def __init__(self, codes: IntArray, size: int) -> None:
        self.codes, self.size = codes, size
        self.sorted = len(codes) >= self.MANY
        if self.sorted:
            self._order = np.argsort(codes, kind="stable")
            ranked = codes[self._order]
            self._starts = np.flatnonzero(np.concatenate([[True], ranked[1:] != ranked[:-1]]))
            self._present = ranked[self._starts]

    def sums(self, values: FloatArray) -> FloatArray:
        """Sum values that have the same code, shape (size,)."""
        if not self.sorted:
            return sum_by(self.codes, values, self.size)
        answer = np.zeros(self.size)
        answer[self._present] = np.add.reduceat(values[self._order], self._starts)
        return answer
