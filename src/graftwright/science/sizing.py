"""How many to start, so that a bad season still leaves enough.

The share of units that pass a stage is one unknown number for a whole season, so a stage is a
beta-binomial and a chain of stages a product of Beta laws. The standard library alone is needed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.errors import NotEnoughComplaint, ValueComplaint
from graftwright.science.inversion import Contour, Share
from graftwright.science.log_gamma import slopes
from graftwright.science.search import first_reaching

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST = 10_000_000  # the search for a number to start ends here
_TIE = 1e-12  # a chance this near to the wanted one reaches it
_LOW, _HIGH = 0.1, 0.9


class ShareOutOfRange(ValueComplaint):
    """A stage that nothing passes, or more than everything."""

    def __init__(self, stage: str, mean: float) -> None:
        super().__init__(
            f"The share that passes {stage} cannot be {mean:g}.",
            do="Give a share above 0 and at most 1, such as 0.8.",
        )


class WeightOutOfRange(ValueComplaint):
    """A season weight that says nothing, or contradicts a certain stage."""

    def __init__(self, stage: str, weight: float) -> None:
        super().__init__(
            f"The season weight of {stage} cannot be {weight:g}.",
            do="Give a number above 0, such as 20, or none at all if the share is known exactly.",
        )


class CertainWithWeight(ValueComplaint):
    """All are said to pass, and yet seasons are said to differ."""

    def __init__(self, stage: str) -> None:
        super().__init__(
            f"Where all pass {stage} there is nothing for seasons to change.",
            do="Give a share below 1, or leave its season weight out.",
        )


class CountOutOfRange(ValueComplaint):
    """A count that is not a whole number in its range."""

    def __init__(self, what: str, count: float) -> None:
        super().__init__(
            f"The number {what} cannot be {count:,}.", do=f"Give a whole number from 1 to {MOST:,}."
        )


class SureOutOfRange(ValueComplaint):
    """A chance that is none, or a certainty nobody has."""

    def __init__(self, sure: float) -> None:
        super().__init__(
            f"Nobody can be {sure:g} sure.", do="Give a chance between 0 and 1, such as 0.9 for 9 in 10."
        )


class TooLittleKnown(NotEnoughComplaint):
    """Seasons may differ so much at one stage that more units do not help."""

    def __init__(self, stage: str, chance: float) -> None:
        super().__init__(
            f"With so little known about {stage} no number makes you that sure; "
            f"at {MOST:,} you are {chance:.3f} sure.",
            do="Ask to be less sure, or find out more about that stage first.",
        )


class TooFewPass(NotEnoughComplaint):
    """Even in average seasons the search would end before the wanted number is left."""

    def __init__(self, stage: str, chance: float) -> None:
        super().__init__(
            f"So few pass {stage} that {MOST:,} are not enough; with them you are {chance:.3f} sure.",
            do="Ask for fewer, or to be less sure.",
        )


@dataclass(frozen=True)
class Stage:
    """One stage: the long-run share that passes, and how far a season tells more than that.

    Parameters
    ----------
    name : str
        Named in what is said about it.
    mean : float
        Share that passes [1], above 0 and at most 1.
    weight : float or None
        Season weight [grafts], above 0: the season's share is Beta(mean·weight, (1-mean)·weight).
        None where the share is known exactly.

    Raises
    ------
    ShareOutOfRange, WeightOutOfRange, CertainWithWeight
        Where these ranges are left.
    """

    name: str
    mean: float
    weight: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no stage can be."""
        if not 0.0 < self.mean <= 1.0:
            raise ShareOutOfRange(self.name, self.mean)
        if self.weight is None:
            return
        if not 0.0 < self.weight < math.inf:
            raise WeightOutOfRange(self.name, self.weight)
        if self.mean == 1.0:
            raise CertainWithWeight(self.name)

    @property
    def passing(self) -> float:
        """The first parameter of the season's law; without end where the share is known exactly."""
        return math.inf if self.weight is None else self.mean * self.weight


@dataclass(frozen=True)
class Start:
    """The smallest number to start, its chance, and the chance with one fewer [1]."""

    start: int
    chance: float
    below: float


@dataclass(frozen=True)
class Alive:
    """Units alive after a stage: expected, and the 10 and 90 % points of the count."""

    name: str
    expected: float
    low: int
    high: int


def chance(want: int, start: int, stages: Sequence[Stage]) -> float:
    """Return the chance that at least `want` of `start` pass all stages.

    Parameters
    ----------
    want, start : int
        Units, from 1 to 10 million.
    stages : sequence of Stage
        In any order; none means that nothing is lost.

    Returns
    -------
    float
        With an error below 1e-9 for up to 100,000 wanted, below 5e-9 beyond.

    Raises
    ------
    CountOutOfRange
        If a count is not a whole number in its range.

    References
    ----------
    Transform of a product of Beta variables: Springer & Thompson 1970, SIAM Journal on Applied
    Mathematics 18(4), 721-737, doi:10.1137/0118065. Trapezoid rule on a bent path: Trefethen &
    Weideman 2014, SIAM Review 56(3), 385-458, doi:10.1137/130932132.

    Examples
    --------
    >>> round(chance(3, 3, [Stage("take", 0.99, 2)]), 6)
    0.978483
    """
    _check_count("wanted", want)
    _check_count("to start", start)
    return _Chances(stages).chance(want, start)


