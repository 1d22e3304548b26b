"""The smallest whole number at which something that only rises reaches a level."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


def first_reaching(
    value: Callable[[int], float], level: float, *, low: int, high: int, guess: int
) -> int | None:
    """Return the smallest n from `low` to `high` with value(n) ≥ level, or None if there is none.

    Parameters
    ----------
    value : callable
        Never falls as n rises.
    level : float
        What is to be reached.
    low, high : int
        The first and the last n that may be the answer.
    guess : int
        Where to begin; a good one saves tries.

    Examples
    --------
    >>> first_reaching(lambda n: n * n, 50.0, low=1, high=100, guess=20)
    8
    """
    below, above = _bracket(value, level, low, high, min(max(guess, low), high))
    if above is None:
        return None
    slow = 0  # tries since the bracket last halved: the secant may creep, so halve after two
    while above[0] - below[0] > 1:
        width = above[0] - below[0]
        n = _between(below, above, level, halve=slow >= 2)
        tried = value(n)
        if tried >= level:
            above = (n, tried)
        else:
            below = (n, tried)
        slow = slow + 1 if above[0] - below[0] > width / 2 and slow < 2 else 0
    return above[0]


_Point = tuple[int, float]


def _bracket(
    value: Callable[[int], float], level: float, low: int, high: int, guess: int
) -> tuple[_Point, _Point | None]:
    """Step away from the guess, each time twice as far, until the level lies between two tries."""
    at, step = (guess, value(guess)), max(1, guess // 32)
    if at[1] >= level:
        while at[0] > low:
            n = max(low, at[0] - step)
            tried = (n, value(n))
            if tried[1] < level:
                return tried, at
            at, step = tried, 2 * step
        return (low - 1, -math.inf), at
    while at[0] < high:
        n = min(high, at[0] + step)
        tried = (n, value(n))
        if tried[1] >= level:
            return at, tried
        at, step = tried, 2 * step
    return at, None


def _between(below: _Point, above: _Point, level: float, *, halve: bool) -> int:
    share = 0.5
    if not halve and math.isfinite(below[1]):
        share = (level - below[1]) / (above[1] - below[1])
    n = below[0] + math.ceil(share * (above[0] - below[0]))
    return min(max(n, below[0] + 1), above[0] - 1)
