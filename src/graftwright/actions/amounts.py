"""How amounts of things are written for people."""

from __future__ import annotations


def amount(number: float) -> str:
    """Write whole numbers without a point, others with one figure behind it."""
    return f"{number:,}" if isinstance(number, int) else f"{number:,.1f}"


def plural(item: str) -> str:
    """Write an item of a sheet as more than one; litres as they are."""
    return item if item.endswith("s") else f"{item}s"


def amount_of(name: str, number: float) -> str:
    """Write an amount of a plan: '24 bags', '8.4 litres of medium'."""
    item, _, litres = name.partition(", ")
    return (
        f"{number:g} {litres} of {item}" if litres else f"{number:g} {name if number == 1 else plural(name)}"
    )
