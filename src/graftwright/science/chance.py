"""Normal and binomial chances on whole arrays, without the start-up time of a statistics library."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from typing import TypeAlias

    from numpy.typing import ArrayLike, NDArray

    Floats: TypeAlias = NDArray[np.float64]

_STEP = 1 / 64
_REACH = 9.0
_NODES = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
_BELOW = np.array([0.5 * math.erfc(-node / math.sqrt(2)) for node in _NODES])
_DENSITY = np.exp(-_NODES * _NODES / 2) / math.sqrt(2 * math.pi)


def normal_below(z: ArrayLike) -> Floats:
    """Return the chance that a standard normal draw is at most z.

    A table of the complementary error function, continued from its nearest node by a Taylor
    series of third order.

    Parameters
    ----------
    z : array_like
        Any shape, infinities allowed; beyond -9 and 9 the value there is returned.

    Returns
    -------
    ndarray
        Chances of the same shape; error below 1e-10, relative error in the lower tail below 1e-5.

    Notes
    -----
    M. Abramowitz and I. A. Stegun (1964), *Handbook of Mathematical Functions*, 26.2.1 and 26.2.29.

    Examples
    --------
    >>> [round(float(chance), 6) for chance in normal_below([-1.0, 0.0, 1.959964])]
    [0.158655, 0.5, 0.975]
    """
    held = np.clip(np.asarray(z, dtype=np.float64), -_REACH, _REACH)
    nearest = np.rint((held + _REACH) / _STEP).astype(np.intp)
    node = _NODES[nearest]
    step = held - node
    taylor = step * (1 - step * (node / 2 - step * (node * node - 1) / 6))
    below: Floats = _BELOW[nearest] + _DENSITY[nearest] * taylor
    return below


def normal_between(lower: ArrayLike, upper: ArrayLike) -> Floats:
    """Return the chance that a standard normal draw lies in (lower, upper].

    Taken from the nearer tail, so that narrow cells far out keep their digits.

    Parameters
    ----------
    lower, upper : array_like
        Limits, broadcast against each other, infinities allowed; 0 where lower is not below upper.

    Returns
    -------
    ndarray
        Chances of the broadcast shape.

    Notes
    -----
    Abramowitz and Stegun (1964), 26.2.1.

    Examples
    --------
    >>> round(float(normal_between(-1.0, 1.0)), 6)
    0.682689
    """
    low, high = np.broadcast_arrays(np.asarray(lower, np.float64), np.asarray(upper, np.float64))
    turn = low > 0
    chance = normal_below(np.where(turn, -low, high)) - normal_below(np.where(turn, -high, low))
    between: Floats = np.where(low < high, np.maximum(chance, 0.0), 0.0)
    return between


def at_least(successes: ArrayLike, trials: ArrayLike, chance: ArrayLike) -> Floats:
    """Return the chance of at least so many successes in independent trials.

    The binomial terms are added outward from the count asked for, into the tail that holds less,
    until nothing changes.

    Parameters
    ----------
    successes, trials : array_like of int
        Counts, broadcast; trials 0 or more. None or fewer asked for gives 1, more than there are trials 0.
    chance : array_like
        Chance of success of each trial, 0 to 1.

    Returns
    -------
    ndarray
        Chances of the broadcast shape; relative error about 1e-11.

    Notes
    -----
    Abramowitz and Stegun (1964), 26.1.20, with the ratio of neighbouring terms; S. Bernstein's inequality as
    in G. Bennett (1962), *J. Am. Stat. Assoc.* 57:33-45.

    Examples
    --------
    >>> round(float(at_least(2, 3, 0.5)), 6)
    0.5
    """
    k, n, q = np.broadcast_arrays(
        np.asarray(successes, np.int64), np.asarray(trials, np.int64), np.asarray(chance, np.float64)
    )
    # Beyond this distance from the mean Bernstein's inequality leaves less than 1e-14 in the tail.
    near = np.abs(k - n * q) <= 23 + 8.4 * np.sqrt(n * q * (1 - q))
    answer = np.asarray((k <= 0) | ((k <= n) & (k <= n * q)), dtype=np.float64)
    open_ = near & (k > 0) & (k <= n) & (q > 0) & (q < 1)
    if open_.any():
        np.place(answer, open_, _tail(k[open_], n[open_], q[open_]))
    return answer


def _tail(k: NDArray[np.int64], n: NDArray[np.int64], q: Floats) -> Floats:
    # Below the mean the short tail is 'at most k - 1', which is 'at least n - k + 1 failures'.
    turn = k <= n * q
    short_k = np.where(turn, n - k + 1, k)
    success = np.where(turn, 1 - q, q)
    short = _first_term(short_k, n, success) * _series(short_k, n, success / (1 - success))
    tail: Floats = np.where(turn, 1 - short, short)
    return tail


def _first_term(k: NDArray[np.int64], n: NDArray[np.int64], q: Floats) -> Floats:
    log_factorial = np.concatenate(([0.0], np.cumsum(np.log(np.arange(1, n.max() + 1)))))
    ways = log_factorial[n] - log_factorial[k] - log_factorial[n - k]
    term: Floats = np.exp(ways + k * np.log(q) + (n - k) * np.log1p(-q))
    return term


def _series(k: NDArray[np.int64], n: NDArray[np.int64], odds: Floats) -> Floats:
    total = np.ones_like(odds)
    term = np.ones_like(odds)
    for i in range(int((n - k).max())):
        term *= (n - k - i) / (k + i + 1) * odds
        term[n - k <= i] = 0.0
        total += term
        if term.max() < 1e-13:
            break
    return total
