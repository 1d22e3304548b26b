"""Winter in numbers: chill from hourly temperatures, and the warmth that forces buds afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]

UTAH_EDGES_C = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
UTAH_UNITS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])
COLDEST_C, HOTTEST_C = -90.0, 60.0
BLOCK_H = 8
PIECE_H = 1024 * BLOCK_H
TINY = 1e-300


class HourWithoutTemperature(ValueComplaint):
    """An hour of the series has no temperature, or one that air never has."""

    def __init__(self, hour: int, value: float) -> None:
        super().__init__(
            f"The temperature of an hour must lie between {COLDEST_C:g} and {HOTTEST_C:g} °C, not {value:g}.",
            where=f"hour {hour} of the series, counted from 0",
            do="Fill the gap or leave the hour out.",
        )


def chill_hours(temperature_c: ArrayLike) -> Floats:
    """Count each hour between 0 and 7.2 °C.

    Parameters
    ----------
    temperature_c : array_like
        Hourly temperatures [°C], any shape, -90 to 60.

    Returns
    -------
    ndarray
        1 or 0 for each hour [h], of the same shape.

    Raises
    ------
    HourWithoutTemperature
        Where a temperature is missing or out of range.

    Notes
    -----
    Both bounds count. J. H. Weinberger (1950), *Proceedings of the American Society for
    Horticultural Science* 56, 122-128, gives the upper bound (45 °F); the lower is common practice.

    Examples
    --------
    >>> float(chill_hours([-1.0, 0.0, 7.2, 7.3]).sum())
    2.0
    """
    celsius = _checked(temperature_c)
    return ((celsius >= 0) & (celsius <= 7.2)).astype(np.float64)


def utah_units(temperature_c: ArrayLike) -> Floats:
    """Weigh each hour by its class of temperature; warm hours take away.

    Parameters
    ----------
    temperature_c : array_like
        Hourly temperatures [°C], any shape, -90 to 60.

    Returns
    -------
    ndarray
        -1 to 1 for each hour [units], of the same shape.

    Raises
    ------
    HourWithoutTemperature
        Where a temperature is missing or out of range.

    Notes
    -----
    Classes (lower, upper] with edges 1.4, 2.4, 9.1, 12.4, 15.9 and 18 °C. E. A. Richardson,
    S. D. Seeley and D. R. Walker (1974), *HortScience* 9, 331-332. The sum starts where the series
    does and is never set back.

    Examples
    --------
    >>> utah_units([1.4, 1.5, 9.1, 12.4, 18.1]).tolist()
    [0.0, 0.5, 1.0, 0.5, -1.0]
    """
    return UTAH_UNITS[np.searchsorted(UTAH_EDGES_C, _checked(temperature_c), side="left")]


def dynamic_portions(temperature_c: ArrayLike) -> Floats:
    """Return the chill portions completed in each hour.

    Parameters
    ----------
    temperature_c : array_like
        Hourly temperatures [°C] in order, shape (n,), -90 to 60.

    Returns
    -------
    ndarray
        Portions completed in each hour [portions], shape (n,); most are 0.

    Raises
    ------
    HourWithoutTemperature
        Where a temperature is missing or out of range.

    Notes
    -----
    The two-step dynamic model: S. Fishman, A. Erez and G. A. Couvillon (1987), *Journal of
    Theoretical Biology* 124, 473-483 and 126, 309-321; constants as in A. Erez, S. Fishman,
    G. C. Linsley-Noakes and P. Allan (1990), *Acta Horticulturae* 276, 165-174. Kelvin is °C + 273
    and the intermediate product is 0 at the first hour; what an hour's temperature has made is seen
    at the next hour. When the product has reached 1 a share of it, set by the same temperature,
    becomes a portion, and the rest goes on.

    Eight hours together are one multiplication and one addition as long as the product stays below
    1; the highest product with which that holds is known beforehand. Only the other blocks are gone
    through hour by hour, because each hour needs the one before.

    Examples
    --------
    >>> round(float(dynamic_portions([6.0] * 1001).sum()), 3)
    34.204
    """
    celsius = _checked(temperature_c)
    portions = np.zeros(celsius.size)
    product = 0.0
    for low in range(0, celsius.size - 1, PIECE_H):
        piece = celsius[low : min(low + PIECE_H, celsius.size - 1)]
        portions[low + 1 : low + 1 + piece.size], product = _portions(piece + 273.0, product)
    return portions


def growing_degree_hours(temperature_c: ArrayLike) -> Floats:
    """Return how far each hour forces buds on.

    Parameters
    ----------
    temperature_c : array_like
        Hourly temperatures [°C], any shape, -90 to 60.

    Returns
    -------
    ndarray
        0 to 21 growing-degree hours for each hour [°C h], of the same shape.

    Raises
    ------
    HourWithoutTemperature
        Where a temperature is missing or out of range.

    Notes
    -----
    Two cosine arcs with base 4, optimum 25 and critical temperature 36 °C: J. L. Anderson,
    E. A. Richardson and C. D. Kesner (1986), *Acta Horticulturae* 184, 71-78.

    Examples
    --------
    >>> growing_degree_hours([4.0, 14.5, 25.0, 36.0]).round(3).tolist()
    [0.0, 10.5, 21.0, 0.0]
    """
    celsius = np.clip(_checked(temperature_c), 4.0, 36.0)
    rising = 10.5 * (1 - np.cos(np.pi * (celsius - 4) / 21))
    falling = 21 * (1 - np.sin(np.pi / 2 * (celsius - 25) / 11))
    return np.where(celsius <= 25, rising, falling)


def _portions(kelvin: Floats, product: float) -> tuple[Floats, float]:
    """Go through a piece that fits the processor's cache, from a product to what is left of it."""
    steady = 1.395e5 / 2.567e18 * np.exp((12_888.8 - 4_153.5) / kelvin)
    kept = np.exp(-2.567e18 * np.exp(-12_888.8 / kelvin))
    rest = 1.0 / (1.0 + np.exp(1.6 * 277.0 * (1.0 - 277.0 / kelvin)))
    blocks = _blocks(steady * (1.0 - kept), kept, rest)
    chosen: list[int] = []
    reached: list[float] = []
    for block, (gain, left, highest) in enumerate(zip(*_together(blocks), strict=True)):
        if product < highest:
            product = gain + left * product
            continue
        chosen.append(block)
        for more, remains, rest_of_ripe in zip(*blocks[block].tolist(), strict=True):
            product = more + remains * product
            reached.append(product)
            if product >= 1.0:
                product *= rest_of_ripe
    portions = np.zeros((len(blocks), BLOCK_H))
    seen = np.array(reached).reshape(-1, BLOCK_H)
    portions[chosen] = np.where(seen >= 1.0, seen * (1.0 - blocks[chosen, 2]), 0.0)
    return portions.ravel()[: kelvin.size], product


