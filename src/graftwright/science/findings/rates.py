"""Rates by level with what is known about them: the default model of findings.

Counts are binomial; log odds are an intercept plus one deviation for each level of each term plus
one for each batch. Levels of a term are alike: normal round zero with an sd of their own, so no
level is a base and renaming one changes nothing (Gelman & Hill 2007, *Data Analysis Using Regression
and Multilevel/Hierarchical Models*, ch. 12-14). Sds are averaged over, never plugged in.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit

from graftwright.science.arrays import sum_by
from graftwright.science.findings.mixture import HIGH, LOW, Normals, average_share, weighted_point
from graftwright.science.findings.priors import InterceptPrior, half_normal_log_sds
from graftwright.science.findings.scales import Mixture, Model, average_over_sds
from graftwright.science.findings.structure import Structure

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray, IntArray
    from graftwright.science.findings.table import Column, Table

METHOD = (
    "binomial mixed model, levels of a factor alike, nested Laplace; "
    "a rate is the mean over batches like these, low and high its 5 and 95 % points"
)


@dataclass(frozen=True)
class Spread:
    """A quantity's mean, sd, and 5 and 95 % points, shape (quantities,) each."""

    mean: FloatArray
    sd: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True)
class RateFit:
    """The posterior of a table's rates, ready to be asked."""

    table: Table
    prior: InterceptPrior
    structure: Structure
    mixture: Mixture

    @property
    def blocks(self) -> int:
        """How many terms are compared; their blocks follow the intercept, batches come after."""
        return len(self.table.terms)

    @cached_property
    def sds(self) -> FloatArray:
        """Sds at each point of the mixture, terms before batches, shape (points, sds)."""
        return np.exp(self.mixture.log_sds)

    @cached_property
    def batch_scatter(self) -> FloatArray:
        """Sd of all batches' deviations together at each point, shape (points,)."""
        squares: FloatArray = (self.sds[:, self.blocks :] ** 2).sum(axis=1)
        return np.sqrt(squares)

    @cached_property
    def means(self) -> FloatArray:
        """Means of the intercept and all effects at each point [log odds], shape (points, effects)."""
        means = np.array([peak.mean for peak in self.mixture.peaks])
        means[:, 0] += self.prior.mean
        return means

    def effects(self) -> Spread:
        """Intercept and one deviation for each level of each term [log odds]."""
        shown = self.structure.slices[self.blocks].stop
        return _spread(self._effects(slice(0, shown)))

    def _effects(self, part: slice) -> Normals:
        peaks = self.mixture.peaks
        sds = np.array([(peak.scale**2 * peak.curvature.variances())[part] for peak in peaks]) ** 0.5
        return Normals(self.mixture.weights, self.means[:, part], sds)

    def cell_log_odds(self, cells: IntArray) -> Normals:
        """Law of each cell's log odds in the middle batch; cells as codes, shape (cells, columns)."""
        return self.sums(self.cell_weights(cells))

    def cell_weights(self, cells: IntArray) -> FloatArray:
        """Which effects each cell sums, shape (cells, effects)."""
        weights = np.zeros((len(cells), self.structure.size))
        for block, codes in enumerate(self._cell_codes(cells)):
            weights[np.arange(len(cells)), codes + self.structure.slices[block].start] = 1.0
        return weights

    def _cell_codes(self, cells: IntArray) -> list[IntArray]:
        codes = [np.zeros(len(cells), dtype=np.int64)]
        for term in self.table.terms:
            code = np.zeros(len(cells), dtype=np.int64)
            for number in term:
                code = code * len(self.table.by[number].levels) + cells[:, number]
            codes.append(code)
        return codes

    def sums(self, weights: FloatArray) -> Normals:
        """Law of weighted sums of effects, weights of shape (sums, effects)."""
        s = self.structure
        big, rest = weights[:, s.big_slice], weights[:, s.is_rest]
        variances = [peak.curvature.target_variances(big, rest) for peak in self.mixture.peaks]
        return Normals(self.mixture.weights, self.means @ weights.T, np.sqrt(variances))

    def rates(self, log_odds: Normals) -> Spread:
        """Mean take over batches like these, for cells with these log odds."""
        scatter = self.batch_scatter
        wide = log_odds.widened(scatter)
        mean = self.mixture.weights @ average_share(wide.means, wide.sds)
        low, high = map(expit, log_odds.averaged_quantiles((LOW, HIGH), scatter))
        return Spread(mean, np.full_like(mean, np.nan), low, high)

    def new_batch(self, log_odds: Normals) -> tuple[FloatArray, FloatArray]:
        """Shares between which one new batch of each cell lies, 5 and 95 % points."""
        wide = log_odds.widened(self.batch_scatter)
        return expit(wide.quantile(LOW)), expit(wide.quantile(HIGH))

    def batch_rates(self, number: int) -> Spread:
        """Take of each level of a batch column, at the middle of its own grafts."""
        log_odds = self._batch_log_odds(number)
        mean = self.mixture.weights @ average_share(log_odds.means, log_odds.sds)
        low, high = (expit(log_odds.quantile(share)) for share in (LOW, HIGH))
        return Spread(mean, np.full_like(mean, np.nan), low, high)

    def _batch_log_odds(self, number: int) -> Normals:
        column, s = self.table.batches[number], self.structure
        levels = len(column.levels)
        share = _shares_within(column, self.table.made)
        rest = np.zeros(levels * s.n_rest)
        for code in s.rest:
            rest += sum_by(column.codes * s.n_rest + code, share, levels * s.n_rest)
        middle = rest.reshape(levels, s.n_rest)
        own = s.largest == 1 + self.blocks + number
        big = None if own else _crossed(column.codes, s.big, share, (levels, s.n_big))
        means = [middle @ mean[s.is_rest] + _times(big, mean[s.big_slice]) for mean in self.means]
        variances = [peak.curvature.target_variances(big, middle) for peak in self.mixture.peaks]
        return Normals(self.mixture.weights, np.array(means), np.sqrt(variances))

    def scatter_spread(self) -> Spread:
        """Sds of the terms, then of the batches [log odds]."""
        laws = [self.mixture.sd_law(number) for number in range(self.sds.shape[1])]
        mean = np.array([weight @ sd for sd, weight in laws])
        square = np.array([weight @ sd**2 for sd, weight in laws])
        low, high = (np.array([weighted_point(*law, share) for law in laws]) for share in (LOW, HIGH))
        return Spread(mean, np.sqrt(square - mean**2), low, high)


