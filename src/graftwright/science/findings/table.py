"""Counts with their columns: levels in a settled order, rows with the same levels joined."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.arrays import sum_by

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from graftwright.science.arrays import FloatArray, IntArray

CELLS_LISTED = 10_000


def sort_levels(values: Iterable[str]) -> tuple[str, ...]:
    """Sort distinct levels: as numbers when all are numbers, else by code point.

    Examples
    --------
    >>> sort_levels(["10", "9", "10"])
    ('9', '10')
    >>> sort_levels(["10", "9", "b"])
    ('10', '9', 'b')
    """
    distinct = sorted(set(values))
    numbers = [_number(value) for value in distinct]
    if all(number is not None for number in numbers):
        return tuple(sorted(distinct, key=lambda value: (float(value), value)))
    return tuple(distinct)


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if np.isfinite(number) else None


@dataclass(frozen=True)
class Column:
    """One named column: its levels, and which of them each row has, shape (rows,)."""

    name: str
    levels: tuple[str, ...]
    codes: IntArray

    @classmethod
    def of(cls, name: str, values: Sequence[str]) -> Column:
        """Give each level of a column as read its number."""
        levels = sort_levels(values)
        place = {level: number for number, level in enumerate(levels)}
        codes = np.fromiter((place[value] for value in values), dtype=np.int64, count=len(values))
        return cls(name, levels, codes)

    def labels(self) -> tuple[str, ...]:
        """Names of the levels as effects are called."""
        return tuple(f"{self.name}={level}" for level in self.levels)


@dataclass(frozen=True)
class Table:
    """Counts of grafts taken of those made, with columns compared (`by`) and columns grouping them.

    `terms` name the columns whose levels have effects: one column each, or several for an
    interaction, in the order asked.
    """

    taken: FloatArray
    made: FloatArray
    by: tuple[Column, ...]
    terms: tuple[tuple[int, ...], ...]
    batches: tuple[Column, ...]

    @classmethod
    def of(
        cls,
        taken: Sequence[float],
        made: Sequence[float],
        by: tuple[Column, ...] = (),
        terms: tuple[tuple[int, ...], ...] = (),
        batches: tuple[Column, ...] = (),
    ) -> Table:
        """Make a table from plain counts."""
        return cls(np.array(taken, dtype=float), np.array(made, dtype=float), by, terms, batches)

    def made_of(self, column: Column) -> FloatArray:
        """Count the grafts made of each level of a column."""
        return sum_by(column.codes, self.made, len(column.levels))

    def joined(self) -> Table:
        """Join the rows that have the same level in every column, and drop rows without grafts."""
        key = np.zeros(len(self.made), dtype=np.int64)
        for column in (*self.by, *self.batches):
            _, key = np.unique(key * len(column.levels) + column.codes, return_inverse=True)
        filled = self.made > 0
        places, first, group = np.unique(key[filled], return_index=True, return_inverse=True)
        rows = np.flatnonzero(filled)[first]
        return Table(
            sum_by(group, self.taken[filled], len(places)),
            sum_by(group, self.made[filled], len(places)),
            tuple(Column(c.name, c.levels, c.codes[rows]) for c in self.by),
            self.terms,
            tuple(Column(c.name, c.levels, c.codes[rows]) for c in self.batches),
        )

    def crossed(self, term: tuple[int, ...]) -> Column:
        """Make the column of a term: the one it names, or every combination of several."""
        columns = [self.by[number] for number in term]
        if len(columns) == 1:
            return columns[0]
        codes = np.zeros_like(columns[0].codes)
        for column in columns:
            codes = codes * len(column.levels) + column.codes
        labels = tuple(":".join(parts) for parts in product(*(column.labels() for column in columns)))
        return Column("*".join(column.name for column in columns), labels, codes)

    def term_labels(self, term: tuple[int, ...]) -> tuple[str, ...]:
        """Names of a term's effects: `factor=level`, joined by colons for an interaction."""
        column = self.crossed(term)
        return column.labels() if len(term) == 1 else column.levels

    def cells(self) -> IntArray:
        """Codes of every combination of the compared columns, shape (cells, columns).

        Where there are more combinations than anyone reads, only those that were made.
        """
        if not self.by:
            return np.zeros((1, 0), dtype=np.int64)
        sizes = [len(column.levels) for column in self.by]
        if int(np.prod(sizes, dtype=float)) <= CELLS_LISTED:
            return np.array(list(product(*(range(size) for size in sizes))), dtype=np.int64)
        return np.unique(self.row_codes(), axis=0)

    def row_codes(self) -> IntArray:
        """Codes of the compared columns, shape (rows, columns)."""
        if not self.by:
            return np.zeros((len(self.made), 0), dtype=np.int64)
        return np.stack([column.codes for column in self.by], axis=1)

    def cell_counts(self, cells: IntArray) -> tuple[FloatArray, FloatArray]:
        """Taken and made of each cell."""
        numbers = {tuple(cell): number for number, cell in enumerate(cells.tolist())}
        which = np.array([numbers[tuple(row)] for row in self.row_codes().tolist()])
        size = len(cells)
        return sum_by(which, self.taken, size), sum_by(which, self.made, size)
