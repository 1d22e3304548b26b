"""temporary"""

from typing import Any


def changes(old: dict[str, Any], new: dict[str, Any]) -> tuple[str, ...]:
    return ()
