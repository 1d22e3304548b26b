"""What a table cannot tell apart, and what would tell it apart next season."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from graftwright.science.arrays import IntArray
    from graftwright.science.findings.table import Column, Table

NAMED = 3


def not_told_apart(table: Table) -> list[str]:
    """Name, in sentences, the pairs of columns whose effects the counts cannot separate.

    Two columns are inseparable where no chain of shared levels joins all their levels: the
    two-way layout is then not connected (Searle 1987, *Linear Models for Unbalanced Data*, section
    5.3). A level of a compared column that stands in one batch only cannot be told from that batch.

    Examples
    --------
    >>> from graftwright.science.findings.table import Column, Table
    >>> grafter, season = Column.of("grafter", ["Ada", "Bo"]), Column.of("season", ["2031", "2032"])
    >>> counts = np.array([5.0, 6.0])
    >>> print(not_told_apart(Table(counts, counts, (grafter, season), ((0,), (1,)), ()))[0])
    grafter and season cannot be told apart: Ada only with 2031, Bo only with 2032. Next season put \
each grafter with more than one season.
    """
    made = table.joined()
    pairs = [_unconnected(first, second) for first, second in combinations(made.by, 2)]
    alone = [_one_batch(column, batch) for column in made.by for batch in made.batches]
    return [sentence for sentence in (*pairs, *alone) if sentence]


def _unconnected(first: Column, second: Column) -> str | None:
    groups = _components(first.codes, second.codes)
    if groups.max(initial=0) == 0 or len(first.levels) < 2 or len(second.levels) < 2:
        return None
    examples = []
    for group in range(min(int(groups.max()) + 1, NAMED)):
        row = int(np.argmax(groups == group))
        examples.append(f"{first.levels[first.codes[row]]} only with {second.levels[second.codes[row]]}")
    return (
        f"{first.name} and {second.name} cannot be told apart: {', '.join(examples)}. "
        f"Next season put each {first.name} with more than one {second.name}."
    )


def _components(first: IntArray, second: IntArray) -> IntArray:
    """Give the number of the connected part that each row belongs to."""
    group = first.copy()
    while True:
        least = np.full(int(second.max(initial=0)) + 1, len(group) + len(first))
        np.minimum.at(least, second, group)
        joined = least[second]
        back = np.full(int(first.max(initial=0)) + 1, len(group) + len(first))
        np.minimum.at(back, first, joined)
        joined = back[first]
        if np.array_equal(joined, group):
            return np.unique(group, return_inverse=True)[1]
        group = joined


def _one_batch(column: Column, batch: Column) -> str | None:
    """Tell which levels stand in one batch that holds nothing else."""
    pairs = np.unique(np.stack([column.codes, batch.codes]), axis=1)
    lone_level = np.bincount(pairs[0], minlength=len(column.levels)) == 1
    lone_batch = np.bincount(pairs[1], minlength=len(batch.levels)) == 1
    alone = sorted(set(pairs[0][lone_level[pairs[0]] & lone_batch[pairs[1]]].tolist()))
    if not alone or len(column.levels) < 2:
        return None
    named = ", ".join(column.levels[level] for level in alone[:NAMED])
    more = f" and {len(alone) - NAMED} more" if len(alone) > NAMED else ""
    return (
        f"{column.name} {named}{more}: only one {batch.name} each, so the two cannot be told apart. "
        f"Next season spread each {column.name} over two or more of {batch.name}."
    )
