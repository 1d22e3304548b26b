"""A value typed by hand, brought to the form in which a file of the handbook would hold it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from graftwright.errors import as_typed
from graftwright.handbook import errors
from graftwright.handbook.fields import Flag, Number, Span

if TYPE_CHECKING:
    from graftwright.handbook.fields import Field

_ONE = r"[+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?"
_UNIT = r"\s*([^\d\s.,][^\d]*)?"
_NUMBER = re.compile(rf"({_ONE}){_UNIT}")
_TO = r"(?:\s*(?:to|[\N{EN DASH},;])\s*|\s-\s|-(?=\d)|\s+)"
_PAIR = re.compile(rf"\[?\s*({_ONE}){_TO}({_ONE})\s*\]?{_UNIT}")
_WORDS = {"yes": True, "true": True, "no": False, "false": False}
# what people write for a unit of the handbook
_UNITS = {"day": "d", "days": "d", "hour": "h", "hours": "h", "minute": "min", "minutes": "min", "c": "°C",
          "degc": "°C", "°c": "°C", "litre": "l", "litres": "l", "l": "l", "percent": "%", "metres": "m"}  # fmt: skip


def read_typed(kind: Field, typed: str, where: str) -> Any:
    """Read what was typed; what cannot be read stays text, and the field says what it should be."""
    if isinstance(kind, Flag):
        return _WORDS.get(typed.lower(), typed)
    if not isinstance(kind, Number):
        return typed
    found = (_PAIR if isinstance(kind, Span) else _NUMBER).fullmatch(typed)
    if found is None:
        return typed
    *numbers, unit = found.groups()
    share = _share_of(kind, (unit or "").strip(), where)
    read = [_number(one) / share if share > 1 else _number(one) for one in numbers if share]
    return (read if isinstance(kind, Span) else read[0]) if read else typed


def _share_of(kind: Number, unit: str, where: str) -> int:
    """1, or 100 where a share was typed in percent, or 0 for a unit where none belongs; refuses another unit."""
    said = _UNITS.get(unit.lower(), unit)
    if said in ("", kind.unit):
        return 1
    if kind.unit:
        raise errors.WrongUnit(as_typed(unit), kind.unit, where)
    return 100 if said == "%" and kind.high <= 1 else 0


def _number(text: str) -> float:
    return float(text.replace(",", ".")) if {".", ","} & set(text) else int(text)
