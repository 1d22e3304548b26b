"""A trial's layout as a table file, to print as bench cards or to fill in."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING

from graftwright.errors import FileComplaint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.trials.lay_out import Unit


class CannotWrite(FileComplaint):
    """The file cannot be written."""

    def __init__(self, path: str) -> None:
        super().__init__(f"The file {path} cannot be written.", do="Name a folder that is there and yours.")


def write_layout(path: str, unit: str, units: Sequence[Unit]) -> None:
    """Write one row a unit, with empty columns for what will be counted."""
    try:
        with Path(path).open("w", newline="", encoding="utf-8") as file:
            table = csv.writer(file)
            table.writerow([unit, "block", "place", "arm", "made", "taken"])
            table.writerows([one.number, one.block, one.place, one.arm, "", ""] for one in units)
    except OSError:
        raise CannotWrite(path) from None
