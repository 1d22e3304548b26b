"""What a season to come may bring, from a sheet's figures and one's own records.

Three things are kept apart: the long-run mean of a share, how sure we are of that mean (`worth`,
in grafts), and how much seasons differ (rho, the variance between seasons over mean · (1 - mean)).
More records shrink the second, never the third: one great year still plans for a bad one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_SEASONS_TO_LEARN = 3  # with fewer, how much seasons differ stays as the sheet has it
_MOST_DIFFERENT = 0.5  # rho from here on: seasons that nearly all fail or all pass
_GRID = 30


class SeasonFigureOutOfRange(ValueComplaint):
    """A figure of a season's law that no share can have."""

    def __init__(self, what: str, value: float, allowed: str) -> None:
        super().__init__(f"{what} cannot be {value:g}.", do=f"Give {allowed}.")


class MorePassedThanEntered(ValueComplaint):
    """A season's record that does not add up."""

    def __init__(self, passed: int, entered: int) -> None:
        super().__init__(
            f"Of {entered} that entered, {passed} cannot have passed.", do="Correct one of the two."
        )


@dataclass(frozen=True)
class Season:
    """One season's own record of a stage: how many entered it, and how many of them passed."""

    passed: int
    entered: int

    def __post_init__(self) -> None:
        """Refuse a record that does not add up."""
        if not 0 <= self.passed <= self.entered:
            raise MorePassedThanEntered(self.passed, self.entered)


@dataclass(frozen=True)
class SeasonLaw:
    """What is known of a stage's share.

    Parameters
    ----------
    mean : float
        Long-run share [1], between 0 and 1.
    worth : float
        How many grafts the mean is worth, above 0.
    rho : float
        Variance between seasons over mean · (1 - mean) [1], from 0 to below 0.5.

    Raises
    ------
    SeasonFigureOutOfRange
        Where these ranges are left.
    """

    mean: float
    worth: float
    rho: float

    def __post_init__(self) -> None:
        """Refuse what no share can have."""
        if not 0.0 < self.mean < 1.0:
            raise SeasonFigureOutOfRange("A long-run share", self.mean, "a number between 0 and 1")
        _check(self.worth, self.rho)

    @property
    def weight(self) -> float:
        """The season weight [grafts]: the coming season's share is Beta(mean·weight, (1-mean)·weight)."""
        return season_weight(self.worth, self.rho)


def season_weight(worth: float, rho: float) -> float:
    """Return the weight of a season to come.

    The season's variance is what the mean may be off, 1/(worth + 1), and the seasons' own, rho of what
    is left: in units of mean · (1 - mean), 1/(weight + 1) = 1/(worth + 1) + rho · worth/(worth + 1).

    Parameters
    ----------
    worth : float
        How many grafts the mean is worth, above 0.
    rho : float
        Variance between seasons over mean · (1 - mean) [1], from 0 to below 0.5.

    Returns
    -------
    float
        Above 0, and never above 1/rho - 1 however many grafts were counted.

    Raises
    ------
    SeasonFigureOutOfRange
        Where these ranges are left.

    References
    ----------
    Law of total variance for a beta-binomial mean: Gelman et al. 2013, Bayesian Data Analysis, 3rd
    ed., section 5.3.

    Examples
    --------
    >>> season_weight(20.0, 0.05)
    9.5
    """
    _check(worth, rho)
    return worth * (1.0 - rho) / (1.0 + rho * worth)


def effective_count(entered: float, rho: float) -> float:
    """Return how many grafts of as many seasons the grafts of one season are worth.

    Parameters
    ----------
    entered : float
        Grafts of one season, 0 or more.
    rho : float
        Likeness within a season [1], from 0 to below 0.5.

    Raises
    ------
    SeasonFigureOutOfRange
        If `rho` is out of its range.

    References
    ----------
    Design effect of a cluster: Kish 1965, Survey Sampling, section 5.4.

    Examples
    --------
    >>> round(effective_count(200, 0.05), 2)
    18.26
    """
    _check(1.0, rho)
    return entered / (1.0 + (entered - 1.0) * rho) if entered else 0.0


