"""How fast growth goes at a temperature, and how far it has come after a row of hours."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from graftwright.errors import ValueComplaint

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from graftwright.science.chance import Floats

HOURS_A_DAY = 24


class ResponseOutOfOrder(ValueComplaint):
    """The three temperatures of a response do not rise."""

    def __init__(self, base_c: float, optimum_c: float, ceiling_c: float) -> None:
        super().__init__(
            "The temperatures of a response must rise from base to optimum to ceiling.",
            where=f"base {base_c:g} °C, optimum {optimum_c:g} °C, ceiling {ceiling_c:g} °C",
            do="Correct the three values on the sheet.",
        )


class TemperatureMissing(ValueComplaint):
    """An hour has no temperature."""

    def __init__(self, hour: int) -> None:
        super().__init__(
            "An hour has no temperature.",
            where=f"hour {hour} of the series, counted from 0",
            do="Fill the gap or end the series before it.",
        )


@dataclass(frozen=True)
class Response:
    """Cardinal temperatures [°C]: growth stands still at base and ceiling and is fastest at the optimum."""

    base_c: float
    optimum_c: float
    ceiling_c: float

    def __post_init__(self) -> None:
        """Refuse temperatures that do not rise."""
        if not -np.inf < self.base_c < self.optimum_c < self.ceiling_c < np.inf:
            raise ResponseOutOfOrder(self.base_c, self.optimum_c, self.ceiling_c)


def response(temperature_c: ArrayLike, r: Response) -> Floats:
    """Return the speed of growth as a share of its speed at the optimum.

    Assumes that growth at one moment depends on the temperature of that moment alone.

    Parameters
    ----------
    temperature_c : array_like
        Temperatures [°C], any shape, each finite.
    r : Response
        Base, optimum and ceiling [°C].

    Returns
    -------
    ndarray
        Values 0 to 1 of the same shape; 0 at and below the base, at and above the ceiling.

    Raises
    ------
    TemperatureMissing
        Where a temperature is not a finite number.

    Notes
    -----
    E. Wang and T. Engel (1998), Simulation of phenological development of wheat crops, *Agricultural
    Systems* 58:1-24, doi:10.1016/S0308-521X(98)00028-6. With y = ((T - base) / (optimum - base))^alpha
    their curve is y (2 - y).

    Examples
    --------
    >>> response([10.0, 18.0, 23.0, 32.0], Response(10.0, 23.0, 32.0)).round(4).tolist()
    [0.0, 0.7767, 1.0, 0.0]
    """
    at = np.asarray(temperature_c, dtype=np.float64)
    _check_complete(at)
    grows = (at > r.base_c) & (at < r.ceiling_c)
    alpha = np.log(2) / np.log((r.ceiling_c - r.base_c) / (r.optimum_c - r.base_c))
    y = (np.where(grows, at - r.base_c, 0.0) / (r.optimum_c - r.base_c)) ** alpha
    share: Floats = np.clip(y * (2 - y), 0.0, 1.0)
    return share


def progress(hourly_c: ArrayLike, r: Response) -> Floats:
    """Return how many days at the optimum a row of hours is worth, added up hour by hour.

    The curve bends, so an average over a day would count too much near the optimum and nothing
    near the base; each hour is taken by itself and its temperature as steady.

    Parameters
    ----------
    hourly_c : array_like, shape (n,)
        Temperature [°C] of each hour, without gaps.
    r : Response
        Base, optimum and ceiling [°C].

    Returns
    -------
    ndarray, shape (n + 1,)
        Days at the optimum [d] gained by the end of each hour; the first is 0, at the start.

    Raises
    ------
    TemperatureMissing
        Where a temperature is not a finite number.

    Notes
    -----
    Wang and Engel (1998), as `response`.

    Examples
    --------
    >>> progress([23.0] * 48, Response(10.0, 23.0, 32.0))[[0, 24, 48]].round(9).tolist()
    [0.0, 1.0, 2.0]
    """
    gained = response(hourly_c, r) / HOURS_A_DAY
    return np.concatenate(([0.0], np.cumsum(gained)))


def hindrance(hourly_c: ArrayLike, r: Response) -> Literal["too cold", "too hot"] | None:
    """Say why nothing grows in the last day of a row of hours, or None where something does.

    Parameters
    ----------
    hourly_c : array_like, shape (n,)
        Temperature [°C] of each hour; the last 24 are judged, or all if there are fewer.
    r : Response
        Base, optimum and ceiling [°C].

    Returns
    -------
    str or None
        'too cold' where no hour lets growth go on and they average below the optimum, else 'too hot'.

    Raises
    ------
    TemperatureMissing
        Where a temperature is not a finite number.

    Notes
    -----
    Wang and Engel (1998), as `response`.

    Examples
    --------
    >>> hindrance([4.0] * 24, Response(10.0, 23.0, 32.0))
    'too cold'
    """
    last = np.asarray(hourly_c, dtype=np.float64)[-HOURS_A_DAY:]
    if not last.size or response(last, r).any():
        return None
    return "too cold" if last.mean() < r.optimum_c else "too hot"


def _check_complete(temperature_c: Floats) -> None:
    missing = np.flatnonzero(~np.isfinite(temperature_c))
    if missing.size:
        raise TemperatureMissing(int(missing[0]))
