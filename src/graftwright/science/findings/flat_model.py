"""The likelihood of rates without priors at any contrasts and sds, with its slope."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from graftwright.science.findings.laplace import find_peak
from graftwright.science.findings.quadrature import integrate

if TYPE_CHECKING:
    from graftwright.science.arrays import FloatArray
    from graftwright.science.findings.laplace import Peak
    from graftwright.science.findings.structure import Structure

CLOSE = 1e-12


@dataclass(frozen=True)
class FlatModel:
    """Counts, contrasts (rows, contrasts), groupings and how to integrate them out."""

    taken: FloatArray
    made: FloatArray
    contrasts: FloatArray
    structure: Structure
    groupings: int
    points: int

    @property
    def fixed(self) -> int:
        """Number of contrasts; the sds follow them in every place."""
        return int(self.contrasts.shape[1])

    @property
    def parts(self) -> list[slice]:
        """Effects of each grouping; without one the structure holds a single effect of scale zero."""
        return self.structure.slices[: self.groupings]

    def look(self, place: FloatArray, near: Peak | None) -> tuple[float, FloatArray, Peak]:
        """Log likelihood without constants, its slope by contrasts and sds, and the mode."""
        sds = place[self.fixed :]
        scale = np.zeros(self.structure.size)
        for part, sd in zip(self.parts, sds, strict=True):
            scale[part] = sd
        start = np.zeros(self.structure.size) if near is None else near.effects
        offset = self.contrasts @ place[: self.fixed]
        peak = find_peak(
            self.structure,
            taken=self.taken,
            made=self.made,
            offset=offset,
            scale=scale,
            start=start,
            tolerance=CLOSE,
        )
        if self.points > 1:
            height, left, pull = integrate(peak, self.points)
            return height, np.concatenate([self.contrasts.T @ left, [pull]]), peak
        return peak.log_marginal, self._laplace_slope(peak, sds), peak

    def _laplace_slope(self, peak: Peak, sds: FloatArray) -> FloatArray:
        share = peak.share
        through = self.made * share * (1.0 - share) * self.structure.gather(peak.scale * peak.pull)
        left = self.taken - self.made * share - 0.5 * (peak.bend - through)
        parts = [float(peak.slope_of_log_scale[part].sum()) for part in self.parts]
        # the slope by log sd goes to zero with the square of the sd, so at zero it is zero
        by_sd = [part / sd if sd != 0.0 else 0.0 for part, sd in zip(parts, sds, strict=True)]
        return np.concatenate([self.contrasts.T @ left, by_sd])

    def inverse_curvature(self, place: FloatArray, peak: Peak) -> FloatArray:
        """Guess the inverse curvature from expected information, for the climb to start with."""
        share = peak.share
        weight = self.made * share * (1.0 - share)
        weighted = weight[:, None] * self.contrasts
        crossed = np.stack([peak.scale * self.structure.scatter(column) for column in weighted.T], axis=1)
        solved = np.stack([peak.curvature.solve(column) for column in crossed.T], axis=1)
        information = self.contrasts.T @ weighted - crossed.T @ solved
        answer = np.zeros((len(place), len(place)))
        answer[: self.fixed, : self.fixed] = np.linalg.inv(information)
        learned = (1.0 - peak.curvature.variances()) ** 2
        for number, part in enumerate(self.parts):
            sd = abs(place[self.fixed + number])
            answer[self.fixed + number, self.fixed + number] = sd**2 / max(
                2.0 * float(learned[part].sum()), 1.0
            )
        return answer
