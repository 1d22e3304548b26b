"""Reading a trial: the test that fits how arms were given to grafts and bags."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import stdtrit

from graftwright.science.trials.bags import bag_permutation_p
from graftwright.science.trials.blocks import block_p, common_odds_ratio
from graftwright.science.trials.boschloo import boschloo_p
from graftwright.science.trials.intervals import difference
from graftwright.science.trials.troubles import MixedBags, OneArm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.arrays import FloatArray

APART, BAGS, WITHIN = "apart", "bags", "within"


@dataclass(frozen=True)
class Grafts:
    """Grafts of one arm in one bag (each row its own bag where grafts stand apart)."""

    arm: str
    bag: str
    taken: int
    made: int


@dataclass(frozen=True)
class Pair:
    """Two arms compared: p, p with all pairs allowed for, lead of the first, odds ratio where paired."""

    first: str
    second: str
    p: float
    p_all: float
    test: str
    lead: float
    low: float | None
    high: float | None
    odds_ratio: float | None = None
    odds_low: float | None = None
    odds_high: float | None = None


def layout_of(rows: Sequence[Grafts], *, bagged: bool) -> str:
    """Tell how arms were given: to grafts apart, to whole bags, or both in each bag.

    Examples
    --------
    >>> layout_of([Grafts("A", "1", 1, 2), Grafts("B", "2", 2, 2)], bagged=True)
    'bags'
    """
    arms = {row.arm for row in rows if row.made > 0}
    if len(arms) < 2:
        raise OneArm
    if not bagged:
        return APART
    held = _arms_by_bag(rows)
    whole = [bag for bag, inside in held.items() if len(inside) == 1]
    both = [bag for bag, inside in held.items() if len(inside) > 1]
    if whole and both:
        raise MixedBags(whole[0], both[0])
    return BAGS if whole else WITHIN


def _arms_by_bag(rows: Sequence[Grafts]) -> dict[str, set[str]]:
    held: dict[str, set[str]] = {}
    for row in rows:
        if row.made > 0:
            held.setdefault(row.bag, set()).add(row.arm)
    return held


def compare_arms(rows: Sequence[Grafts], layout: str) -> list[Pair]:
    """Compare every two arms, in the order they are first named.

    Raises
    ------
    OneArm
        Fewer than two arms have grafts.

    References
    ----------
    Several pairs: Holm (1979), Scand. J. Stat. 6:65-70.

    Examples
    --------
    >>> pairs = compare_arms([Grafts("A", "", 7, 8), Grafts("B", "", 2, 8)], "apart")
    >>> pairs[0].test, round(pairs[0].p, 4)
    ('boschloo', 0.0213)
    """
    arms = list(dict.fromkeys(row.arm for row in rows if row.made > 0))
    if len(arms) < 2:
        raise OneArm
    compare = {APART: _apart, BAGS: _bags, WITHIN: _within}[layout]
    pairs = [compare(rows, first, second) for first, second in combinations(arms, 2)]
    held = holm([pair.p for pair in pairs])
    return [replace(pair, p_all=p) for pair, p in zip(pairs, held, strict=True)]


def holm(values: Sequence[float]) -> list[float]:
    """Raise each p so that all together keep to alpha.

    References
    ----------
    Holm (1979), Scand. J. Stat. 6:65-70.

    Examples
    --------
    >>> [round(value, 4) for value in holm([0.01, 0.02, 0.03])]
    [0.03, 0.04, 0.04]
    """
    order = sorted(range(len(values)), key=values.__getitem__)
    raised, worst = list(values), 0.0
    for rank, number in enumerate(order):
        worst = max(worst, min(1.0, (len(values) - rank) * values[number]))
        raised[number] = worst
    return raised


def _counts(rows: Sequence[Grafts], arm: str) -> tuple[int, int]:
    own = [row for row in rows if row.arm == arm]
    return sum(row.taken for row in own), sum(row.made for row in own)


def _lead(first: tuple[int, int], second: tuple[int, int]) -> float:
    return first[0] / first[1] - second[0] / second[1]


def _apart(rows: Sequence[Grafts], first: str, second: str) -> Pair:
    one, two = _counts(rows, first), _counts(rows, second)
    taken, made = (one[0], two[0]), (one[1], two[1])
    p = boschloo_p(taken, made)
    return Pair(first, second, p, p, "boschloo", _lead(one, two), *difference(taken, made))


def _by_bag(rows: Sequence[Grafts], arm: str) -> dict[str, tuple[int, int]]:
    bags: dict[str, tuple[int, int]] = {}
    for row in rows:
        if row.arm == arm and row.made > 0:
            taken, made = bags.get(row.bag, (0, 0))
            bags[row.bag] = (taken + row.taken, made + row.made)
    return bags


def _bags(rows: Sequence[Grafts], first: str, second: str) -> Pair:
    one, two = list(_by_bag(rows, first).values()), list(_by_bag(rows, second).values())
    taken, made = zip(*one, *two, strict=True)
    p, exact = bag_permutation_p(taken, made, [True] * len(one) + [False] * len(two))
    lead = _lead(_counts(rows, first), _counts(rows, second))
    test = "bag-permutation" if exact else "bag-permutation, drawn"
    return Pair(first, second, p, p, test, lead, *_bag_interval(one, two, lead))


def _bag_interval(
    one: list[tuple[int, int]], two: list[tuple[int, int]], lead: float
) -> tuple[float | None, float | None]:
    """90 % interval of the lead from the scatter of bags (Cochran 1977, *Sampling Techniques*, ch. 6)."""
    if min(len(one), len(two)) < 2:
        return None, None
    variance = sum(_ratio_variance(np.array(bags, dtype=float).T) for bags in (one, two))
    wide = float(stdtrit(len(one) + len(two) - 2, 0.95)) * variance**0.5
    return max(-1.0, lead - wide), min(1.0, lead + wide)


def _ratio_variance(counts: FloatArray) -> float:
    taken, made = counts
    left = taken - made * taken.sum() / made.sum()
    bags = len(made)
    return float(bags / (bags - 1.0) * (left @ left) / made.sum() ** 2)


def _within(rows: Sequence[Grafts], first: str, second: str) -> Pair:
    one, two = _by_bag(rows, first), _by_bag(rows, second)
    shared = [bag for bag in one if bag in two]
    taken = [(one[bag][0], two[bag][0]) for bag in shared]
    made = [(one[bag][1], two[bag][1]) for bag in shared]
    p = block_p(taken, made) if shared else 1.0
    lead = _lead(_counts(rows, first), _counts(rows, second))
    odds = common_odds_ratio(taken, made) if shared else None
    ends = (None, None, None) if odds is None else tuple(map(_finite, vars(odds).values()))
    return Pair(first, second, p, p, "block-cmh", lead, None, None, *ends)


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None
