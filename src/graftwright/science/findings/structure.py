"""The curvature of a model in which every row carries one effect of each block.

A row of counts has one level of each block (the intercept, each factor, each grouping), so the
matrix that joins effects to rows holds a handful of ones per row and is never written out. Two
levels of one block never meet in a row: the largest block's part of the curvature is diagonal and
is eliminated first, which leaves a small dense rest (block elimination; Golub & Van Loan, *Matrix
Computations*, 4th ed., section 3.2.6). Time and memory grow with levels of the largest block times
the number of all other levels.
"""

from __future__ import annotations

from functools import cached_property
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.arrays import Grouping
from graftwright.science.findings.troubles import TooManyLevels

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.arrays import FloatArray, IntArray

LARGEST_DENSE_PART = 120_000_000  # numbers held in one dense array: one gigabyte


class Structure:
    """Which effects touch which row; laid out once, used at every step.

    Effects are numbered block after block in the order given; `slices[b]` are those of block b.
    """

    def __init__(self, codes: Sequence[IntArray], sizes: Sequence[int]) -> None:
        starts = np.concatenate([[0], np.cumsum(sizes)])
        self.size = int(starts[-1])
        self.slices = [slice(int(a), int(b)) for a, b in pairwise(starts)]
        self.columns = [code + int(start) for code, start in zip(codes, starts[:-1], strict=True)]
        self.largest = int(np.argmax(sizes))
        self._lay_out(codes, sizes)

    def _lay_out(self, codes: Sequence[IntArray], sizes: Sequence[int]) -> None:
        self.big = codes[self.largest]
        self.n_big = sizes[self.largest]
        self.big_slice = self.slices[self.largest]
        others = [block for block in range(len(sizes)) if block != self.largest]
        self.n_rest = self.size - self.n_big
        if max(self.n_big, self.n_rest) * self.n_rest > LARGEST_DENSE_PART:
            raise TooManyLevels(self.n_big, self.n_rest)
        self.is_rest = np.ones(self.size, dtype=bool)
        self.is_rest[self.big_slice] = False
        place = np.cumsum(self.is_rest) - 1
        self.rest = [place[self.columns[block]] for block in others]
        q = self.n_rest
        self._pairs = [Grouping(a * q + b, q * q) for a, b in combinations(self.rest, 2)]
        self._corner = [Grouping(self.big * q + a, self.n_big * q) for a in self.rest]
        self._levels = [Grouping(code, size) for code, size in zip(codes, sizes, strict=True)]

    def gather(self, effects: FloatArray) -> FloatArray:
        """Sum the effects that touch each row, shape (rows,)."""
        total: FloatArray = effects[self.columns[0]]
        for column in self.columns[1:]:
            total = total + effects[column]
        return total

    def scatter(self, values: FloatArray) -> FloatArray:
        """Sum the rows that each effect touches, shape (size,)."""
        return np.concatenate([levels.sums(values) for levels in self._levels])

    def products(self, weight: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Sum weights over rows for each pair of effects: big, big with rest, rest with rest."""
        q = self.n_rest
        rest, corner = np.zeros(q * q), np.zeros(self.n_big * q)
        for pair in self._pairs:
            rest += pair.sums(weight)
        for pair in self._corner:
            corner += pair.sums(weight)
        alone = self.scatter(weight)
        square = rest.reshape(q, q)
        square += square.T
        square[np.diag_indices(q)] = alone[self.is_rest]
        return alone[self.big_slice], corner.reshape(self.n_big, q), square


class Curvature:
    """The matrix scale AᵀWA scale + I at one set of row weights, with its inverse's useful parts."""

    def __init__(self, structure: Structure, weight: FloatArray, scale: FloatArray) -> None:
        big, corner, square = structure.products(weight)
        self.structure = structure
        self.scale_big = scale[structure.big_slice]
        self.scale_rest = scale[structure.is_rest]
        self.diagonal = 1.0 + self.scale_big**2 * big
        self.corner = self.scale_big[:, None] * corner * self.scale_rest
        self.share = self.corner / self.diagonal[:, None]
        self.core = self.scale_rest[:, None] * square * self.scale_rest - self.corner.T @ self.share
        self.core[np.diag_indices(structure.n_rest)] += 1.0

    @cached_property
    def log_determinant(self) -> float:
        """Natural logarithm of the determinant."""
        core = 2.0 * float(np.log(np.diagonal(np.linalg.cholesky(self.core))).sum())
        return float(np.log(self.diagonal).sum()) + core

    @cached_property
    def core_inverse(self) -> FloatArray:
        """Covariance of the effects outside the largest block, before scaling."""
        return np.asarray(np.linalg.inv(self.core), dtype=np.float64)

    @cached_property
    def _spread(self) -> tuple[FloatArray, FloatArray]:
        through = self.share @ self.core_inverse
        return through, np.einsum("jq,jq->j", through, self.share)

    def solve(self, right: FloatArray) -> FloatArray:
        """Solve for one right-hand side, shape (size,)."""
        s = self.structure
        big, rest = right[s.big_slice], right[s.is_rest]
        lower = np.linalg.solve(self.core, rest - self.share.T @ big)
        answer = np.empty(s.size)
        answer[s.is_rest] = lower
        answer[s.big_slice] = big / self.diagonal - self.share @ lower
        return answer

    def variances(self) -> FloatArray:
        """Diagonal of the inverse, shape (size,)."""
        answer = np.empty(self.structure.size)
        answer[self.structure.is_rest] = np.diagonal(self.core_inverse)
        answer[self.structure.big_slice] = 1.0 / self.diagonal + self._spread[1]
        return answer

    def row_variances(self) -> FloatArray:
        """Variance of each row's sum of scaled effects, shape (rows,)."""
        s = self.structure
        through, own = self._spread
        scaled = self.scale_rest[:, None] * self.core_inverse * self.scale_rest
        total = (self.scale_big**2 * (1.0 / self.diagonal + own))[s.big]
        crossed = -2.0 * self.scale_big[:, None] * through * self.scale_rest
        for column in s.rest:
            total += crossed[s.big, column] + scaled[column, column]
        for a, b in combinations(s.rest, 2):
            total += 2.0 * scaled[a, b]
        return total

    def target_variances(self, big: FloatArray | None, rest: FloatArray) -> FloatArray:
        """Variance of weighted sums of scaled effects, one for each row of the weights.

        `big` weighs the largest block and `rest` the others; without `big` row t has level t of the
        largest block, once.
        """
        left = rest * self.scale_rest
        if big is None:
            own = self.scale_big**2 / self.diagonal
            left = left - self.scale_big[:, None] * self.share
        else:
            big = big * self.scale_big
            own = big**2 @ (1.0 / self.diagonal)
            left = left - big @ self.share
        variance: FloatArray = own + np.einsum("tq,tq->t", left @ self.core_inverse, left)
        return variance
