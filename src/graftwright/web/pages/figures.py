"""What the figures of the handbook are called, and how their values are written."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graftwright.handbook.values import Figure

_NAMES = {
    "sheet.buds_per_scion": "buds on each scion",
    "sheet.per_place.units": "grafts to a bag",
    "sheet.take_from_day": "a take is counted from day",
    "sheet.union_at": "the union stands",
    "ends_when.at_least": "number to look for",
    "act_within.days": "time to act",
    "check_every.days": "look every",
    "loss_shown.days": "a loss shows after",
    "loss_shown.spread": "spread of that",
    "give_up_after.days": "give up after",
    "pace.days_at_optimum": "half are there, at the best warmth, after",
    "pace.days": "half are there after",
    "pace.spread": "spread between plants",
    "pace.batch_spread": "spread between batches",
    "pace.worth": "that is worth",
    "keep.temperature": "warmth to keep",
    "keep.night": "warmth at night",
    "keep.rest": "warmth of buds and roots",
    "keep.humidity": "humidity to keep",
    "keep.light.ppfd": "light",
    "keep.light.hours": "hours of light",
    "keep.in_below": "bring in when the night goes below",
    "survival.first_time.mean": "share that pass, first time",
    "survival.some.mean": "share that pass, with some practice",
    "survival.practised.mean": "share that pass, practised",
    "first_time.worth": "first time: worth",
    "some.worth": "some practice: worth",
    "practised.worth": "practised: worth",
    "between_seasons": "seasons differ by",
    "minutes": "minutes of work",
    "every_days": "again every",
    "after_days": "after",
    "each": "pieces for each graft",
    "litres": "litres for each graft",
    "hours": "hours",
    "humidity": "humidity",
    "value": "found",
    "base": "stops below",
    "optimum": "fastest at",
    "ceiling": "stops above",
}
_HEADS = {
    "response.callus": "Callus and warmth",
    "response.sprouting": "Sprouting and warmth",
    "chill": "Cold for the nuts",
    "seed": "Nuts",
    "scionwood": "Scionwood",
    "frost": "Frost",
    "spacing": "Distance between trees",
    "pollination": "Pollination",
    "stock": "Stocks",
    "plant_health": "Plant health",
    "figure": "What others found",
}
_UNITS = {"d": "days", "h": "hours", "min": "minutes", "l": "litres", "pieces": "", "degC": "°C"}
_NUMBERED = re.compile(r"^(?:.*\.)?(work|uses|step|figure|stock|plant_health)\.([0-9]+)\.(\w+)$")
_THINGS = {"work": "work", "uses": "material", "step": "step", "figure": "finding", "stock": "stock",
           "plant_health": "rule"}  # fmt: skip


def part(path: str) -> str:
    """Return the part of the file a figure stands in: a stage, or a chapter of a species."""
    words = path.split(".")
    return ".".join(words[:2]) if words[0] == "response" else words[0]


def head(part_: str) -> str:
    """Heading of a chapter of a species."""
    return _HEADS.get(part_, part_.replace("_", " ").capitalize())


def name(path: str) -> str:
    """What a figure is called."""
    if numbered := _NUMBERED.match(path):
        last = _NAMES.get(numbered[3], numbered[3].replace("_", " "))
        return f"{_THINGS[numbered[1]]} {numbered[2]}: {last}"
    words = path.split(".")
    genus = f" ({words[words.index('for') + 1]})" if "for" in words else ""
    known = next(
        (_NAMES[".".join(words[n:])] for n in range(len(words)) if ".".join(words[n:]) in _NAMES), ""
    )
    return (known or words[-1].replace("_", " ")) + genus


def value(figure: Figure) -> str:
    """Write a value with its unit; a pair is a span."""
    return f"{_plain(figure.value, figure.path)} {unit(figure)}".strip()


def unit(figure: Figure) -> str:
    """Unit of a figure, as it is written on a page."""
    return _UNITS.get(figure.unit, figure.unit)


def _plain(given: object, path: str) -> str:
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, list | tuple):
        first, last = (_plain(one, path) for one in given)
        return first if first == last else f"{first} to {last}"
    if isinstance(given, float | int) and path.endswith(".mean"):
        return f"{100 * given:g} in 100"
    return f"{given:g}" if isinstance(given, float | int) else str(given)