def how_many(want: int, sure: float, stages: Sequence[Stage]) -> Start:
    """Return the smallest number to start that leaves `want` with chance `sure`.

    Parameters
    ----------
    want : int
        Units wanted at the end, from 1 to 10 million.
    sure : float
        Wanted chance [1], between 0 and 1.
    stages : sequence of Stage
        What stands between the start and the end.

    Raises
    ------
    CountOutOfRange, SureOutOfRange
        Where these ranges are left.
    TooLittleKnown, TooFewPass
        If 10 million are not enough.

    Examples
    --------
    >>> how_many(1, 0.9, [Stage("take", 0.75, 20)]).start
    2
    """
    _check_count("wanted", want)
    if not 0.0 < sure < 1.0:
        raise SureOutOfRange(sure)
    chances = _Chances(stages)
    found = first_reaching(
        lambda start: chances.chance(want, start),
        sure - _TIE,
        low=want,
        high=MOST,
        guess=chances.likely_start(want, sure),
    )
    if found is None:
        raise _why_not(want, stages, chances.chance(want, MOST))
    below = chances.chance(want, found - 1) if found > want else 0.0
    return Start(found, chances.chance(want, found), below)


def alive(start: int, stages: Sequence[Stage]) -> list[Alive]:
    """Return what is left after each stage of `start` units.

    Parameters
    ----------
    start : int
        Units at the beginning, from 1 to 10 million.
    stages : sequence of Stage
        In the order they are passed.

    Returns
    -------
    list of Alive
        `low` is the smallest k with P(X ≤ k) ≥ 0.1, `high` the smallest with P(X ≤ k) ≥ 0.9.

    Raises
    ------
    CountOutOfRange
        If `start` is not a whole number in its range.

    Examples
    --------
    >>> alive(10, [Stage("take", 0.5)])
    [Alive(name='take', expected=5.0, low=3, high=7)]
    """
    _check_count("to start", start)
    seen: list[Alive] = []
    expected = float(start)
    for number, stage in enumerate(stages, 1):
        chances = _Chances(stages[:number])
        expected *= stage.mean
        low, high = (_count_below(chances, start, level) for level in (_LOW, _HIGH))
        seen.append(Alive(stage.name, expected, low, high))
    return seen


def _count_below(chances: _Chances, start: int, level: float) -> int:
    """Return the smallest k with P(X ≤ k) ≥ level."""
    found = first_reaching(
        lambda k: 1.0 - chances.chance(k + 1, start) if k < start else 1.0,
        level - _TIE,
        low=0,
        high=start,
        guess=chances.likely_count(start, level),
    )
    return start if found is None else found


def _check_count(what: str, count: float) -> None:
    if not (1 <= count <= MOST and count == int(count)):
        raise CountOutOfRange(what, count)


def _why_not(want: int, stages: Sequence[Stage], most_sure: float) -> NotEnoughComplaint:
    """Blame the shares where even average seasons are too poor, else what is least known."""
    if MOST * math.prod(stage.mean for stage in stages) < want:
        return TooFewPass(min(stages, key=lambda stage: stage.mean).name, most_sure)
    # A season's share below x has a chance like x^passing: the smallest comes nearest to losing all.
    return TooLittleKnown(min(stages, key=lambda stage: stage.passing).name, most_sure)


class _Chances:
    """The chances of one chain; keeps the last path while it suits the next question."""

    def __init__(self, stages: Sequence[Stage]) -> None:
        known = (math.log(stage.mean) for stage in stages if stage.weight is None)
        vague = ((stage.passing, stage.weight) for stage in stages if stage.weight is not None)
        self._share = Share(tuple(vague), math.fsum(known))
        self._certain = self._share == Share((), 0.0)
        self._contour: Contour | None = None

    def chance(self, want: int, start: int) -> float:
        """Return P(X ≥ want)."""
        if start < want:
            return 0.0
        if self._certain:
            return 1.0
        if start == want:
            return math.exp(self._share.log_moment(complex(want)).real)
        if self._contour is None or not self._contour.suits(want, start):
            self._contour = Contour(self._share, want, start)
        return self._contour.chance(want, start)

    def likely_start(self, want: int, sure: float) -> int:
        """Return about the number to start, taking ln P and ln U as normal."""
        mean, spread, _ = self._share.log_slopes(0.0)
        needed = slopes(float(want))
        sd = math.sqrt(spread + needed[1] * -math.expm1(mean))
        log_start = needed[0] - mean + _normal_point(sure) * sd
        return min(MOST, max(want, math.ceil(math.exp(min(log_start, 17.0)))))

    def likely_count(self, start: int, level: float) -> int:
        """Return about the count below which X stays with chance `level`."""
        mean, spread, _ = self._share.log_slopes(0.0)
        middle = start * math.exp(mean)
        sd = math.sqrt(spread + max(0.0, 1.0 / middle - 1.0 / start))
        return min(start, int(middle * math.exp(_normal_point(level) * sd)))


def _normal_point(level: float) -> float:
    """Tukey's lambda: the normal quantile to about two digits, enough for a first guess."""
    return (math.pow(level, 0.135) - math.pow(1.0 - level, 0.135)) / 0.1975
