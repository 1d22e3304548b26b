"""Scarce sprouts: no other split has fewer trees missing, tried one by one."""

from __future__ import annotations

import itertools
import random
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chains import left_after
from graftwright.science.sharing import Claim, NoSuchNumber, share
from graftwright.science.sizing import Stage

CHAINS = [
    (Stage("take", 0.75, 4),),
    (Stage("sprouted", 0.5),),
    (Stage("take", 0.9, 20), Stage("weaned", 0.8, 3)),
    (Stage("take", 0.3, 0.5), Stage("potted", 0.95)),
]


@cache
def missing(want: int, given: int, stages: tuple[Stage, ...]) -> float:
    """Expected number missing, from the exact law of what is left."""
    law = left_after(given, stages)
    return float(law @ np.maximum(want - np.arange(given + 1), 0))


def fewest_missing(sprouts: int, claims: list[Claim]) -> float:
    ranges = (range(min(sprouts, sprouts if c.most is None else c.most) + 1) for c in claims)
    splits = (split for split in itertools.product(*ranges) if sum(split) <= sprouts)
    return min(
        sum(missing(c.want, n, c.stages) for c, n in zip(claims, split, strict=True)) for split in splits
    )


def check(sprouts: int, claims: list[Claim]) -> None:
    split = share(sprouts, claims)
    found = sum(missing(c.want, n, c.stages) for c, n in zip(claims, split, strict=True))
    assert sum(split) <= sprouts
    assert all(c.most is None or n <= c.most for c, n in zip(claims, split, strict=True))
    assert found == pytest.approx(fewest_missing(sprouts, claims), abs=1e-7), (sprouts, claims, split)


def test_two_wishes_every_small_case() -> None:
    for wants in itertools.product(range(4), repeat=2):
        for chains in itertools.product(CHAINS, repeat=2):
            claims = [Claim(want, stages) for want, stages in zip(wants, chains, strict=True)]
            for sprouts in range(8):
                check(sprouts, claims)


def test_three_wishes_with_little_wood() -> None:
    rng = random.Random(7)
    for _ in range(250):
        claims = [
            Claim(rng.randint(0, 4), rng.choice(CHAINS), rng.choice([None, 0, 1, 2, 5])) for _ in range(3)
        ]
        check(rng.randint(0, 10), claims)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(want=st.integers(1, 30), given=st.integers(0, 60), chain=st.sampled_from(CHAINS))
def test_a_gain_is_the_fall_in_the_number_missing(want: int, given: int, chain: tuple[Stage, ...]) -> None:
    fall = missing(want, given, chain) - missing(want, given + 1, chain)
    assert Claim(want, chain).gain(given) == pytest.approx(fall, abs=1e-9)


def test_ties_go_to_the_wish_named_first() -> None:
    alike = Claim(2, CHAINS[0])
    assert share(3, [alike, alike]) == [2, 1]
    assert share(5, [alike, alike]) == [3, 2]


def test_what_helps_nobody_is_left_over() -> None:
    assert share(10, [Claim(3, (Stage("sorted", 1.0),)), Claim(5, CHAINS[0], most=2)]) == [3, 2]
    assert share(10, [Claim(0, CHAINS[0])]) == [0]
    assert share(0, [Claim(3, CHAINS[0])]) == [0]
    assert share(4, []) == []


def test_fewer_than_none_is_refused() -> None:
    with pytest.raises(NoSuchNumber) as caught:
        share(-1, [])
    assert str(caught.value) == "-1 sprouts cannot be shared. Give a whole number of 0 or more."
