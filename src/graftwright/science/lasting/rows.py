"""Units followed, as rows: the last look alive, the first that saw it gone, how many, which group."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.arrays import BoolArray, FloatArray, IntArray


@dataclass(frozen=True)
class Rows:
    """Rows of units, all arrays of shape (rows,); `right` is infinite where never seen gone."""

    left: FloatArray
    right: FloatArray
    counts: FloatArray
    groups: IntArray

    @classmethod
    def of(
        cls, left: Sequence[float], right: Sequence[float], counts: Sequence[int], groups: Sequence[int]
    ) -> Rows:
        """Make rows from plain numbers."""
        return cls(np.array(left), np.array(right), np.array(counts, dtype=float), np.array(groups))

    @property
    def died(self) -> BoolArray:
        """True where the time of loss is known exactly."""
        known: BoolArray = self.left == self.right
        return known

    @property
    def exact(self) -> bool:
        """Tell whether every loss has its exact time."""
        return bool((self.died | np.isinf(self.right)).all())

    def of_group(self, number: int) -> Rows:
        """Keep the rows of one group."""
        kept = self.groups == number
        return Rows(self.left[kept], self.right[kept], self.counts[kept], self.groups[kept])
