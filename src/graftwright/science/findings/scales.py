"""Averaging over the sds of a model: where their posterior lies, and points that stand for it.

Nested Laplace (Rue, Martino & Chopin 2009, J. R. Stat. Soc. B 71:319-392): the posterior of the log
sds is known at any point up to a constant. Its mode is found by climbing, its shape along each axis
by walking until it has fallen away, and a lattice laid through those shapes gives the points; their
weights repair what the shapes leave out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtr, ndtri

from graftwright.science.arrays import sum_by
from graftwright.science.findings.climb import climb
from graftwright.science.findings.laplace import find_peak

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.science.arrays import FloatArray, IntArray
    from graftwright.science.findings.climb import Spot
    from graftwright.science.findings.laplace import Peak
    from graftwright.science.findings.structure import Structure

LEAST_SD = 0.005
FLOOR = float(np.log(LEAST_SD))
FALLEN = 7.0  # a log density this far below the mode is past what matters
POINTS_FOR_EACH_SD = 24
MANY_ROWS = 10_000  # so many rows know their effects whatever the sds are: fewer points do
POINTS_WITH_MANY_ROWS = 8


@dataclass(frozen=True)
class Model:
    """Counts, the effects that touch them, and which sd each effect has (-1: its `fixed` scale)."""

    structure: Structure
    taken: FloatArray
    made: FloatArray
    offset: FloatArray
    fixed: FloatArray
    which: IntArray
    log_prior: Callable[[FloatArray], tuple[float, FloatArray]]

    @property
    def sds(self) -> int:
        """How many sds there are."""
        return int(self.which.max()) + 1

    def look(self, log_sd: FloatArray, near: Peak | None) -> tuple[float, FloatArray, Peak]:
        """Log posterior of the log sds (up to a constant), its slope, and the mode of the effects."""
        log_sd = np.maximum(log_sd, FLOOR)
        varied = self.which >= 0
        scale = self.fixed.copy()
        scale[varied] = np.exp(log_sd)[self.which[varied]]
        start = np.zeros(self.structure.size)
        if near is not None:
            start = np.divide(near.effects * near.scale, scale, out=start, where=scale > 0.0)
        peak = find_peak(
            self.structure, taken=self.taken, made=self.made, offset=self.offset, scale=scale, start=start
        )
        prior, prior_slope = self.log_prior(log_sd)
        slope = sum_by(self.which[varied], peak.slope_of_log_scale[varied], self.sds)
        return peak.log_marginal + prior, slope + prior_slope, peak


@dataclass(frozen=True)
class Axis:
    """The posterior along one log sd through the mode: log heights and slopes at rising places."""

    places: FloatArray
    heights: FloatArray
    slopes: FloatArray

    def log_density(self, places: FloatArray) -> FloatArray:
        """Cubic pieces through heights and slopes (Hermite's)."""
        piece = np.clip(np.searchsorted(self.places, places) - 1, 0, len(self.places) - 2)
        width = self.places[piece + 1] - self.places[piece]
        part = (places - self.places[piece]) / width
        rest = 1.0 - part
        near = self.heights[piece] * (1.0 + 2.0 * part) + self.slopes[piece] * width * part
        far = self.heights[piece + 1] * (1.0 + 2.0 * rest) - self.slopes[piece + 1] * width * rest
        cubic: FloatArray = near * rest**2 + far * part**2
        return cubic

    def quantiles(self, shares: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Places below which these shares of the shape lie, and the log density there."""
        fine = np.linspace(self.places[0], self.places[-1], 400)
        log_density = self.log_density(fine)
        density = np.exp(log_density - log_density.max())
        below = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2.0)])
        place = np.interp(shares, below / below[-1], fine)
        total = below[-1] * (fine[1] - fine[0])
        return place, np.log(np.interp(place, fine, density) / total)


@dataclass(frozen=True)
class Mixture:
    """Points standing for the posterior of the sds, each with its weight and its Gaussian."""

    log_sds: FloatArray
    weights: FloatArray
    peaks: tuple[Peak, ...]
    axes: tuple[Axis, ...] = ()
    shares: FloatArray | None = None

    def sd_law(self, number: int) -> tuple[FloatArray, FloatArray]:
        """Even values of one sd and their weights.

        The points are too few for the ends of one sd's law. The axis gives the shape, and a smooth
        curve through the points' weights says by how much the other sds bend it.
        """
        assert self.shares is not None
        degree = min(4, len(self.weights) // 6)
        fine = (np.arange(400) + 0.5) / 400
        curve = np.polynomial.Legendre.fit(self.shares[:, number], self.weights, degree, domain=[0.0, 1.0])
        weight = np.maximum(curve(fine), 0.0)
        return np.exp(self.axes[number].quantiles(fine)[0]), weight / weight.sum()


def average_over_sds(model: Model) -> Mixture:
    """Find the points and weights that stand for the posterior of the model's sds."""
    if model.sds == 0:
        return Mixture(np.zeros((1, 0)), np.ones(1), (model.look(np.zeros(0), None)[2],))
    start = np.full(model.sds, np.log(0.5))
    top = climb(model.look, start, np.eye(model.sds) * 0.5, 1e-3)
    mode = np.maximum(top.place, FLOOR)
    axes = [_walk(model, mode, top, axis) for axis in range(model.sds)]
    many = len(model.made) > MANY_ROWS
    each = POINTS_WITH_MANY_ROWS if many else POINTS_FOR_EACH_SD
    shares = even_shares(len(axes), each * len(axes))
    points, log_density = _place(axes, shares)
    looks = _look_at(model, points, mode, top.seen)
    heights = np.array([height for height, _ in looks]) - log_density
    weights = np.exp(heights - heights.max())
    return Mixture(points, weights / weights.sum(), tuple(seen for _, seen in looks), tuple(axes), shares)


def _walk(model: Model, mode: FloatArray, top: Spot[Peak], axis: int) -> Axis:
    seen = {float(mode[axis]): (0.0, float(top.slope[axis]))}
    for direction in (-1.0, 1.0):
        place, step, near = mode.copy(), 0.3, top.seen
        while place[axis] > FLOOR or direction > 0:
            place[axis] = max(FLOOR, place[axis] + direction * step)
            height, slope, near = model.look(place, near)
            seen[float(place[axis])] = (height - top.height, float(slope[axis]))
            if top.height - height > FALLEN:
                break
            step = float(np.clip(1.3 / max(-direction * slope[axis], 1e-3), 0.1, 1.2))
    places = np.array(sorted(seen))
    heights, slopes = np.array([seen[place] for place in places]).T
    return Axis(places, heights, slopes)


def _place(axes: list[Axis], shares: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Points at these shares of the axes' shapes, and the log density of points there."""
    drawn = [axis.quantiles(share) for axis, share in zip(axes, shares.T, strict=True)]
    return np.stack([place for place, _ in drawn], axis=1), np.sum([density for _, density in drawn], axis=0)


def even_shares(axes: int, count: int) -> FloatArray:
    """Points spread evenly through a cube whose normal scores have means 0, variances 1, no correlation.

    The first coordinate is regular, the others follow the generalised golden ratio (a Kronecker
    sequence, Niederreiter 1992, *Random Number Generation and Quasi-Monte Carlo Methods*, ch. 3);
    each point comes with its mirror image.
    """
    ratio = 2.0
    for _ in range(40):
        ratio = (1.0 + ratio) ** (1.0 / axes)
    number = np.arange(count // 2)
    shares = (0.5 + (number[:, None] + 1) * ratio ** -np.arange(axes)) % 1.0
    shares[:, 0] = (number + 0.5) / count
    half = ndtri(shares)
    points = np.concatenate([half, -half])
    factor = np.linalg.cholesky(points.T @ points / count)
    return ndtr(np.linalg.solve(factor, points.T).T)


def _look_at(model: Model, points: FloatArray, mode: FloatArray, peak: Peak) -> list[tuple[float, Peak]]:
    """Look at every point, each from the mode of the nearest one looked at before."""
    order = np.argsort(np.abs(points - mode).sum(axis=1))
    places, peaks = [mode], [peak]
    found: dict[int, tuple[float, Peak]] = {}
    for index in order:
        nearest = int(np.argmin(np.abs(np.array(places) - points[index]).sum(axis=1)))
        height, _, seen = model.look(points[index], peaks[nearest])
        places.append(points[index])
        peaks.append(seen)
        found[int(index)] = (height + seen.refinement, seen)
    return [found[index] for index in range(len(points))]
