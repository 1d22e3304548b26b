"""Rates without priors: maximum likelihood with treatment contrasts.

Batches are integrated out by Laplace's approximation, or by adaptive Gauss-Hermite quadrature where
there is one grouping (Pinheiro & Bates 1995, J. Comput. Graph. Stat. 4:12-35). The slope of the
approximation is exact, so the climb is short. An sd of exactly zero is a normal outcome.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.arrays import sum_by
from graftwright.science.findings.climb import climb
from graftwright.science.findings.contrasts import Contrasts, treatment_contrasts
from graftwright.science.findings.flat_model import FlatModel
from graftwright.science.findings.laplace import log_constants
from graftwright.science.findings.logistic import fit_logistic
from graftwright.science.findings.structure import Structure
from graftwright.science.findings.troubles import AllOrNone

if TYPE_CHECKING:
    from graftwright.science.arrays import BoolArray, FloatArray
    from graftwright.science.findings.laplace import Peak
    from graftwright.science.findings.table import Table

QUADRATURE_POINTS = 25
PROMISE = 1e-11
HUGE_SD = 12.0
PROFILED_ROWS = 20_000
CROSSINGS, CROSSED = 40, 1e-6
CHI_SQUARE_90 = 2.705543454095404  # 90 % point of chi-square with 1 degree of freedom


@dataclass(frozen=True)
class FlatFit:
    """Maximum likelihood estimates: contrasts, their covariance, sds; `table` has its rows joined."""

    table: Table
    layout: Contrasts
    model: FlatModel
    place: FloatArray
    covariance: FloatArray
    height: float
    peak: Peak

    @property
    def method(self) -> str:
        """Say how the likelihood was reached."""
        if not self.model.groupings:
            return "maximum likelihood, treatment contrasts, no batches"
        how = "Laplace" if self.model.points == 1 else f"adaptive quadrature, {self.model.points} points"
        return f"maximum likelihood by {how}, treatment contrasts; rates and intervals at the middle batch"

    @property
    def log_likelihood(self) -> float:
        """Log likelihood with the binomial constants."""
        return self.height + log_constants(self.model.taken, self.model.made)

    @property
    def coefficients(self) -> FloatArray:
        """Contrasts [log odds], nan where the counts cannot tell them apart."""
        return _spread_out(self.place[: self.model.fixed], self.layout.known)

    @property
    def errors(self) -> FloatArray:
        """Standard errors of the contrasts [log odds], nan where there is no estimate."""
        fixed = np.diagonal(self.covariance)[: self.model.fixed]
        return _spread_out(np.sqrt(fixed), self.layout.known)

    @property
    def sds(self) -> FloatArray:
        """Sd of each grouping [log odds]."""
        return np.abs(self.place[self.model.fixed :])

    def log_odds(self, matrix: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Log odds and standard error of rows of contrasts."""
        kept = matrix[:, self.layout.known]
        fixed = slice(0, self.model.fixed)
        error = np.sqrt(np.einsum("ij,jk,ik->i", kept, self.covariance[fixed, fixed], kept))
        return kept @ self.place[fixed], error

    def batch_log_odds(self, number: int) -> tuple[FloatArray, FloatArray]:
        """Log odds of each level of a grouping at the middle of its own grafts, and its error.

        The error is that of the level's own effect; contrasts and sds are held.
        """
        column, structure, made = self.table.batches[number], self.model.structure, self.model.made
        levels = len(column.levels)
        share = made / sum_by(column.codes, made, levels)[column.codes]
        middle = sum_by(column.codes, share * self.peak.log_odds, levels)
        own = self.peak.scale**2 * self.peak.curvature.variances()
        return middle, np.sqrt(own[structure.slices[number]])

    @property
    def can_profile(self) -> bool:
        """Tell whether the profile of an sd is a matter of seconds."""
        return len(self.model.made) <= PROFILED_ROWS

    def profile_interval(self, number: int) -> tuple[float, float]:
        """Profile likelihood interval of one sd, 90 % (Pawitan 2001, *In All Likelihood*, section 2.6)."""
        here = float(self.sds[number])
        at_zero, far = self._fallen(number, 0.0), here + 0.5
        low = 0.0 if at_zero < CHI_SQUARE_90 else self._cross(number, (here, 0.0), (0.0, at_zero))
        while (fallen := self._fallen(number, far)) < CHI_SQUARE_90:
            far = here + 2.0 * (far - here)
        return low, self._cross(number, (here, far), (0.0, fallen))

    def _cross(self, number: int, ends: tuple[float, float], fallen: tuple[float, float]) -> float:
        """Find where the profile has fallen by the limit: false position, the Illinois way."""
        (inside, outside), (below, above) = ends, (value - CHI_SQUARE_90 for value in fallen)
        side = 0
        for _ in range(CROSSINGS):
            middle = inside - below * (outside - inside) / (above - below)
            height = self._fallen(number, middle) - CHI_SQUARE_90
            if abs(height) < CROSSED:
                return middle
            if height < 0.0:
                inside, below = middle, height
                above, side = (above / 2.0, -1) if side == -1 else (above, -1)
            else:
                outside, above = middle, height
                below, side = (below / 2.0, 1) if side == 1 else (below, 1)
        return middle

    def _fallen(self, number: int, sd: float) -> float:
        """Twice the log likelihood lost when one sd is held and the rest follow."""
        place = self.place.copy()
        place[self.model.fixed + number] = sd
        free = np.arange(len(place)) != self.model.fixed + number
        return 2.0 * (self.height - _climb_free(self.model, place, free, self.peak)[1])


