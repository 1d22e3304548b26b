"""Will the numbers be made? The law of what is left, from where every unit stands and what the season showed.

Stages are taken in order: to the units that arrive come those standing there, and then each passes
with the season's share, mixed over what is known of that share. Stages are independent of each other
within a season. Up to 1,000 units the law is exact; above that, and for wishes that share a sheet,
shares are drawn and the error of drawing is given.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.errors import ValueComplaint
from graftwright.science.left import Drawn, Exact, scatter, spread
from graftwright.science.search import first_reaching
from graftwright.science.shares import Entered, draw_shares, season_shares

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.left import Draws
    from graftwright.science.sizing import Stage

MOST_EXACT = 1000  # units of one wish


class NoSuchStage(ValueComplaint):
    """Units stand where the sheet has no stage."""

    def __init__(self, stage: int, stages: int) -> None:
        super().__init__(
            f"Units stand at stage {stage + 1} of a sheet that has {stages}.",
            do="Give the sheet the batch was made with.",
        )


@dataclass(frozen=True)
class Wish:
    """What is wanted of one variety, what is finished, and where its units stand.

    Parameters
    ----------
    want : int
        Trees wanted.
    own : tuple of Entered
        Its batches, stage by stage; those waiting may still come.
    done : int
        Trees finished.
    """

    want: int
    own: tuple[Entered, ...] = ()
    done: int = 0

    @property
    def waiting(self) -> int:
        """Units that may still come."""
        return sum(each.waiting for each in self.own)


@dataclass(frozen=True)
class Outlook:
    """What is to be expected of one wish.

    `chance` of the wanted number with the `error` of drawing (0 where exact), and the median and the
    10 and 90 % points of the number left: the smallest k with P(X ≤ k) of at least that share.
    """

    chance: float
    error: float
    median: int
    low: int
    high: int
    left: Exact | Drawn


def outlooks(
    stages: Sequence[Stage], wishes: Sequence[Wish], others: Sequence[Entered] = ()
) -> list[Outlook]:
    """Return the outlook of each wish on one sheet.

    Parameters
    ----------
    stages : sequence of Stage
        The sheet's stages in order, with their laws before the season.
    wishes : sequence of Wish
        Their units; what happened to them tells of the season for all.
    others : sequence of Entered
        Units of the same sheet that belong to no wish, and tell of the season too.

    Returns
    -------
    list of Outlook
        One for each wish.

    References
    ----------
    Compound and mixed binomial laws: Johnson, Kemp & Kotz 2005, Univariate Discrete Distributions,
    3rd ed., sections 3.12 and 8.3.

    Examples
    --------
    >>> from graftwright.science.sizing import Stage
    >>> sheet = [Stage("take", 0.75, 20.0), Stage("potted", 0.9, 30.0)]
    >>> (seen,) = outlooks(sheet, [Wish(5, (Entered(0, passed=8, lost=2), Entered(1, waiting=8)))])
    >>> round(seen.chance, 3), seen.median, seen.low, seen.high
    (0.987, 7, 6, 8)
    """
    season = _Season(stages, wishes, others)
    return [_outlook(wish, season.left(wish)) for wish in wishes]


def together(
    stages: Sequence[Stage], wishes: Sequence[Wish], others: Sequence[Entered] = ()
) -> tuple[float, float]:
    """Return the chance that all wishes on one sheet are met in the same season, and its standard error.

    Parameters
    ----------
    stages, wishes, others
        As for `outlooks`.

    Examples
    --------
    >>> from graftwright.science.sizing import Stage
    >>> twins = [Wish(4, (Entered(0, waiting=6),))] * 2
    >>> chance, error = together([Stage("take", 0.75, 20.0)], twins)
    >>> 0.5 < chance < 0.8 and error < 0.01
    True
    """
    draws = _Season(stages, wishes, others).draws()
    met = np.prod([Drawn(draws, wish.own, wish.done).given_shares(wish.want) for wish in wishes], axis=0)
    return float(met.mean()), scatter(met)


def top_up(
    stages: Sequence[Stage],
    wishes: Sequence[Wish],
    number: int,
    sure: float,
    most: int,
    others: Sequence[Entered] = (),
) -> int | None:
    """Return the smallest number to graft more that makes one wish `sure` again.

    Parameters
    ----------
    stages, wishes, others
        As for `outlooks`.
    number : int
        Which wish, from 0.
    sure : float
        Wanted chance [1], between 0 and 1.
    most : int
        The most that can still be grafted.

    Returns
    -------
    int or None
        0 where nothing is needed; None where `most` is not enough.

    Examples
    --------
    >>> from graftwright.science.sizing import Stage
    >>> top_up([Stage("take", 0.75, 20.0)], [Wish(1, (Entered(0, waiting=1),))], 0, 0.9, 10)
    1
    """
    wish, season = wishes[number], _Season(stages, wishes, others)

    def with_more(more: int) -> float:
        grown = Wish(wish.want, (*wish.own, Entered(0, waiting=more)), wish.done)
        return season.left(grown).at_least(wish.want)

    return first_reaching(with_more, sure, low=0, high=most, guess=0)


def promised(left: Exact | Drawn, counts: Sequence[int]) -> list[float]:
    """Return for each promise, in the order they are served, the chance that its trees will be there.

    Parameters
    ----------
    left : Left
        Law of what will be left, as an outlook has it.
    counts : sequence of int
        Trees of each promise.

    Examples
    --------
    >>> from graftwright.science.sizing import Stage
    >>> (seen,) = outlooks([Stage("take", 0.5)], [Wish(2, (Entered(0, waiting=2),))])
    >>> [round(chance, 9) for chance in promised(seen.left, [1, 1])]
    [0.75, 0.25]
    """
    return [left.at_least(int(total)) for total in np.cumsum(counts)]


def _outlook(wish: Wish, left: Exact | Drawn) -> Outlook:
    low, median, high = (_point(left, share) for share in (0.1, 0.5, 0.9))
    return Outlook(left.at_least(wish.want), left.error(wish.want), median, low, high, left)


def _point(left: Exact | Drawn, share: float) -> int:
    found = first_reaching(
        lambda k: 1.0 - left.at_least(k + 1), share - 1e-12, low=0, high=left.most, guess=left.most // 2
    )
    return left.most if found is None else found


class _Season:
    """What all wishes on one sheet share: its stages, and what became of all units this season."""

    def __init__(self, stages: Sequence[Stage], wishes: Sequence[Wish], others: Sequence[Entered]) -> None:
        entered = [*others, *(each for wish in wishes for each in wish.own)]
        for each in entered:
            if each.stage >= len(stages):
                raise NoSuchStage(each.stage, len(stages))
        self._seen = [
            (stage, [each for each in entered if each.stage == number]) for number, stage in enumerate(stages)
        ]

    def left(self, wish: Wish) -> Exact | Drawn:
        """Return the law of what will be left of one wish."""
        if wish.waiting > MOST_EXACT:
            return Drawn(self.draws(), wish.own, wish.done)
        return Exact([season_shares(*seen, wish.waiting) for seen in self._seen], wish.own, wish.done)

    def draws(self) -> list[Draws]:
        """Return draws of every stage's share."""
        points = spread(np.array([self._sway(seen) for seen in self._seen]))
        return [draw_shares(*seen, uniform) for seen, uniform in zip(self._seen, points, strict=True)]

    def _sway(self, seen: tuple[Stage, list[Entered]]) -> float:
        """Return about the standard deviation of the log of a stage's share."""
        (bad, good), _ = draw_shares(*seen, np.array([0.16, 0.84]))
        return float(np.log(good / bad)) / 2.0
