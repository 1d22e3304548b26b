"""What lets water out of a bag or box: holes, slits, measured air exchange.

A conductance G [m³ s⁻¹] carries G times the difference of vapour density; for a surface it is its
area [m²] times a speed [m s⁻¹]. One millimetre per second is 41 mmol m⁻² s⁻¹ at 25 °C. Diffusion is
the least there can be: draughts and a warm bag exchange more.
"""

from __future__ import annotations

import math

from graftwright.science.air import ZERO_C_K
from graftwright.science.limits import check_within

STANDARD_KPA = 101.325
NEAR_DIAMETERS = 5.0


def diffusivity_m2_s(temperature_c: float, pressure_kpa: float = STANDARD_KPA) -> float:
    """Return how fast water vapour diffuses in still air.

    Parameters
    ----------
    temperature_c : float
        Temperature [°C], -20 to 60.
    pressure_kpa : float
        Air pressure [kPa], 50 to 110.

    Returns
    -------
    float
        Diffusivity [m² s⁻¹].

    Raises
    ------
    OutOfRange
        Where temperature or pressure lies outside its range.

    Notes
    -----
    2.42e-5 m² s⁻¹ at 20 °C: P. S. Nobel, *Physicochemical and Environmental Plant Physiology*,
    appendix I. The exponent 1.81: W. J. Massman (1998), *Atmospheric Environment* 32, 1111-1127.
    Both from memory.

    Examples
    --------
    >>> f"{diffusivity_m2_s(20.0):.3g}"
    '2.42e-05'
    """
    check_within("temperature", temperature_c, -20.0, 60.0, "°C")
    check_within("air pressure", pressure_kpa, 50.0, 110.0, "kPa")
    return 2.42e-5 * math.pow((temperature_c + ZERO_C_K) / 293.15, 1.81) * STANDARD_KPA / pressure_kpa


def hole_conductance_m3_s(diameter_mm: float, wall_mm: float, diffusivity: float) -> float:
    """Return what one round hole lets through by diffusion, both end corrections in it.

    Parameters
    ----------
    diameter_mm : float
        Diameter [mm], at least 0.
    wall_mm : float
        Thickness of the film or wall [mm], at least 0.
    diffusivity : float
        Diffusivity of vapour [m² s⁻¹], above 0.

    Returns
    -------
    float
        Conductance [m³ s⁻¹]; draughts only add to it.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    G = D A / (l + π d / 4): H. T. Brown and F. Escombe (1900), *Philosophical Transactions of the
    Royal Society B* 193, 223-291; P. S. Nobel, *Physicochemical and Environmental Plant Physiology*,
    chapter 8.

    Examples
    --------
    >>> f"{hole_conductance_m3_s(5.0, 0.05, 2.42e-5):.3g}"
    '1.19e-07'
    """
    check_within("hole diameter", diameter_mm, 0.0, math.inf, "mm")
    check_within("wall thickness", wall_mm, 0.0, math.inf, "mm")
    check_within("diffusivity", diffusivity, 0.0, math.inf, "m²/s")
    if diameter_mm == 0:
        return 0.0
    diameter, wall = diameter_mm / 1000, wall_mm / 1000
    return diffusivity * math.pi * diameter**2 / 4 / (wall + math.pi * diameter / 4)


def hole_diameter_mm(conductance_m3_s: float, wall_mm: float, diffusivity: float) -> float:
    """Return the diameter of the one round hole that lets this much through.

    Parameters
    ----------
    conductance_m3_s : float
        Conductance [m³ s⁻¹], at least 0.
    wall_mm : float
        Thickness of the film or wall [mm], at least 0.
    diffusivity : float
        Diffusivity of vapour [m² s⁻¹], above 0.

    Returns
    -------
    float
        Diameter [mm].

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    Solves the quadratic of `hole_conductance_m3_s`, with its sources.

    Examples
    --------
    >>> round(hole_diameter_mm(hole_conductance_m3_s(5.0, 0.05, 2.42e-5), 0.05, 2.42e-5), 6)
    5.0
    """
    check_within("conductance", conductance_m3_s, 0.0, math.inf, "m³/s")
    check_within("wall thickness", wall_mm, 0.0, math.inf, "mm")
    check_within("diffusivity", diffusivity, 1e-9, math.inf, "m²/s")
    half = conductance_m3_s / diffusivity / 2
    return 1000 * (half + math.sqrt(half**2 + 8 * half * wall_mm / 1000 / math.pi))