def fit_rates(table: Table, prior: InterceptPrior) -> RateFit:
    """Fit the default model.

    Parameters
    ----------
    table : Table
        Grafts taken of those made [counts], with the columns compared and the columns that group.
    prior : InterceptPrior
        Law of the intercept [log odds].

    Raises
    ------
    TooManyLevels
        Crossed columns have more pairs of levels than memory holds.

    References
    ----------
    Rue, Martino & Chopin (2009), J. R. Stat. Soc. B 71:319-392.

    Examples
    --------
    >>> import numpy as np
    >>> from graftwright.science.findings.table import Column, Table
    >>> variety = Column.of("variety", ["a", "b"])
    >>> table = Table(np.array([6.0, 9.0]), np.array([8.0, 13.0]), (variety,), ((0,),), ())
    >>> fit = fit_rates(table, InterceptPrior())
    >>> fit.rates(fit.cell_log_odds(table.cells())).mean.round(2).tolist()
    [0.71, 0.69]
    """
    joined = table.joined()
    terms = [joined.crossed(term) for term in joined.terms]
    blocks = [*terms, *joined.batches]
    intercept = np.zeros(len(joined.made), dtype=np.int64)
    sizes = [1, *(len(block.levels) for block in blocks)]
    structure = Structure([intercept, *(block.codes for block in blocks)], sizes)
    which = np.repeat(np.arange(-1, len(blocks)), sizes)
    offset = np.full(len(joined.made), prior.mean)
    fixed = np.full(structure.size, prior.sd)
    model = Model(structure, joined.taken, joined.made, offset, fixed, which, half_normal_log_sds)
    return RateFit(joined, prior, structure, average_over_sds(model))


def _spread(law: Normals) -> Spread:
    return Spread(law.mean(), law.sd(), law.quantile(LOW), law.quantile(HIGH))


def _shares_within(column: Column, made: FloatArray) -> FloatArray:
    """Each row's part of its level's grafts."""
    total = sum_by(column.codes, made, len(column.levels))
    share: FloatArray = made / total[column.codes]
    return share


def _crossed(left: IntArray, right: IntArray, weight: FloatArray, shape: tuple[int, int]) -> FloatArray:
    return sum_by(left * shape[1] + right, weight, shape[0] * shape[1]).reshape(shape)


def _times(big: FloatArray | None, effects: FloatArray) -> FloatArray:
    return effects if big is None else big @ effects