def fit_flat(table: Table, points: int = QUADRATURE_POINTS) -> FlatFit:
    """Fit rates without priors.

    Parameters
    ----------
    table : Table
        Grafts taken of those made [counts], with compared columns and groupings.
    points : int
        Quadrature points for a single grouping [1 is Laplace]; more groupings always use Laplace.

    Raises
    ------
    AllOrNone
        Some rates, or the scatter of batches, run off without end.

    References
    ----------
    Pinheiro & Bates (1995), J. Comput. Graph. Stat. 4:12-35.

    Examples
    --------
    >>> import numpy as np
    >>> from graftwright.science.findings.table import Column, Table
    >>> variety = Column.of("variety", ["a", "b"])
    >>> table = Table(np.array([2.0, 6.0]), np.array([8.0, 8.0]), (variety,), ((0,),), ())
    >>> fit_flat(table).coefficients.round(4).tolist()
    [-1.0986, 2.1972]
    """
    joined = table.joined()
    layout = treatment_contrasts(joined)
    matrix = layout.matrix(joined.row_codes())[:, layout.known]
    codes = [column.codes for column in joined.batches] or [np.zeros(len(joined.made), dtype=np.int64)]
    structure = Structure(codes, [len(column.levels) for column in joined.batches] or [1])
    groupings = len(joined.batches)
    points = points if groupings == 1 else 1
    model = FlatModel(joined.taken, joined.made, matrix, structure, groupings, points)
    start = fit_logistic(joined.taken, joined.made, matrix)
    place = np.concatenate([start, np.full(model.groupings, 0.5)])
    free = np.ones(len(place), dtype=bool)
    place, height, peak = _climb_free(model, place, free, None)
    place, height, peak = _settle_zeros(model, place, height, peak)
    if np.abs(place[model.fixed :]).max(initial=0.0) > HUGE_SD:
        raise AllOrNone
    fit = FlatFit(joined, layout, model, place, np.zeros((0, 0)), height, peak)
    return replace(fit, covariance=_covariance(model, place, peak))


def _climb_free(
    model: FlatModel, place: FloatArray, free: BoolArray, near: Peak | None
) -> tuple[FloatArray, float, Peak]:
    """Climb in the free coordinates, the others held."""

    def look(part: FloatArray, seen: Peak | None) -> tuple[float, FloatArray, Peak]:
        whole = place.copy()
        whole[free] = part
        height, slope, peak = model.look(whole, near if seen is None else seen)
        return height, slope[free], peak

    peak = model.look(place, near)[2]
    inverse = model.inverse_curvature(place, peak)[np.ix_(free, free)]
    top = climb(look, place[free], inverse, PROMISE)
    whole = place.copy()
    whole[free] = top.place
    return whole, top.height, top.seen


def _settle_zeros(
    model: FlatModel, place: FloatArray, height: float, peak: Peak
) -> tuple[FloatArray, float, Peak]:
    """Set an sd to exactly zero where nothing is lost by it."""
    for number in range(model.fixed, len(place)):
        if abs(place[number]) > 0.1:
            continue
        held = place.copy()
        held[number] = 0.0
        free = held != 0.0
        free[: model.fixed] = True
        found = _climb_free(model, held, free, peak)
        if found[1] >= height - 1e-8:
            place, height, peak = found
    return place, height, peak


def _covariance(model: FlatModel, place: FloatArray, peak: Peak) -> FloatArray:
    """Inverse of the observed information, by differences of the slope; none along an sd of zero."""
    free = np.flatnonzero((np.arange(len(place)) < model.fixed) | (place != 0.0))
    rows = []
    for number in free:
        step = np.zeros(len(place))
        step[number] = 1e-4
        rows.append((model.look(place - step, peak)[1] - model.look(place + step, peak)[1])[free] / 2e-4)
    information = np.array(rows)
    answer = np.zeros((len(place), len(place)))
    answer[np.ix_(free, free)] = np.linalg.inv((information + information.T) / 2.0)
    return answer


def _spread_out(values: FloatArray, known: BoolArray) -> FloatArray:
    answer = np.full(len(known), np.nan)
    answer[known] = values
    return answer
