"""Columns of temperatures: decimal points or commas, marks for missing, °F, broken sensors."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.adapters.files.complaints import DecimalsMixed, NotATemperature

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from graftwright.adapters.files.headings import Unit

    Floats = NDArray[np.float64]

COLDEST_C, HOTTEST_C = -90.0, 60.0
# What loggers write when the sensor is gone; 85.0 °C, a sensor's power-on value, is too hot anyway.
BROKEN = np.array([-9999.0, -999.9, -999.0, -127.0, -99.9, -99.0, 999.0, 999.9, 9999.0])
MISSING = frozenset(["", "-", "--", "---", "na", "n/a", "#n/a", "nan", "null", "none", "m", "nil"])
_NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d*)?|[-+]?[.,]\d+")


@dataclass(frozen=True)
class Degrees:
    """Temperatures [°C], NaN where missing, and which of them a broken sensor gave."""

    celsius: Floats
    broken: NDArray[np.bool_]
    decimal_comma: bool


def read_degrees(texts: list[str], lines: list[int], unit: Unit) -> Degrees:
    """Read a column of temperatures."""
    commas = any("," in text for text in texts)
    numbers = np.array([_number(text, line, commas) for text, line in zip(texts, lines, strict=True)])
    return settled(numbers, unit, decimal_comma=commas)


def settled(numbers: Floats, unit: Unit, *, decimal_comma: bool = False) -> Degrees:
    """Convert to °C and take out what no air and no working sensor gives."""
    celsius = {"C": numbers, "F": (numbers - 32) / 1.8, "tenths": numbers / 10}[unit]
    broken = (celsius < COLDEST_C) | (celsius > HOTTEST_C)
    if unit == "F":  # -99 °F could be air; in °C all marks are out of range
        broken |= np.isin(numbers, BROKEN)
    return Degrees(np.where(broken, np.nan, celsius), broken, decimal_comma)


def _number(text: str, line: int, commas: bool) -> float:
    bare = text.strip().replace("\u2212", "-")
    if bare.lower() in MISSING:
        return float("nan")
    if not _NUMBER.fullmatch(bare):
        raise NotATemperature(bare, line)
    if commas and "." in bare:
        raise DecimalsMixed(bare, line)
    return float(bare.replace(",", "."))
