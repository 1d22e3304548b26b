"""Gaps in a row of values: where they are, and a straight line over the short ones."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]


def gaps(values: ArrayLike) -> list[tuple[int, int]]:
    """Find the runs of missing values.

    Parameters
    ----------
    values : array_like
        Values in order, shape (n,); NaN where missing.

    Returns
    -------
    list of tuple of int
        Start and length of each run.

    Notes
    -----
    Our own rule.

    Examples
    --------
    >>> gaps([1.0, float("nan"), float("nan"), 4.0])
    [(1, 2)]
    """
    missing = np.isnan(np.asarray(values, dtype=np.float64))
    edges = np.flatnonzero(np.diff(np.concatenate(([False], missing, [False])).astype(np.int8)))
    return [(int(start), int(end - start)) for start, end in edges.reshape(-1, 2)]


def bridged(values: ArrayLike, longest: int) -> Floats:
    """Draw a straight line over gaps of at most `longest` values that lie between two known ones.

    Parameters
    ----------
    values : array_like
        Values in order, shape (n,); NaN where missing.
    longest : int
        Longest gap to bridge, at least 0.

    Returns
    -------
    ndarray
        The values, shape (n,); longer gaps and those at the ends stay NaN.

    Notes
    -----
    Linear interpolation.

    Examples
    --------
    >>> bridged([1.0, float("nan"), 3.0, float("nan"), float("nan"), 6.0], 1).tolist()
    [1.0, 2.0, 3.0, nan, nan, 6.0]
    """
    result = np.array(values, dtype=np.float64)
    for start, length in gaps(result):
        if length <= longest and start > 0 and start + length < result.size:
            line = np.linspace(result[start - 1], result[start + length], length + 2)
            result[start : start + length] = line[1:-1]
    return result