def holes_conductance_m3_s(
    count: int, diameter_mm: float, spacing_mm: float, wall_mm: float, diffusivity: float
) -> float:
    """Return what several equal holes let through.

    Parameters
    ----------
    count : int
        Number of holes, at least 0.
    diameter_mm : float
        Diameter of each [mm], at least 0.
    spacing_mm : float
        Distance between neighbours [mm], at least 0. Nearer than five diameters they get in each
        other's way and count as one opening of the same area.
    wall_mm : float
        Thickness of the film or wall [mm], at least 0.
    diffusivity : float
        Diffusivity of vapour [m² s⁻¹], above 0.

    Returns
    -------
    float
        Conductance [m³ s⁻¹].

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    As `hole_conductance_m3_s`. That pores act alone from about ten radii on is Brown and Escombe's
    finding; the rule below that distance is ours and errs on the moist side.

    Examples
    --------
    >>> f"{holes_conductance_m3_s(4, 5.0, 50.0, 0.05, 2.42e-5):.3g}"
    '4.78e-07'
    >>> f"{holes_conductance_m3_s(4, 5.0, 6.0, 0.05, 2.42e-5):.3g}"
    '2.4e-07'
    """
    check_within("number of holes", count, 0, math.inf, "")
    check_within("distance between holes", spacing_mm, 0.0, math.inf, "mm")
    if count > 1 and spacing_mm < NEAR_DIAMETERS * diameter_mm:
        return hole_conductance_m3_s(diameter_mm * math.sqrt(count), wall_mm, diffusivity)
    return count * hole_conductance_m3_s(diameter_mm, wall_mm, diffusivity)


def slit_conductance_m3_s(length_mm: float, width_mm: float, wall_mm: float, diffusivity: float) -> float:
    """Return what a slit lets through by diffusion.

    Parameters
    ----------
    length_mm, width_mm : float
        Length and width of the slit [mm], at least 0.
    wall_mm : float
        Thickness of the film or wall [mm], at least 0.
    diffusivity : float
        Diffusivity of vapour [m² s⁻¹], above 0.

    Returns
    -------
    float
        Conductance [m³ s⁻¹]; an open mouth in a draught lets through many times more.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    The slit is taken as an ellipse of the same length and area, semi-axes a and b. One side of an
    elliptic disc conducts 2π D a / K(√(1 - b²/a²)), K the complete elliptic integral of the first
    kind (the capacity of the disc: J. Crank, *The Mathematics of Diffusion*; a circle gives 4 D r);
    with Gauss's K = π / 2 M(1, b/a) that is 4 D M(a, b), M the arithmetic-geometric mean. Both
    sides and the wall stand in series.

    Examples
    --------
    >>> f"{slit_conductance_m3_s(200.0, 10.0, 0.05, 2.42e-5):.3g}"
    '1.83e-06'
    """
    check_within("slit length", length_mm, 0.0, math.inf, "mm")
    check_within("slit width", width_mm, 0.0, math.inf, "mm")
    check_within("wall thickness", wall_mm, 0.0, math.inf, "mm")
    check_within("diffusivity", diffusivity, 0.0, math.inf, "m²/s")
    if length_mm == 0 or width_mm == 0 or diffusivity == 0:
        return 0.0
    length, width, wall = length_mm / 1000, width_mm / 1000, wall_mm / 1000
    side = 4 * diffusivity * _arithmetic_geometric_mean(length / 2, 2 * width / math.pi)
    return 1 / (2 / side + wall / (diffusivity * length * width))


def exchange_conductance_m3_s(volume_m3: float, air_changes_per_h: float) -> float:
    """Return a measured air exchange as a conductance.

    Parameters
    ----------
    volume_m3 : float
        Volume of bag or box [m³], at least 0.
    air_changes_per_h : float
        How often an hour its air is replaced [h⁻¹], at least 0.

    Returns
    -------
    float
        Conductance [m³ s⁻¹].

    Raises
    ------
    OutOfRange
        Where an argument is negative or infinite.

    Notes
    -----
    G = n V, the definition of the air change rate: *ASHRAE Handbook: Fundamentals* (2017),
    chapter 16.

    Examples
    --------
    >>> f"{exchange_conductance_m3_s(0.005, 2.0):.3g}"
    '2.78e-06'
    """
    check_within("volume", volume_m3, 0.0, math.inf, "m³")
    check_within("air exchange", air_changes_per_h, 0.0, math.inf, "per hour")
    return volume_m3 * air_changes_per_h / 3600


def _arithmetic_geometric_mean(a: float, b: float) -> float:
    while abs(a - b) > 1e-15 * a:
        a, b = (a + b) / 2, math.sqrt(a * b)
    return a
