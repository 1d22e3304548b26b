"""The reference tables of take rates, read into the package's own tables."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from graftwright.science.findings.table import Column, Table

if TYPE_CHECKING:
    from collections.abc import Sequence

DATA = Path(__file__).parent / "reference" / "data"


def rows_of(folder: str, name: str) -> list[dict[str, str]]:
    with (DATA / folder / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def expected(folder: str) -> dict[str, Any]:
    value: dict[str, Any] = json.loads((DATA / folder / "expected.json").read_text(encoding="utf-8"))
    return value


def table_of(
    rows: Sequence[dict[str, str]],
    counts: tuple[str, str],
    by: Sequence[str] = (),
    terms: Sequence[tuple[int, ...]] = (),
    batches: Sequence[str] = (),
) -> Table:
    taken, made = ([float(row[name]) for row in rows] for name in counts)
    columns = [
        tuple(Column.of(name, [row[name] for row in rows]) for name in group) for group in (by, batches)
    ]
    return Table.of(taken, made, columns[0], tuple(terms), columns[1])


def seeds(batches: Sequence[str] = ("plate",)) -> Table:
    rows = rows_of("take_rate", "crowder_seeds.csv")
    return table_of(rows, ("germ", "n"), ("gen", "extract"), ((0,), (1,), (0, 1)), batches)


def cbpp(batches: Sequence[str] = ("herd",)) -> Table:
    rows = [{**row, "row": str(n)} for n, row in enumerate(rows_of("take_rate", "cbpp.csv"))]
    return table_of(rows, ("incidence", "size"), ("period",), ((0,),), batches)


def canker(batches: Sequence[str] = ("block",)) -> Table:
    rows = [{**row, "row": str(n)} for n, row in enumerate(rows_of("take_rate", "jansen_apple_canker.csv"))]
    return table_of(rows, ("y", "n"), ("gen", "inoculum"), ((0,), (1,)), batches)
