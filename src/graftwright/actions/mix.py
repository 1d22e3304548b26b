"""Bench arithmetic with the cautions that belong to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from graftwright.errors import ValueComplaint
from graftwright.science.limits import check_within
from graftwright.science.mixes import stock_share, water_to_add_kg

Agent = Literal["bleach", "alcohol", "other"]

MOIST_NOT_WET_PCT = (67.0, 75.0)  # common practice for peat: 20 to 30 % of its volume is water
DISINFECTING_ALCOHOL_PCT = (60.0, 80.0)
EVERY_AGENT = "Use it as its label and your country allow; ventilate; keep it from children and animals."
CAUTIONS: dict[Agent, tuple[str, ...]] = {
    "bleach": (
        "Never mix bleach with acids, ammonia or alcohol: poisonous gas.",
        "Gloves and glasses; bleach into the water, not water into the bleach; use it within two hours.",
        "Wash off sap and soil first, soak ten minutes, rinse: bleach eats blades.",
    ),
    "alcohol": ("Alcohol burns: no flame or heater near, and let blades dry before cutting.",),
    "other": (),
}


class PartsOrStrength(ValueComplaint):
    """The wanted dilution is said twice or not at all."""

    def __init__(self) -> None:
        super().__init__(
            "Say how strong the mixture shall be, in per cent or in parts of water.",
            do="Give either --want or --parts.",
        )


@dataclass(frozen=True)
class Watering:
    """Water to add to a medium, and what it weighs then."""

    water_kg: float
    water_l: float
    mass_kg: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Dilution:
    """Stock and water for a volume, as parts of water to one of stock, and per cent active."""

    stock_l: float
    water_l: float
    parts_water: float
    active_pct: float
    cautions: tuple[str, ...]


def water_medium(medium_kg: float, now_pct: float, wanted_pct: float) -> Watering:
    """Bring a medium to a water content on the wet mass."""
    water = water_to_add_kg(medium_kg, now_pct, wanted_pct)
    low, high = MOIST_NOT_WET_PCT
    notes = [
        f"Moist, not wet: {low:g} to {high:g} % for peat is common practice; it balls and does not drip."
    ]
    if wanted_pct > high:
        notes.append(f"{wanted_pct:g} % is wet for a union: wet medium costs takes.")
    return Watering(water, water, medium_kg + water, tuple(notes))


def dilute(
    stock_pct: float, total_l: float, agent: Agent, *, wanted_pct: float | None, parts_water: float | None
) -> Dilution:
    """Thin a stock with water to a strength, or with so many parts of water."""
    if (wanted_pct is None) == (parts_water is None):
        raise PartsOrStrength
    if parts_water is not None:
        check_within("parts of water", parts_water, 0.0, 10_000.0, "")
        wanted_pct = stock_pct / (1 + parts_water)
    assert wanted_pct is not None
    check_within("volume to make", total_l, 0.001, 10_000.0, "l")
    share = stock_share(stock_pct, wanted_pct)
    stock = total_l * share
    cautions = (*_strength(agent, wanted_pct), *CAUTIONS[agent], EVERY_AGENT)
    return Dilution(stock, total_l - stock, 1 / share - 1, wanted_pct, cautions)


def _strength(agent: Agent, pct: float) -> list[str]:
    low, high = DISINFECTING_ALCOHOL_PCT
    if agent != "alcohol" or low <= pct <= high:
        return []
    return [f"{pct:.3g} % alcohol does not disinfect reliably: {low:g} to {high:g} % does."]
