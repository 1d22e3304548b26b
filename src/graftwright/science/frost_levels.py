"""From the law of a season's frost to dates and chances, and how sure so few years make them."""

from __future__ import annotations

import math
from datetime import date
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from graftwright.errors import ValueComplaint, as_typed
from graftwright.science.frost import LAST_OF_JUNE, MONTH_STARTS, YEAR, law_of
from graftwright.science.limits import check_within

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from graftwright.science.frost import FrostLaw, Season

    Floats = NDArray[np.float64]

DRAWS = 2000
SEED = 20_270_504


class NotADayOfTheYear(ValueComplaint):
    """A text is no month and day."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"'{as_typed(text)}' is not a day of the year.", do="Write month and day like 05-04."
        )


def level_day(law: FrostLaw, chance: float) -> float | None:
    """Return the day with this chance of frost after it (spring) or before it (autumn).

    Parameters
    ----------
    law : FrostLaw
        Law of the season.
    chance : float
        Chance [1], above 0 and below 1.

    Returns
    -------
    float or None
        Day of the year [d]; None where fewer years have any frost, or the law is unknown.

    Raises
    ------
    OutOfRange
        Where the chance lies outside its range.

    Notes
    -----
    Inverts share · (1 - Φ((d - mean)/sd)), for an autumn share · Φ((d - mean)/sd).

    Examples
    --------
    >>> law = law_of("spring", np.array([95.0, 105.0, 115.0]))
    >>> level_day(law, 0.5), round(level_day(law, 0.1), 1)
    (105.0, 117.8)
    """
    check_within("chance", chance, 1e-9, 1 - 1e-9, "")
    if law.mean_day is None or law.sd_days is None or chance >= law.share:
        return None
    side = -1.0 if law.season == "spring" else 1.0
    return law.mean_day + side * _normal_score(chance / law.share) * law.sd_days


def chance_beyond(law: FrostLaw, day: float) -> float | None:
    """Return the chance of frost after a day (spring) or before it (autumn).

    Parameters
    ----------
    law : FrostLaw
        Law of the season.
    day : float
        Day of the year [d].

    Returns
    -------
    float or None
        Chance [1]; None where the law is unknown.

    Notes
    -----
    share · (1 - Φ((d - mean)/sd)), for an autumn share · Φ((d - mean)/sd).

    Examples
    --------
    >>> round(chance_beyond(law_of("spring", np.array([95.0, 105.0, 115.0])), 115.0), 4)
    0.1587
    """
    if law.share == 0:
        return 0.0
    if law.mean_day is None or law.sd_days is None:
        return None
    ahead = (law.mean_day - day) * (1 if law.season == "spring" else -1)
    if law.sd_days == 0:
        return law.share if ahead > 0 else 0.0
    return law.share * NormalDist().cdf(ahead / law.sd_days)


def chance_interval(law: FrostLaw, day: float) -> tuple[float, float] | None:
    """Return between which bounds the chance of `chance_beyond` may lie, with so few years.

    Parameters
    ----------
    law : FrostLaw
        Law of the season.
    day : float
        Day of the year [d].

    Returns
    -------
    tuple of float or None
        An 80 % interval of the chance [1]; None where the law is unknown.

    Notes
    -----
    Parametric bootstrap, as `level_intervals`.

    Examples
    --------
    >>> low, high = chance_interval(law_of("spring", np.array([95.0, 100.0, 105.0, 110.0, 115.0])), 105.0)
    >>> low < 0.5 < high
    True
    """
    if law.mean_day is None or law.sd_days is None:
        return None
    chances = [chance_beyond(other, day) for other in _redrawn(law)]
    known = np.array([chance for chance in chances if chance is not None])
    low, high = np.quantile(known, [0.1, 0.9])
    return float(low), float(high)


def empirical_level_day(law: FrostLaw, chance: float) -> float | None:
    """Return what the years themselves say, without a law.

    Parameters
    ----------
    law : FrostLaw
        Law of the season, for its days.
    chance : float
        Chance [1], above 0 and below 1.

    Returns
    -------
    float or None
        Day of the year [d]; None where it falls among the years without frost.

    Raises
    ------
    OutOfRange
        Where the chance lies outside its range.

    Notes
    -----
    Quantile of type 7: R. J. Hyndman and Y. Fan (1996), *The American Statistician* 50, 361-365. A
    year without frost lies before every spring day and after every autumn day.

    Examples
    --------
    >>> empirical_level_day(law_of("spring", np.array([95.0, 105.0, 115.0])), 0.25)
    110.0
    """
    check_within("chance", chance, 1e-9, 1 - 1e-9, "")
    return _quantile(law.season, np.array(law.days), chance)


def level_intervals(law: FrostLaw, chances: tuple[float, ...]) -> list[tuple[float | None, float | None]]:
    """Return between which days each level may lie, with so few years.

    Parameters
    ----------
    law : FrostLaw
        Law of the season.
    chances : tuple of float
        Chances [1], each above 0 and below 1.

    Returns
    -------
    list of tuple
        For each chance the earliest and latest day [d] of an 80 % interval; None where that end
        lies among years without frost, both None where the law is unknown.

    Raises
    ------
    OutOfRange
        Where a chance lies outside its range.

    Notes
    -----
    Parametric bootstrap with 2,000 draws from a fixed seed: B. Efron and R. J. Tibshirani (1993),
    *An Introduction to the Bootstrap*, chapter 6.

    Examples
    --------
    >>> law = law_of("spring", np.array([95.0, 100.0, 105.0, 110.0, 115.0]))
    >>> [round(day) for day in level_intervals(law, (0.5,))[0]]
    [100, 110]
    """
    if law.mean_day is None or law.sd_days is None:
        return [(None, None)] * len(chances)
    laws = _redrawn(law)
    low, high = (0.9, 0.1) if law.season == "spring" else (0.1, 0.9)
    found = []
    for chance in chances:
        levels = np.array([level_day(other, chance) for other in laws], dtype=np.float64)
        found.append((_quantile(law.season, levels, low), _quantile(law.season, levels, high)))
    return found


def month_day(day: float, *, south: bool = False) -> str:
    """Write a day of the year as month and day.

    Parameters
    ----------
    day : float
        Day of the year [d], rounded to the nearest whole; 0 is 31 December, 366 is 1 January.
    south : bool
        Whether the days were counted from 1 July.

    Returns
    -------
    str
        ``MM-DD``.

    Notes
    -----
    A calendar of 365 days.

    Examples
    --------
    >>> month_day(60), month_day(0), month_day(366), month_day(1, south=True)
    ('03-01', '12-31', '01-01', '07-01')
    """
    whole = (math.floor(day + 0.5) - 1 + (LAST_OF_JUNE if south else 0)) % YEAR
    month = int(np.searchsorted(MONTH_STARTS, whole, side="right"))
    return f"{month:02}-{whole - int(MONTH_STARTS[month - 1]) + 1:02}"


def _quantile(season: Season, days: Floats, chance: float) -> float | None:
    """Take a quantile of type 7, with years without frost before a spring and after an autumn."""
    absent = -np.inf if season == "spring" else np.inf
    ranked = np.sort(np.where(np.isnan(days), absent, days))
    rank = (1 - chance if season == "spring" else chance) * (ranked.size - 1)
    below, above = ranked[math.floor(rank)], ranked[math.ceil(rank)]
    if math.isinf(below) or math.isinf(above):
        return None
    return float(below + (rank - math.floor(rank)) * (above - below))


def _redrawn(law: FrostLaw) -> list[FrostLaw]:
    """Draw as many years as there were, again and again, from the law."""
    assert law.mean_day is not None
    assert law.sd_days is not None
    years = len(law.days)
    random = np.random.default_rng(SEED)
    drawn = random.normal(law.mean_day, law.sd_days, (DRAWS, years))
    drawn[random.random((DRAWS, years)) >= law.share] = np.nan
    return [law_of(law.season, row) for row in drawn]


def day_number(month_and_day: str, *, south: bool = False) -> int:
    """Read a month and day as a day of the year.

    Parameters
    ----------
    month_and_day : str
        ``MM-DD``.
    south : bool
        Whether to count the days from 1 July.

    Returns
    -------
    int
        Day of the year [d], 1 to 365.

    Raises
    ------
    NotADayOfTheYear
        Where there is no such day.

    Notes
    -----
    A calendar of 365 days; 29 February shares the number of the 28th.

    Examples
    --------
    >>> day_number("05-04"), day_number("07-01", south=True)
    (124, 1)
    """
    try:
        day = date.fromisoformat(f"2000-{month_and_day}")
    except ValueError as trouble:
        raise NotADayOfTheYear(month_and_day) from trouble
    leap = (day.month, day.day) == (2, 29)
    whole = int(MONTH_STARTS[day.month - 1]) + day.day - leap
    return (whole - 1 - (LAST_OF_JUNE if south else 0)) % YEAR + 1


@lru_cache(maxsize=4096)
def _normal_score(share: float) -> float:
    return NormalDist().inv_cdf(share)
