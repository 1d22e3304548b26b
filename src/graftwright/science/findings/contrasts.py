"""Treatment contrasts: the first level of each column is the base the others are compared with."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from graftwright.science.arrays import BoolArray, FloatArray, IntArray
    from graftwright.science.findings.table import Table


@dataclass(frozen=True)
class Contrasts:
    """Names of the contrasts, and which of them the counts can tell from the ones before."""

    names: tuple[str, ...]
    parts: tuple[tuple[tuple[int, int], ...], ...]  # (column, level) pairs, none for the intercept
    known: BoolArray

    def matrix(self, codes: IntArray) -> FloatArray:
        """Contrasts of rows or cells given as codes, shape (rows, contrasts)."""
        answer = np.ones((len(codes), len(self.parts)))
        for number, pairs in enumerate(self.parts):
            for column, level in pairs:
                answer[:, number] *= codes[:, column] == level
        return answer


def treatment_contrasts(table: Table) -> Contrasts:
    """Lay out the contrasts of a table's terms: intercept, levels, interactions."""
    names = ["intercept"]
    parts: list[tuple[tuple[int, int], ...]] = [()]
    for term in table.terms:
        columns = [(number, range(1, len(table.by[number].levels))) for number in term]
        for levels in product(*(levels for _, levels in columns)):
            pairs = tuple((number, level) for (number, _), level in zip(columns, levels, strict=True))
            names.append(":".join(table.by[number].labels()[level] for number, level in pairs))
            parts.append(pairs)
    laid_out = Contrasts(tuple(names), tuple(parts), np.ones(len(parts), dtype=bool))
    return Contrasts(laid_out.names, laid_out.parts, _independent(laid_out.matrix(table.row_codes())))


def _independent(matrix: FloatArray) -> BoolArray:
    """Mark each column that the ones before it do not already say (Gram-Schmidt, twice)."""
    rows = np.unique(matrix, axis=0)
    basis = np.zeros((len(rows), 0))
    known = np.zeros(matrix.shape[1], dtype=bool)
    for number, column in enumerate(rows.T):
        left = column - basis @ (basis.T @ column)
        left -= basis @ (basis.T @ left)
        size = float(np.linalg.norm(left))
        if size > 1e-8 * max(1.0, float(np.linalg.norm(column))):
            known[number] = True
            basis = np.column_stack([basis, left / size])
    return known
