"""Scarce sprouts and wood: each next sprout goes where it lowers the number missing most.

The expected number missing, E(T - X_n)⁺, falls by less with each further graft, whatever the
seasons do, so giving one at a time ends at the split with the fewest trees missing in all. It is
not the split with the greatest chance that every wish is met.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint
from graftwright.science.sizing import Stage, chance

if TYPE_CHECKING:
    from collections.abc import Sequence


class NoSuchNumber(ValueComplaint):
    """Fewer than none to share."""

    def __init__(self, what: str, count: int) -> None:
        super().__init__(f"{count} {what} cannot be shared.", do="Give a whole number of 0 or more.")


@dataclass(frozen=True)
class Claim:
    """One wish's claim on the sprouts: what is wanted, what stands between, and its wood.

    Parameters
    ----------
    want : int
        Trees wanted, 0 or more.
    stages : tuple of Stage
        What a graft must pass.
    most : int or None
        Grafts its wood allows; None where wood is plenty.
    """

    want: int
    stages: tuple[Stage, ...]
    most: int | None = None

    def gain(self, given: int) -> float:
        """Return by how much one more graft than `given` lowers the expected number missing.

        It counts if it lives and the others fall short; weighting seasons by their share P turns
        each Beta(a, b) into Beta(a + 1, b), so E[P · P(X < T)] is a mean times a chance.
        """
        if given >= (math.inf if self.most is None else self.most) or self.want == 0:
            return 0.0
        mean = math.prod(stage.mean for stage in self.stages)
        if given < self.want:
            return mean
        return mean * (1.0 - chance(self.want, given, [_weighted(stage) for stage in self.stages]))


def share(sprouts: int, claims: Sequence[Claim]) -> list[int]:
    """Return how many sprouts each claim gets, so that the fewest trees are missing.

    Parameters
    ----------
    sprouts : int
        Sprouts to share, 0 or more.
    claims : sequence of Claim
        In the order they are named; ties go to the first.

    Returns
    -------
    list of int
        One number for each claim; their sum is below `sprouts` only where no claim gains by more.

    Raises
    ------
    NoSuchNumber
        If there are fewer than no sprouts.

    References
    ----------
    Greedy allocation of a separable convex cost: Fox 1966, Management Science 13(3), 210-216,
    doi:10.1287/mnsc.13.3.210.

    Examples
    --------
    >>> share(9, [Claim(2, (Stage("take", 0.5),)), Claim(4, (Stage("take", 0.9),))])
    [4, 5]
    """
    if sprouts < 0:
        raise NoSuchNumber("sprouts", sprouts)
    given = [0] * len(claims)
    # Gains rarely differ by rounding alone; to nine digits such ties go to the claim named first.
    waiting = [(-round(claim.gain(0), 9), number) for number, claim in enumerate(claims)]
    heapq.heapify(waiting)
    for _ in range(sprouts):
        if not waiting or waiting[0][0] >= 0.0:
            break
        number = waiting[0][1]
        given[number] += 1
        heapq.heapreplace(waiting, (-round(claims[number].gain(given[number]), 9), number))
    return given


def _weighted(stage: Stage) -> Stage:
    """Return the stage as it is where seasons count by their share."""
    if stage.weight is None:
        return stage
    weight = stage.weight + 1.0
    return Stage(stage.name, (stage.passing + 1.0) / weight, weight)
