"""Units people type, brought to the ones kept inside (SI and °C), each conversion in one place."""

from __future__ import annotations

import re

_TEMPERATURE = re.compile(r"(-?[0-9]+(?:[.,][0-9]+)?)\s*°?\s*([cf]?)", re.IGNORECASE)


def celsius(text: str) -> float | None:
    """Read a temperature such as '22.5', '22,5 °C' or '72 F'; None where it is none.

    A bare number is in °C.
    """
    found = _TEMPERATURE.fullmatch(text.strip())
    if found is None:
        return None
    number = float(found[1].replace(",", "."))
    return (number - 32) * 5 / 9 if found[2].lower() == "f" else number
