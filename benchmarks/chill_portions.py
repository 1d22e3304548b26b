"""Dynamic-model portions of 40 years of hours beside the same recursion written plainly."""

from __future__ import annotations

import math

import numpy as np
from _pair import compare

from graftwright.science.chill import dynamic_portions

HOURS = 40 * 8766


def plain(temperature_c: list[float]) -> float:
    """One hour after the other, every term as the papers print it, with nothing but the language."""
    product = total = 0.0
    for celsius in temperature_c[:-1]:
        kelvin = celsius + 273.0
        lean = math.exp(1.6 * 277.0 * (kelvin - 277.0) / kelvin)
        share = lean / (1.0 + lean)
        steady = 1.395e5 / 2.567e18 * math.exp((12888.8 - 4153.5) / kelvin)
        kept = math.exp(-2.567e18 * math.exp(-12888.8 / kelvin))
        product = steady - (steady - product) * kept
        if product >= 1.0:
            portion = product * share
            total += portion
            product -= portion
    return total


def winters() -> np.ndarray:
    """A mild site: seasons, days and nights, and weather that changes from day to day."""
    hours = np.arange(HOURS)
    weather = np.random.default_rng(4).normal(0, 3, HOURS // 24 + 1).repeat(24)[:HOURS]
    celsius: np.ndarray = (
        10 - 10 * np.cos(2 * np.pi * hours / 8766) - 5 * np.cos(2 * np.pi * hours / 24) + weather
    )
    return celsius


def main() -> None:
    celsius = winters()
    temperatures = celsius.tolist()
    assert math.isclose(float(dynamic_portions(celsius).sum()), plain(temperatures), rel_tol=1e-9)
    compare(
        ("portions of 40 years, numpy alone", lambda: dynamic_portions(celsius)),
        ("plain loop", lambda: plain(temperatures)),
        at_most=0.5,
    )


if __name__ == "__main__":
    main()
