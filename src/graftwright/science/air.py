"""How moist air is: vapour pressure, deficit, dew point and water held.

Standard library alone, because `graftwright air` must answer at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from graftwright.science.limits import check_within

ZERO_C_K = 273.15
VAPOUR_GAS_CONSTANT = 461.5  # J kg⁻¹ K⁻¹
COLDEST_C, HOTTEST_C = -20.0, 60.0

Over = Literal["water", "ice"]

# ln(pressure / Pa) = a/T + b + c T + d T² + e T³ + f T⁴ + g ln T, T in kelvin
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
_ICE = (-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)


@dataclass(frozen=True)
class AirState:
    """What a temperature and a relative humidity say about the air, in the units of the names."""

    saturation_kpa: float
    vapour_kpa: float
    vpd_kpa: float
    dew_point_c: float | None
    absolute_g_m3: float
    over: Over


def air_state(temperature_c: float, humidity_pct: float, leaf_c: float | None = None) -> AirState:
    """Describe moist air, and its pull on a leaf.

    Parameters
    ----------
    temperature_c : float
        Air temperature [°C], -20 to 60.
    humidity_pct : float
        Relative humidity [%], 0 to 100, over water from 0 °C and over ice below.
    leaf_c : float, optional
        Leaf temperature [°C], -20 to 60; that of the air where it is not given.

    Returns
    -------
    AirState
        Saturation at the air temperature [kPa], vapour pressure [kPa], deficit against the leaf
        [kPa] (negative where dew forms on it), dew point [°C], absolute humidity [g m⁻³].

    Raises
    ------
    OutOfRange
        Where a temperature or the humidity lies outside its range.

    Notes
    -----
    Formulas and sources stand at the functions this one joins.

    Examples
    --------
    >>> state = air_state(24.0, 80.0)
    >>> round(state.vpd_kpa, 3), round(state.dew_point_c, 1), state.over
    (0.597, 20.3, 'water')
    """
    leaf = temperature_c if leaf_c is None else leaf_c
    check_within("air temperature", temperature_c, COLDEST_C, HOTTEST_C, "°C")
    check_within("leaf temperature", leaf, COLDEST_C, HOTTEST_C, "°C")
    vapour = vapour_pressure_kpa(temperature_c, humidity_pct)
    return AirState(
        saturation_kpa=saturation_vapour_pressure_kpa(temperature_c),
        vapour_kpa=vapour,
        vpd_kpa=saturation_vapour_pressure_kpa(leaf) - vapour,
        dew_point_c=dew_point_c(vapour),
        absolute_g_m3=absolute_humidity_g_m3(vapour, temperature_c),
        over=saturated_over(temperature_c),
    )


def saturated_over(temperature_c: float) -> Over:
    """Say whether saturation is meant over water (from 0 °C) or over ice (below).

    Parameters
    ----------
    temperature_c : float
        Temperature [°C].

    Returns
    -------
    str
        ``"water"`` or ``"ice"``.

    Examples
    --------
    >>> saturated_over(0.0), saturated_over(-0.1)
    ('water', 'ice')
    """
    return "water" if temperature_c >= 0 else "ice"


def saturation_vapour_pressure_kpa(temperature_c: float) -> float:
    """Return the pressure of vapour in saturated air, over water from 0 °C and over ice below.

    Parameters
    ----------
    temperature_c : float
        Temperature [°C], -100 to 200, the range of the published fit.

    Returns
    -------
    float
        Saturation vapour pressure [kPa].

    Raises
    ------
    OutOfRange
        Where the temperature lies outside the fit.

    Notes
    -----
    R. W. Hyland and A. Wexler (1983), *ASHRAE Transactions* 89(2A), 500-519, with the coefficients
    in the *ASHRAE Handbook: Fundamentals* (2017), chapter 1, equations 5 and 6.

    Examples
    --------
    >>> round(saturation_vapour_pressure_kpa(25.0), 4)
    3.1692
    """
    check_within("temperature", temperature_c, -100.0, 200.0, "°C")
    fit = _WATER if saturated_over(temperature_c) == "water" else _ICE
    return math.exp(_ln_pressure_pa(fit, temperature_c + ZERO_C_K)) / 1000


def vapour_pressure_kpa(temperature_c: float, humidity_pct: float) -> float:
    """Return the pressure of the vapour that is in the air.

    Parameters
    ----------
    temperature_c : float
        Air temperature [°C], -100 to 200.
    humidity_pct : float
        Relative humidity [%], 0 to 100, over water from 0 °C and over ice below.

    Returns
    -------
    float
        Vapour pressure [kPa].

    Raises
    ------
    OutOfRange
        Where the temperature or the humidity lies outside its range.

    Notes
    -----
    The definition of relative humidity, *ASHRAE Handbook: Fundamentals* (2017), chapter 1,
    equation 22.

    Examples
    --------
    >>> round(vapour_pressure_kpa(20.0, 50.0), 3)
    1.169
    """
    check_within("relative humidity", humidity_pct, 0.0, 100.0, "%")
    return saturation_vapour_pressure_kpa(temperature_c) * humidity_pct / 100


def dew_point_c(vapour_kpa: float) -> float | None:
    """Return the temperature at which the vapour in the air would saturate it.

    Parameters
    ----------
    vapour_kpa : float
        Vapour pressure [kPa], 0 to 1554 (saturation at 200 °C).

    Returns
    -------
    float or None
        Dew point [°C], below 0 the frost point over ice; None for air so dry that it lies below
        -100 °C.

    Raises
    ------
    OutOfRange
        Where the pressure is negative or above saturation at 200 °C.

    Notes
    -----
    Inverts Hyland and Wexler (1983) by Newton's method on the logarithm of the pressure.

    Examples
    --------
    >>> round(dew_point_c(1.0), 2), dew_point_c(0.0)
    (6.97, None)
    """
    check_within("vapour pressure", vapour_kpa, 0.0, saturation_vapour_pressure_kpa(200.0), "kPa")
    if vapour_kpa < saturation_vapour_pressure_kpa(-100.0):
        return None
    if vapour_kpa >= saturation_vapour_pressure_kpa(0.0):
        return max(_temperature_of(_WATER, vapour_kpa), 0.0)
    return min(_temperature_of(_ICE, vapour_kpa), 0.0)


def absolute_humidity_g_m3(vapour_kpa: float, temperature_c: float) -> float:
    """Return the mass of vapour in a volume of air.

    Parameters
    ----------
    vapour_kpa : float
        Vapour pressure [kPa], at least 0.
    temperature_c : float
        Air temperature [°C], -100 to 200.

    Returns
    -------
    float
        Absolute humidity [g m⁻³].

    Raises
    ------
    OutOfRange
        Where the pressure is negative or the temperature outside its range.

    Notes
    -----
    Ideal gas with 461.5 J kg⁻¹ K⁻¹ for water vapour, *ASHRAE Handbook: Fundamentals* (2017),
    chapter 1.

    Examples
    --------
    >>> round(absolute_humidity_g_m3(2.339, 20.0), 2)
    17.29
    """
    check_within("vapour pressure", vapour_kpa, 0.0, math.inf, "kPa")
    check_within("temperature", temperature_c, -100.0, 200.0, "°C")
    return vapour_kpa * 1e6 / (VAPOUR_GAS_CONSTANT * (temperature_c + ZERO_C_K))


def _ln_pressure_pa(fit: tuple[float, ...], kelvin: float) -> float:
    a, b, c, d, e, f, g = fit
    return a / kelvin + b + kelvin * (c + kelvin * (d + kelvin * (e + kelvin * f))) + g * math.log(kelvin)


def _slope(fit: tuple[float, ...], kelvin: float) -> float:
    """Return the derivative of `_ln_pressure_pa` by temperature."""
    a, _, c, d, e, f, g = fit
    return -a / kelvin**2 + c + kelvin * (2 * d + kelvin * (3 * e + kelvin * 4 * f)) + g / kelvin


def _temperature_of(fit: tuple[float, ...], vapour_kpa: float) -> float:
    """Invert one branch; the start is Magnus' formula, from which a few steps of Newton suffice."""
    wanted = math.log(vapour_kpa * 1000)
    magnus = math.log(vapour_kpa / 0.6108)
    kelvin = 237.3 * magnus / (17.27 - magnus) + ZERO_C_K
    for _ in range(50):
        step = (_ln_pressure_pa(fit, kelvin) - wanted) / _slope(fit, kelvin)
        kelvin -= step
        if abs(step) < 1e-10:
            break
    return kelvin - ZERO_C_K