def learn(sheet: SeasonLaw, seasons: Sequence[Season]) -> SeasonLaw:
    """Return the sheet's law after own records.

    Parameters
    ----------
    sheet : SeasonLaw
        What is believed without own records.
    seasons : sequence of Season
        One record for each season; empty seasons say nothing.

    Returns
    -------
    SeasonLaw
        From three seasons on with rho learned too: its posterior mean, the sheet's rho counting as a
        variance known from four seasons.

    Examples
    --------
    >>> law = learn(SeasonLaw(0.75, 20.0, 0.05), [Season(200, 200)])
    >>> round(law.mean, 3), round(law.worth, 1), round(law.weight, 1)
    (0.869, 38.3, 12.5)
    """
    told = [season for season in seasons if season.entered]
    law = _with_mean(sheet, told, sheet.rho)
    if len(told) < _SEASONS_TO_LEARN or sheet.rho == 0.0:
        return law
    return _with_mean(sheet, told, _learned_rho(sheet, law, told))


def _with_mean(sheet: SeasonLaw, seasons: Sequence[Season], rho: float) -> SeasonLaw:
    passed, worth = sheet.mean * sheet.worth, sheet.worth
    for season in seasons:
        count = effective_count(season.entered, rho)
        passed += count * season.passed / season.entered
        worth += count
    return SeasonLaw(passed / worth, worth, rho)


def _learned_rho(sheet: SeasonLaw, near: SeasonLaw, seasons: Sequence[Season]) -> float:
    """Return the posterior mean of rho; a mean fixed at its best, not unknown, would make it too small."""
    points = [
        (rho, _log_prior(sheet, mean, rho) + _log_chance(seasons, mean, rho))
        for rho in _midpoints(0.0, min(_MOST_DIFFERENT, 10.0 * sheet.rho))
        for mean in _means(near)
    ]
    peak = max(log for _, log in points)
    weights = [math.exp(log - peak) for _, log in points]
    return math.fsum(rho * w for (rho, _), w in zip(points, weights, strict=True)) / math.fsum(weights)


def _means(near: SeasonLaw) -> Iterator[float]:
    reach = 5.0 * math.sqrt(near.mean * (1.0 - near.mean) / (near.worth + 1.0))
    return _midpoints(max(0.0, near.mean - reach), min(1.0, near.mean + reach))


def _midpoints(low: float, high: float) -> Iterator[float]:
    return (low + (high - low) * (number + 0.5) / _GRID for number in range(_GRID))


def _log_prior(sheet: SeasonLaw, mean: float, rho: float) -> float:
    """Beta law of the mean, gamma law of rho: shape 2 is a variance known from four degrees of freedom."""
    a, b = sheet.mean * sheet.worth, (1.0 - sheet.mean) * sheet.worth
    of_mean = (a - 1.0) * math.log(mean) + (b - 1.0) * math.log1p(-mean)
    return of_mean + math.log(rho) - 2.0 * rho / sheet.rho


def _log_chance(seasons: Sequence[Season], mean: float, rho: float) -> float:
    """Return the log chance of the seasons' counts, beta-binomial, up to a constant."""
    whole = 1.0 / rho - 1.0
    a, b = mean * whole, (1.0 - mean) * whole
    counted = (_log_beta(a + season.passed, b + season.entered - season.passed) for season in seasons)
    return math.fsum(counted) - len(seasons) * _log_beta(a, b)


def _log_beta(a: float, b: float) -> float:
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def _check(worth: float, rho: float) -> None:
    if not 0.0 < worth < math.inf:
        raise SeasonFigureOutOfRange("What a figure is worth", worth, "a number of grafts above 0")
    if not 0.0 <= rho < _MOST_DIFFERENT:
        raise SeasonFigureOutOfRange("How much seasons differ (rho)", rho, "a number from 0 to below 0.5")
