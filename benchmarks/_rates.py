"""Made-up grafts for the benchmarks of rates: five varieties, sittings crossed with stock lots."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit

from graftwright.science.findings.table import Column, Table

if TYPE_CHECKING:
    from pathlib import Path

SIZES = {2_000: (50, 10), 10_000: (100, 20), 100_000: (500, 40), 1_000_000: (2000, 100)}


def grafts(number: int) -> Table:
    """Draw so many grafts and join those alike."""
    rng = np.random.default_rng(number)
    sittings, stocks = SIZES[number]
    variety, sitting, stock = (rng.integers(0, size, number) for size in (5, sittings, stocks))
    log_odds = 0.3 + np.array([-0.5, -0.2, 0.0, 0.3, 0.4])[variety]
    log_odds = log_odds + rng.normal(0.0, 0.5, sittings)[sitting] + rng.normal(0.0, 0.3, stocks)[stock]
    taken = (rng.random(number) < expit(log_odds)).astype(float)
    columns = [
        Column(name, tuple(f"{level:05d}" for level in range(size)), codes)
        for name, size, codes in (
            ("variety", 5, variety),
            ("sitting", sittings, sitting),
            ("stock", stocks, stock),
        )
    ]
    return Table(taken, np.ones(number), (columns[0],), ((0,),), (columns[1], columns[2])).joined()


def write(table: Table, path: Path) -> None:
    """Write the joined rows for another program to read."""
    with path.open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(["taken", "made", "variety", "sitting", "stock"])
        columns = (*table.by, *table.batches)
        codes = [[column.levels[code] for code in column.codes] for column in columns]
        rows.writerows(zip(table.taken.astype(int), table.made.astype(int), *codes, strict=True))
