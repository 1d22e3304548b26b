"""Intervals of a share and of the difference of two, from plain counts."""

from __future__ import annotations

from math import sqrt

from scipy.special import ndtri


def wilson(taken: int, made: int, level: float = 0.9) -> tuple[float, float]:
    """Score interval of one share.

    Parameters
    ----------
    taken, made : int
        Grafts that took, of those made [grafts, made above 0].
    level : float
        Chance that it covers [0-1].

    References
    ----------
    Wilson (1927), J. Am. Stat. Assoc. 22:209-212; Newcombe (1998), Stat. Med. 17:857-872, method 3.

    Examples
    --------
    >>> [round(end, 4) for end in wilson(81, 263, 0.95)]
    [0.2553, 0.3662]
    """
    z = float(ndtri(0.5 + level / 2.0))
    share = taken / made
    middle = share + z * z / (2.0 * made)
    wide = z * sqrt(share * (1.0 - share) / made + (z / (2.0 * made)) ** 2)
    total = 1.0 + z * z / made
    return max(0.0, (middle - wide) / total), min(1.0, (middle + wide) / total)


def difference(taken: tuple[int, int], made: tuple[int, int], level: float = 0.9) -> tuple[float, float]:
    """Interval of the first share less the second, made from their score intervals.

    Parameters
    ----------
    taken, made : pair of int
        Grafts that took, of those made, of each arm [grafts, made above 0].
    level : float
        Chance that it covers [0-1].

    References
    ----------
    Newcombe (1998), Stat. Med. 17:873-890, method 10.

    Examples
    --------
    >>> [round(end, 4) for end in difference((56, 48), (70, 80), 0.95)]
    [0.0524, 0.3339]
    """
    first, second = taken[0] / made[0], taken[1] / made[1]
    (low, high), (other_low, other_high) = wilson(taken[0], made[0], level), wilson(taken[1], made[1], level)
    below = sqrt((first - low) ** 2 + (other_high - second) ** 2)
    above = sqrt((high - first) ** 2 + (second - other_low) ** 2)
    return first - second - below, first - second + above
