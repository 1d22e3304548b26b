"""Who gets which arm: complete blocks, shuffled so that a seed means the same everywhere."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from graftwright.science.trials.troubles import NoTrial

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True)
class Unit:
    """One unit of a trial: its number, its block, its place in the block, and its arm."""

    number: int
    block: int
    place: int
    arm: str


def lay_out(arms: Sequence[str], blocks: int, each: int, seed: int) -> list[Unit]:
    """Give every arm to `each` units of every block, in an order that the seed settles.

    Parameters
    ----------
    arms : sequence of str
        Names of the arms, each once, at least two.
    blocks : int
        How many blocks [from 1].
    each : int
        Units of each arm in a block [from 1].
    seed : int
        Any whole number; the same seed gives the same layout on any machine.

    Raises
    ------
    NoTrial
        Fewer than two arms, an arm named twice, or no block.

    References
    ----------
    Randomised complete blocks: Fisher (1935), *The Design of Experiments*, ch. 4. The shuffle is
    Durstenfeld's (1964, Commun. ACM 7:420), on the generator's `random()`, which the language keeps
    the same between its versions.

    Examples
    --------
    >>> [unit.arm for unit in lay_out(["A", "B"], 2, 1, 7)]
    ['B', 'A', 'B', 'A']
    """
    _check(arms, blocks, each)
    draw = Random(seed)  # noqa: S311  a layout that anyone can make again
    answer: list[Unit] = []
    for block in range(1, blocks + 1):
        order = [arm for arm in arms for _ in range(each)]
        _shuffle(order, draw)
        answer += [Unit(len(answer) + place, block, place, arm) for place, arm in enumerate(order, start=1)]
    return answer


def _check(arms: Sequence[str], blocks: int, each: int) -> None:
    if len(arms) < 2:
        raise NoTrial("A trial compares at least two arms.")
    if len(set(arms)) < len(arms) or not all(arms):
        raise NoTrial("Every arm needs a name of its own.")
    if blocks < 1 or each < 1:
        raise NoTrial("A trial needs at least one block with at least one unit of each arm.")


def _shuffle(order: list[str], draw: Random) -> None:
    for last in range(len(order) - 1, 0, -1):
        other = int(draw.random() * (last + 1))
        order[last], order[other] = order[other], order[last]
