"""Warmth of days above a base, from the day's highest and lowest temperature."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]


class ThresholdsCrossed(ValueComplaint):
    """The upper threshold does not lie above the base."""

    def __init__(self, base_c: float, upper_c: float) -> None:
        super().__init__(
            f"The upper threshold must lie above the base of {base_c:g} °C, not at {upper_c:g}.",
            do="Correct one of the two.",
        )


class DayUpsideDown(ValueComplaint):
    """A day's lowest temperature lies above its highest, or one of them is missing."""

    def __init__(self, day: int, tmin_c: float, tmax_c: float) -> None:
        super().__init__(
            f"A day needs a lowest and then a highest temperature, not {tmin_c:g} and {tmax_c:g} °C.",
            where=f"day {day} of the series, counted from 0",
            do="Correct the day or leave it out.",
        )


def average(tmin_c: ArrayLike, tmax_c: ArrayLike, base_c: float, upper_c: float | None = None) -> Floats:
    """Return degree-days from the mean of the day, never below 0.

    Parameters
    ----------
    tmin_c, tmax_c : array_like
        Lowest and highest temperature of each day [°C], shape (n,).
    base_c : float
        Base [°C].
    upper_c : float, optional
        Upper threshold [°C], at which the mean is cut off.

    Returns
    -------
    ndarray
        Degree-days of each day [°C d], shape (n,).

    Raises
    ------
    DayUpsideDown
        Where a lowest temperature lies above the highest or one is missing.
    ThresholdsCrossed
        Where the upper threshold does not lie above the base.

    Notes
    -----
    Method 1 of G. S. McMaster and W. W. Wilhelm (1997), *Agricultural and Forest Meteorology* 87,
    291-300.

    Examples
    --------
    >>> average([-2.0], [8.0], base_c=0.0).tolist()
    [3.0]
    """
    low, high = _days(tmin_c, tmax_c, base_c, upper_c)
    return np.clip((low + high) / 2, base_c, upper_c) - base_c


def average_lifted(
    tmin_c: ArrayLike, tmax_c: ArrayLike, base_c: float, upper_c: float | None = None
) -> Floats:
    """Return degree-days from the mean of the extremes, each lifted to the base first.

    Parameters
    ----------
    tmin_c, tmax_c : array_like
        Lowest and highest temperature of each day [°C], shape (n,).
    base_c : float
        Base [°C].
    upper_c : float, optional
        Upper threshold [°C], at which both extremes are cut off.

    Returns
    -------
    ndarray
        Degree-days of each day [°C d], shape (n,).

    Raises
    ------
    DayUpsideDown
        Where a lowest temperature lies above the highest or one is missing.
    ThresholdsCrossed
        Where the upper threshold does not lie above the base.

    Notes
    -----
    Method 2 of McMaster and Wilhelm (1997), as `average`.

    Examples
    --------
    >>> average_lifted([-2.0], [8.0], base_c=0.0).tolist()
    [4.0]
    """
    low, high = _days(tmin_c, tmax_c, base_c, upper_c)
    return (np.clip(low, base_c, upper_c) + np.clip(high, base_c, upper_c)) / 2 - base_c


def single_triangle(
    tmin_c: ArrayLike, tmax_c: ArrayLike, base_c: float, upper_c: float | None = None
) -> Floats:
    """Return degree-days of a day that rises and falls in straight lines.

    Parameters
    ----------
    tmin_c, tmax_c : array_like
        Lowest and highest temperature of each day [°C], shape (n,).
    base_c : float
        Base [°C].
    upper_c : float, optional
        Upper threshold [°C], cut off horizontally: warmth above it counts as at it.

    Returns
    -------
    ndarray
        Degree-days of each day [°C d], shape (n,).

    Raises
    ------
    DayUpsideDown
        Where a lowest temperature lies above the highest or one is missing.
    ThresholdsCrossed
        Where the upper threshold does not lie above the base.

    Notes
    -----
    F. G. Zalom, P. B. Goodell, L. T. Wilson, W. W. Barnett and W. J. Bentley (1983), *Degree-days:
    the calculation and use of heat units in pest management*, University of California Leaflet
    21373.

    Examples
    --------
    >>> single_triangle([5.0], [15.0], base_c=10.0).tolist()
    [1.25]
    """
    return _cut_off(_above_triangle, *_days(tmin_c, tmax_c, base_c, upper_c), base_c, upper_c)


def single_sine(tmin_c: ArrayLike, tmax_c: ArrayLike, base_c: float, upper_c: float | None = None) -> Floats:
    """Return degree-days of a day that rises and falls as a sine.

    Parameters
    ----------
    tmin_c, tmax_c : array_like
        Lowest and highest temperature of each day [°C], shape (n,).
    base_c : float
        Base [°C].
    upper_c : float, optional
        Upper threshold [°C], cut off horizontally: warmth above it counts as at it.

    Returns
    -------
    ndarray
        Degree-days of each day [°C d], shape (n,).

    Raises
    ------
    DayUpsideDown
        Where a lowest temperature lies above the highest or one is missing.
    ThresholdsCrossed
        Where the upper threshold does not lie above the base.

    Notes
    -----
    G. L. Baskerville and P. Emin (1969), *Ecology* 50, 514-517.

    Examples
    --------
    >>> single_sine([5.0], [15.0], base_c=10.0).round(4).tolist()
    [1.5915]
    """
    return _cut_off(_above_sine, *_days(tmin_c, tmax_c, base_c, upper_c), base_c, upper_c)


def _cut_off(
    above: Callable[[Floats, Floats, float], Floats],
    low: Floats,
    high: Floats,
    base_c: float,
    upper_c: float | None,
) -> Floats:
    if upper_c is None:
        return above(low, high, base_c)
    return above(low, high, base_c) - above(low, high, upper_c)


def _above_triangle(low: Floats, high: Floats, threshold_c: float) -> Floats:
    spread = np.where(high > low, high - low, 1.0)
    crossing = (high - threshold_c) ** 2 / (2 * spread)
    return _by_case(low, high, threshold_c, crossing)


def _above_sine(low: Floats, high: Floats, threshold_c: float) -> Floats:
    mean, half = (low + high) / 2, (high - low) / 2
    angle = np.arcsin(np.clip((threshold_c - mean) / np.where(half > 0, half, 1.0), -1, 1))
    crossing = ((mean - threshold_c) * (np.pi / 2 - angle) + half * np.cos(angle)) / np.pi
    return _by_case(low, high, threshold_c, crossing)


def _by_case(low: Floats, high: Floats, threshold_c: float, crossing: Floats) -> Floats:
    """Choose between a day wholly above, wholly below, and one that crosses the threshold."""
    above = np.where(low >= threshold_c, (low + high) / 2 - threshold_c, crossing)
    return np.where(high <= threshold_c, 0.0, above)


def _days(
    tmin_c: ArrayLike, tmax_c: ArrayLike, base_c: float, upper_c: float | None
) -> tuple[Floats, Floats]:
    low, high = (np.atleast_1d(np.asarray(values, dtype=np.float64)) for values in (tmin_c, tmax_c))
    wrong = ~((low <= high) & np.isfinite(low) & np.isfinite(high))
    if wrong.any():
        day = int(np.flatnonzero(wrong)[0])
        raise DayUpsideDown(day, float(low[day]), float(high[day]))
    if upper_c is not None and not upper_c > base_c:
        raise ThresholdsCrossed(base_c, upper_c)
    return low, high
