"""What a column of a weather file holds, from its heading, in the spellings exporters use."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from typing import Literal

Role = Literal["stamp", "date", "clock", "year", "month", "day", "temperature", "tmin", "tmax"]
Unit = Literal["C", "F", "tenths"]

_FAHRENHEIT = re.compile(r"fahrenheit|(°|º|\bdeg(rees?)?[ .]*)f\b|(?<![a-z])f\W*$")
_CELSIUS = re.compile(r"celsius|(°|º|\bdeg(rees?)?[ .]*)c\b|(?<![a-z])c\W*$")
_OFFSET = re.compile(r"\b(?:gmt|utc)\s*([+-])(\d{1,2})(?::?(\d{2}))?")

_UNIT_WORDS = frozenset(["c", "f", "deg", "degc", "degf", "degree", "degrees", "celsius", "fahrenheit"])
_WORDS: dict[str, frozenset[str]] = {
    "other": frozenset(
        [
            "dew",
            "dewpoint",
            "point",
            "soil",
            "rh",
            "humidity",
            "humid",
            "wet",
            "bulb",
            "water",
            "feels",
            "chill",
            "heat",
            "index",
            "taupunkt",
            "boden",
            "feuchte",
            "rosee",
            "humedad",
            "set",
            "setpoint",
            "battery",
            "pressure",
            "elevation",
            "station",
            "name",
            "attributes",
        ]
    ),
    "low": frozenset(
        ["tmin", "min", "minimum", "lowest", "low", "mini", "minima", "mintemp", "tempmin", "tn"]
    ),
    "high": frozenset(
        ["tmax", "max", "maximum", "highest", "high", "maxi", "maxima", "maxtemp", "tempmax", "tx"]
    ),
    "warm": frozenset(
        [
            "t",
            "ta",
            "temp",
            "temps",
            "tair",
            "temperature",
            "temperatures",
            "temperatur",
            "temperatuur",
            "temperatura",
            "lufttemperatur",
        ]
    ),
    "stamp": frozenset(["timestamp", "datetime", "zeitstempel", "horodatage", "dateheure", "datumzeit"]),
    "date": frozenset(["date", "datum", "fecha", "data", "dato", "tag", "jour", "dia"]),
    "clock": frozenset(["time", "clock", "hour", "hr", "uhrzeit", "zeit", "heure", "hora", "ora", "uur"]),
    "year": frozenset(["year", "yr", "jahr", "annee"]),
    "month": frozenset(["month", "mo", "monat", "mois", "mes"]),
    "day": frozenset(["day"]),
}


@dataclass(frozen=True)
class Heading:
    """A column: where it stands, its name, what it holds, its unit and its UTC offset where said."""

    index: int
    name: str
    role: Role
    unit: Unit | None = None
    offset_s: int | None = None


def headings(cells: list[str]) -> list[Heading]:
    """Recognise the columns of a heading line; those of no use here are left out."""
    found = []
    for index, cell in enumerate(cells):
        unit, words = _unit(cell), _words(cell)
        role = "temperature" if unit and words <= _UNIT_WORDS else _role(words)
        if role:
            found.append(Heading(index, cell.strip(), role, unit, _offset_s(cell)))
    return _as_stamp(found)


def _as_stamp(found: list[Heading]) -> list[Heading]:
    """Let a lone time or date column hold both; `day` counts days only beside year and month."""
    roles = {heading.role for heading in found}
    in_parts = {"year", "month"} <= roles
    dated = in_parts or bool(roles & {"date", "day"})
    swap: dict[Role, Role] = {}
    if not in_parts:
        swap["day"] = "date"
    if not dated:
        swap["clock"] = "stamp"
    elif not in_parts and not roles & {"clock", "stamp"}:
        swap |= {"date": "stamp", "day": "stamp"}
    return [replace(heading, role=swap.get(heading.role, heading.role)) for heading in found]


def _role(words: set[str]) -> Role | None:
    hits = {kind for kind, known in _WORDS.items() if words & known}
    if "other" in hits or {"low", "high"} <= hits:
        return None
    if "low" in hits:
        return "tmin"
    if "high" in hits:
        return "tmax"
    if "warm" in hits:
        return "temperature"
    if "stamp" in hits or {"date", "clock"} <= hits:
        return "stamp"
    for kind in ("date", "clock", "year", "month", "day"):
        if kind in hits:
            return kind
    return None


def _words(cell: str) -> set[str]:
    plain = unicodedata.normalize("NFKD", cell.lower())
    bare = "".join(char for char in plain if not unicodedata.combining(char))
    return set(re.findall(r"[a-z]+", _OFFSET.sub(" ", bare)))


def _unit(cell: str) -> Unit | None:
    text = cell.lower().strip().replace("_", " ")
    fahrenheit, celsius = bool(_FAHRENHEIT.search(text)), bool(_CELSIUS.search(text))
    if fahrenheit == celsius:
        return None
    return "F" if fahrenheit else "C"


def _offset_s(cell: str) -> int | None:
    found = _OFFSET.search(cell.lower())
    if not found:
        return None
    sign, hours, minutes = found.groups()
    return (1 if sign == "+" else -1) * (int(hours) * 3600 + int(minutes or 0) * 60)