def _blocks(gain: Floats, kept: Floats, rest: Floats) -> Floats:
    """Lay the hours out in blocks, shape (blocks, 3, hours); hours that fill up change nothing."""
    count = -(-gain.size // BLOCK_H)
    rows = np.repeat([[0.0], [1.0], [1.0]], count * BLOCK_H, axis=1)
    rows[:, : gain.size] = gain, kept, rest
    return np.ascontiguousarray(rows.reshape(3, count, BLOCK_H).transpose(1, 0, 2))


def _together(blocks: Floats) -> tuple[list[float], list[float], list[float]]:
    """Return what each block adds and keeps, and the product below which it does not reach 1."""
    gain, kept = np.ascontiguousarray(blocks[:, :2].transpose(1, 2, 0))
    highest = (1.0 - gain[0]) / kept[0]
    for hour in range(1, BLOCK_H):
        gain[hour] += kept[hour] * gain[hour - 1]
        kept[hour] *= kept[hour - 1]
        highest = np.minimum(highest, (1.0 - gain[hour]) / np.maximum(kept[hour], TINY))
    return gain[-1].tolist(), kept[-1].tolist(), highest.tolist()


def _checked(temperature_c: ArrayLike) -> Floats:
    celsius = np.asarray(temperature_c, dtype=np.float64)
    wrong = ~((celsius >= COLDEST_C) & (celsius <= HOTTEST_C))
    if wrong.any():
        hour = int(np.flatnonzero(wrong)[0])
        raise HourWithoutTemperature(hour, float(celsius.ravel()[hour]))
    return celsius
