"""The smallest whole number at which something that only rises reaches a level."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

_HALVE_EVERY = 8  # tries; a curve that defeats secants is still halved


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
    return None if above is None else _close_in(value, level, below, above)


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


def _close_in(value: Callable[[int], float], level: float, below: _Point, above: _Point) -> int:
    """Secants of the Illinois kind: an end that stays twice counts half, so that it is passed over."""
    (left, short), (right, over) = (below[0], level - below[1]), (above[0], above[1] - level)
    tries = last = 0
    while right - left > 1:
        tries += 1
        share = short / (short + over) if math.isfinite(short) and tries % _HALVE_EVERY else 0.5
        n = min(max(left + math.ceil(share * (right - left)), left + 1), right - 1)
        gap = value(n) - level
        if gap >= 0:
            right, over, short = n, gap, short / 2 if last > 0 else short
        else:
            left, short, over = n, -gap, over / 2 if last < 0 else over
        last = 1 if gap >= 0 else -1
    return right
