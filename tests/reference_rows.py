"""Rows of the reference tables, as dictionaries of strings."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parent / "reference" / "data"


def rows(folder: str, name: str) -> list[dict[str, str]]:
    with (DATA / folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
