"""Where the air of a bag or box settles between what wets it and what lets it out."""

from __future__ import annotations

import math
from dataclasses import dataclass

from graftwright.errors import ValueComplaint
from graftwright.science.air import saturation_vapour_pressure_kpa
from graftwright.science.limits import check_within


class NothingWet(ValueComplaint):
    """Nothing inside gives off water, so there is nothing to wean."""

    def __init__(self) -> None:
        super().__init__(
            "With neither leaves nor moist medium nothing in the bag gives off water.",
            do="Give the area of the leaves or of the medium.",
        )


@dataclass(frozen=True)
class Wet:
    """What gives off water inside: conductances [m³ s⁻¹] and temperatures [°C] of leaf and medium."""

    leaf_m3_s: float
    medium_m3_s: float
    leaf_c: float
    medium_c: float

    @property
    def total_m3_s(self) -> float:
        """Both conductances together [m³ s⁻¹]."""
        return self.leaf_m3_s + self.medium_m3_s


@dataclass(frozen=True)
class BagAir:
    """The air in a bag: vapour pressure [kPa], deficit against the leaf [kPa], and dew on the film."""

    vapour_kpa: float
    vpd_kpa: float
    condensing: bool


def vented_bag(wet: Wet, openings_m3_s: float, film_c: float, room_vapour_kpa: float) -> BagAir:
    """Return where the air of a bag settles between what wets it and what lets it out.

    Parameters
    ----------
    wet : Wet
        Leaf and medium.
    openings_m3_s : float
        All ways out together [m³ s⁻¹], at least 0: holes, slit or mouth, film, air exchange.
    film_c : float
        Temperature of the film [°C], on which dew forms.
    room_vapour_kpa : float
        Vapour pressure of the room [kPa], at least 0.

    Returns
    -------
    BagAir
        Vapour pressure, deficit against the leaf (negative where dew forms on it), and whether
        water condenses on the film.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.
    NothingWet
        Where neither leaf nor medium gives off water.

    Notes
    -----
    Steady balance of vapour, G_leaf (e_leaf - e) + G_medium (e_medium - e) = G_out (e - e_room),
    capped at saturation over the film. Conservation of mass; differences of temperature enter
    through the saturation pressures only.

    Examples
    --------
    >>> wet = Wet(leaf_m3_s=2e-5, medium_m3_s=3e-5, leaf_c=23.0, medium_c=23.0)
    >>> air = vented_bag(wet, openings_m3_s=5e-5, film_c=23.0, room_vapour_kpa=1.4)
    >>> round(air.vapour_kpa, 2), air.condensing
    (2.11, False)
    """
    check_within("conductance of the openings", openings_m3_s, 0.0, math.inf, "m³/s")
    check_within("vapour pressure of the room", room_vapour_kpa, 0.0, math.inf, "kPa")
    source = source_vapour_kpa(wet)
    weight = openings_m3_s / (wet.total_m3_s + openings_m3_s)
    balance = source + weight * (room_vapour_kpa - source)
    cap = saturation_vapour_pressure_kpa(film_c)
    vapour = min(balance, cap)
    return BagAir(vapour, saturation_vapour_pressure_kpa(wet.leaf_c) - vapour, condensing=balance >= cap)


def source_vapour_kpa(wet: Wet) -> float:
    """Return the vapour pressure a tight bag would come to, dew apart.

    Parameters
    ----------
    wet : Wet
        Leaf and medium.

    Returns
    -------
    float
        The mean of both saturation pressures, weighted by conductance [kPa].

    Raises
    ------
    OutOfRange
        Where a conductance is negative or a temperature outside -100 to 200 °C.
    NothingWet
        Where neither leaf nor medium gives off water.

    Notes
    -----
    The balance of `vented_bag` without a way out.

    Examples
    --------
    >>> round(source_vapour_kpa(Wet(1e-5, 1e-5, leaf_c=25.0, medium_c=20.0)), 3)
    2.754
    """
    check_within("conductance of the leaves", wet.leaf_m3_s, 0.0, math.inf, "m³/s")
    check_within("conductance of the medium", wet.medium_m3_s, 0.0, math.inf, "m³/s")
    if wet.total_m3_s == 0:
        raise NothingWet
    leaf = wet.leaf_m3_s * saturation_vapour_pressure_kpa(wet.leaf_c)
    medium = wet.medium_m3_s * saturation_vapour_pressure_kpa(wet.medium_c)
    return (leaf + medium) / wet.total_m3_s


def water_after_g_m3(
    hours: float,
    *,
    initial_g_m3: float,
    outside_g_m3: float,
    source_g_per_h: float,
    volume_m3: float,
    air_changes_per_h: float,
) -> float:
    """Return the water in the air of a vented box some time after a change.

    Parameters
    ----------
    hours : float
        Time since the start [h], at least 0.
    initial_g_m3, outside_g_m3 : float
        Absolute humidity at the start and outside [g m⁻³], at least 0.
    source_g_per_h : float
        Constant supply of vapour [g h⁻¹], at least 0.
    volume_m3 : float
        Volume [m³], above 0.
    air_changes_per_h : float
        Air exchange [h⁻¹], at least 0.

    Returns
    -------
    float
        Absolute humidity [g m⁻³], meant for air below saturation.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    Solution of V dC/dt = S - n V (C - C_out), the well-mixed box: *ASHRAE Handbook: Fundamentals*
    (2017), chapter 16.

    Examples
    --------
    >>> box = {"source_g_per_h": 0.05, "volume_m3": 0.005, "air_changes_per_h": 2.0}
    >>> round(water_after_g_m3(1.0, initial_g_m3=8.0, outside_g_m3=8.0, **box), 4)
    12.3233
    """
    for what, value in (("humidity at the start", initial_g_m3), ("humidity outside", outside_g_m3)):
        check_within(what, value, 0.0, math.inf, "g/m³")
    check_within("supply of vapour", source_g_per_h, 0.0, math.inf, "g/h")
    check_within("volume", volume_m3, 1e-9, math.inf, "m³")
    check_within("air exchange", air_changes_per_h, 0.0, math.inf, "per hour")
    check_within("time", hours, 0.0, math.inf, "h")
    if air_changes_per_h == 0:
        return initial_g_m3 + source_g_per_h / volume_m3 * hours
    settled = outside_g_m3 + source_g_per_h / (air_changes_per_h * volume_m3)
    return settled + (initial_g_m3 - settled) * math.exp(-air_changes_per_h * hours)
