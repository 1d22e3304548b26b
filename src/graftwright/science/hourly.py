"""Hours of a day from its highest and lowest temperature and the length of its daylight."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.limits import check_within

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]

FARTHEST_LATITUDE = 65.0


def day_length_h(day_of_year: ArrayLike, latitude: float) -> Floats:
    """Return the time between sunrise and sunset.

    Parameters
    ----------
    day_of_year : array_like
        Day of the year, 1 to 366, any shape.
    latitude : float
        Latitude [°], north positive, -65 to 65.

    Returns
    -------
    ndarray
        Day length [h], of the same shape; the sun's upper rim on the horizon, refraction in it.

    Raises
    ------
    OutOfRange
        Where the latitude lies outside its range.

    Notes
    -----
    Declination by J. W. Spencer (1971), *Search* 2, 172; the sun rises at 0.833° below the horizon.

    Examples
    --------
    >>> round(float(day_length_h(172, 50.4)), 1)
    16.4
    """
    check_within("latitude", latitude, -FARTHEST_LATITUDE, FARTHEST_LATITUDE, "°")
    year = 2 * np.pi / 365 * (np.asarray(day_of_year, dtype=np.float64) - 1)
    declination = (
        0.006918
        - 0.399912 * np.cos(year)
        + 0.070257 * np.sin(year)
        - 0.006758 * np.cos(2 * year)
        + 0.000907 * np.sin(2 * year)
        - 0.002697 * np.cos(3 * year)
        + 0.00148 * np.sin(3 * year)
    )
    north, rise = np.radians(latitude), np.sin(np.radians(-0.8333))
    cosine = (rise - np.sin(north) * np.sin(declination)) / (np.cos(north) * np.cos(declination))
    length: Floats = np.degrees(np.arccos(cosine)) * 2 / 15
    return length


def hours_from_extremes(
    tmin_c: ArrayLike, tmax_c: ArrayLike, day_of_year: ArrayLike, latitude: float
) -> Floats:
    """Return 24 temperatures for each day, in solar time, which standard time comes near.

    Parameters
    ----------
    tmin_c, tmax_c : array_like
        Lowest and highest temperature of consecutive days [°C], shape (n,); NaN where missing.
    day_of_year : array_like
        Day of the year of each, shape (n,).
    latitude : float
        Latitude [°], north positive, -65 to 65.

    Returns
    -------
    ndarray
        Temperatures at 0, 1 ... 23 h [°C], shape (n, 24); NaN on missing days. Before sunrise the
        night began with the evening before, after sunset it ends at the next day's lowest; where
        that neighbour is missing the day itself takes its place.

    Raises
    ------
    OutOfRange
        Where the latitude lies outside its range.

    Notes
    -----
    D. E. Linvill (1990), *HortScience* 25, 14-16: by day a sine that peaks two hours after noon,
    by night a logarithmic fall, here with one hour added to the time since sunset and to the length
    of the night, which joins both curves.

    Examples
    --------
    >>> hours_from_extremes([5.0], [15.0], [80], 50.0).round(1)[0, [0, 6, 14, 23]].tolist()
    [6.7, 5.2, 15.0, 7.1]
    """
    low, high = (np.asarray(values, dtype=np.float64) for values in (tmin_c, tmax_c))
    length = day_length_h(day_of_year, latitude)
    evening = low + (high - low) * np.sin(np.pi * length / (length + 4))
    before = _neighbour(evening, np.roll(evening, 1), 0)
    after = _neighbour(low, np.roll(low, -1), -1)
    hours = np.arange(24.0)[None, :]
    low, high, length, evening, before, after = (
        column[:, None] for column in (low, high, length, evening, before, after)
    )
    sunrise, sunset = 12 - length / 2, 12 + length / 2
    day = low + (high - low) * np.sin(np.pi * (hours - sunrise) / (length + 4))
    early = _night(before, low, hours + 12 - length / 2, length)
    late = _night(evening, after, hours - sunset, length)
    result = np.where(hours < sunrise, early, np.where(hours > sunset, late, day))
    return np.where(np.isnan(low) | np.isnan(high), np.nan, result)


def _neighbour(own: Floats, other: Floats, edge: int) -> Floats:
    other[edge] = np.nan
    return np.where(np.isnan(other), own, other)


def _night(start: Floats, end: Floats, since_sunset_h: Floats, length: Floats) -> Floats:
    since = np.clip(since_sunset_h, 0, 24 - length)
    return start - (start - end) * np.log(since + 1) / np.log(25 - length)
