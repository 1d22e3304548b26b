"""Bench arithmetic: water for a medium, dilutions, light sums, pots from a bag."""

from __future__ import annotations

import math

from graftwright.errors import ValueComplaint
from graftwright.science.limits import check_within

MICROMOLES_TO_DAILY_MOLES = 0.0036


class AlreadyWetter(ValueComplaint):
    """Adding water cannot dry a medium."""

    def __init__(self, now_pct: float, wanted_pct: float) -> None:
        super().__init__(
            f"The medium holds {now_pct:g} % water already, more than the {wanted_pct:g} % wanted.",
            do="Mix in drier medium, or let it dry.",
        )


class CannotStrengthen(ValueComplaint):
    """Adding water cannot make a solution stronger."""

    def __init__(self, stock_pct: float, wanted_pct: float) -> None:
        super().__init__(
            f"Water cannot make {wanted_pct:g} % out of {stock_pct:g} %.",
            do="Take a stronger stock or want less.",
        )


def water_to_add_kg(medium_kg: float, now_pct: float, wanted_pct: float) -> float:
    """Return the water that brings a medium to a water content.

    Parameters
    ----------
    medium_kg : float
        Mass of the medium as it is [kg], above 0.
    now_pct, wanted_pct : float
        Water content on the wet mass, now and wanted [%], 0 to below 100.

    Returns
    -------
    float
        Water to add [kg]; a kilogram is a litre.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.
    AlreadyWetter
        Where the medium holds more water than wanted.

    Notes
    -----
    Conservation of dry mass: m (w₂ - w₁) / (1 - w₂).

    Examples
    --------
    >>> round(water_to_add_kg(10.0, 40.0, 70.0), 3)
    10.0
    """
    check_within("mass of the medium", medium_kg, 1e-6, math.inf, "kg")
    check_within("water content now", now_pct, 0.0, 99.9, "%")
    check_within("water content wanted", wanted_pct, 0.0, 99.9, "%")
    if wanted_pct < now_pct:
        raise AlreadyWetter(now_pct, wanted_pct)
    return medium_kg * (wanted_pct - now_pct) / (100 - wanted_pct)


def stock_share(stock_pct: float, wanted_pct: float) -> float:
    """Return the share of stock in a dilution.

    Parameters
    ----------
    stock_pct : float
        Strength of the stock [%], above 0, at most 100.
    wanted_pct : float
        Strength wanted [%], above 0, at most that of the stock.

    Returns
    -------
    float
        Volume of stock over volume of the mixture [1].

    Raises
    ------
    OutOfRange
        Where a strength lies outside 0 to 100 %.
    CannotStrengthen
        Where more is wanted than the stock has.

    Notes
    -----
    C₁ V₁ = C₂ V₂, with volumes that add up. Alcohol and water shrink a little on mixing, so the
    mixture is filled up to its volume.

    Examples
    --------
    >>> stock_share(5.0, 0.5)
    0.1
    """
    check_within("strength of the stock", stock_pct, 1e-6, 100.0, "%")
    check_within("strength wanted", wanted_pct, 1e-6, 100.0, "%")
    if wanted_pct > stock_pct:
        raise CannotStrengthen(stock_pct, wanted_pct)
    return wanted_pct / stock_pct


def daily_light_mol_m2(ppfd_umol_m2_s: float, hours: float) -> float:
    """Return the light of a day.

    Parameters
    ----------
    ppfd_umol_m2_s : float
        Photosynthetic photon flux density [µmol m⁻² s⁻¹], 0 to 3000.
    hours : float
        Hours of light a day [h], 0 to 24.

    Returns
    -------
    float
        Daily light integral [mol m⁻² d⁻¹].

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    3600 s h⁻¹ over 10⁶ µmol mol⁻¹.

    Examples
    --------
    >>> round(daily_light_mol_m2(100.0, 16.0), 2)
    5.76
    """
    check_within("light", ppfd_umol_m2_s, 0.0, 3000.0, "µmol/m²s")
    check_within("hours of light", hours, 0.0, 24.0, "h")
    return ppfd_umol_m2_s * hours * MICROMOLES_TO_DAILY_MOLES


def pots_filled(mix_l: float, pot_l: float, settling_pct: float = 0.0) -> int:
    """Return how many pots a volume of mix fills.

    Parameters
    ----------
    mix_l : float
        Loose mix [l], 0 to 100,000.
    pot_l : float
        Volume of a pot [l], 0.001 to 10,000.
    settling_pct : float
        How much of its volume the mix loses when pressed and watered [%], 0 to below 100.

    Returns
    -------
    int
        Whole pots.

    Raises
    ------
    OutOfRange
        Where an argument lies outside its range.

    Notes
    -----
    Division; a billionth of a pot is forgiven, so that 0.3 l fill three pots of 0.1 l.

    Examples
    --------
    >>> pots_filled(70.0, 1.9), pots_filled(70.0, 1.9, settling_pct=15.0)
    (36, 31)
    """
    check_within("volume of mix", mix_l, 0.0, 100_000.0, "l")
    check_within("volume of a pot", pot_l, 0.001, 10_000.0, "l")
    check_within("settling", settling_pct, 0.0, 99.0, "%")
    return math.floor(mix_l * (1 - settling_pct / 100) / pot_l + 1e-9)
