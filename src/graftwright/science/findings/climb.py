"""The highest point of a smooth function, by BFGS with backtracking.

Broyden's update of the inverse curvature and the sufficient-rise rule are those of Nocedal & Wright,
*Numerical Optimization*, 2nd ed., algorithm 6.1 and section 3.1. Written here because the usual
library's optimisers take longer to import than a bench's model takes to fit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeAlias, TypeVar

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from graftwright.science.arrays import FloatArray

Seen = TypeVar("Seen")
Look: TypeAlias = "Callable[[FloatArray, Seen | None], tuple[float, FloatArray, Seen]]"
STEPS = 200
CUTS = 30
LONGEST = 1.0


@dataclass(frozen=True)
class Spot(Generic[Seen]):
    """A place, its height and slope, and what was seen there."""

    place: FloatArray
    height: float
    slope: FloatArray
    seen: Seen


def climb(look: Look[Seen], start: FloatArray, inverse: FloatArray, tolerance: float) -> Spot[Seen]:
    """Climb from `start` until the next step promises less than `tolerance` in height.

    `look(place, seen)` gives height, slope and anything worth keeping for the next look; `inverse`
    is a first guess of the inverse curvature. No step is longer than 1 in any coordinate.
    """
    spot = Spot(start, *look(start, None))
    for _ in range(STEPS):
        step = inverse @ spot.slope
        if float(step @ spot.slope) < tolerance:
            break
        higher = _rise(look, spot, step * min(1.0, LONGEST / float(np.abs(step).max())))
        if higher is None:
            break
        inverse = _learn(inverse, higher.place - spot.place, spot.slope - higher.slope)
        spot = higher
    return spot


def _rise(look: Look[Seen], spot: Spot[Seen], step: FloatArray) -> Spot[Seen] | None:
    """Go along the step, or a part of it, to a place that is enough higher."""
    for _ in range(CUTS):
        tried = Spot(spot.place + step, *look(spot.place + step, spot.seen))
        if tried.height >= spot.height + 1e-4 * float(step @ spot.slope):
            return tried
        step = step / 3.0
    return None


def _learn(inverse: FloatArray, step: FloatArray, change: FloatArray) -> FloatArray:
    """Update the inverse curvature; a step along which the slope did not fall teaches nothing."""
    bent = float(step @ change)
    if bent <= 1e-10 * float(np.linalg.norm(step) * np.linalg.norm(change)):
        return inverse
    through = inverse @ change
    grown = (1.0 + float(change @ through) / bent) / bent
    crossed = np.outer(step, through) / bent
    return inverse + grown * np.outer(step, step) - crossed - crossed.T
