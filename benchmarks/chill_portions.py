"""Dynamic-model portions of 40 years of hours against the same recursion written plainly."""

from __future__ import annotations

import math
import time
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.chill import dynamic_portions

if TYPE_CHECKING:
    from collections.abc import Callable

HOURS = 40 * 8766
RUNS = 15
TARGET = 2.0


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


def fastest(work: Callable[[], float]) -> tuple[float, float]:
    """The least processor seconds of some runs, and the answer."""
    seconds, answer = [], 0.0
    for _ in range(RUNS):
        start = time.process_time()
        answer = float(work())
        seconds.append(time.process_time() - start)
    return min(seconds), answer


def main() -> None:
    hours = np.arange(HOURS)
    random = np.random.default_rng(4)
    celsius = 10 - 10 * np.cos(2 * np.pi * hours / 8766) - 5 * np.cos(2 * np.pi * hours / 24)
    celsius = celsius + np.repeat(random.normal(0, 3, HOURS // 24 + 1), 24)[:HOURS]
    temperatures = celsius.tolist()
    slow, expected = fastest(lambda: plain(temperatures))
    quick, portions = fastest(lambda: float(dynamic_portions(celsius).sum()))
    assert math.isclose(portions, expected, rel_tol=1e-9)
    print(f"plain loop {slow * 1000:.0f} ms, ours {quick * 1000:.0f} ms, {portions:.1f} portions in both")
    print(f"{slow / quick:.1f} times faster, target at least {TARGET:g} (numpy alone, no compiled extra)")


if __name__ == "__main__":
    main()
