"""Refusing what lies outside the range a formula was made for."""

from __future__ import annotations

from graftwright.errors import ValueComplaint


class OutOfRange(ValueComplaint):
    """A number lies outside the range in which its formula holds."""

    def __init__(self, what: str, value: float, low: float, high: float, unit: str) -> None:
        between = f"at least {low:g}" if high == float("inf") else f"between {low:g} and {high:g}"
        shown = f"{between} {unit}".rstrip()
        super().__init__(f"The {what} must be {shown}, not {value:g}.", do="Correct the number or its unit.")


def check_within(what: str, value: float, low: float, high: float, unit: str) -> None:
    """Refuse a value below `low`, above `high`, infinite, or not a number."""
    if not low <= value <= high or value == float("inf"):
        raise OutOfRange(what, value, low, high, unit)
