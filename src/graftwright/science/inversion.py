"""The chance that a season's share beats what is needed, by one integral in the complex plane.

With P the share that passes all stages and U ~ Beta(T, N - T + 1), at least T of N are left when
U ≤ P, and ln P - ln U has the transform E[P^z] E[U^-z]. Its inversion along Re z = c,

    P(X ≥ T) = (1/2πi) ∫ E[P^z] · Γ(T-z) Γ(N+1) / (Γ(T) Γ(N+1-z)) · dz/z,    0 < c < T,

is taken along z = c + i s sinh t, bent to where the integrand does not turn, by the trapezoid rule.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from graftwright.science.log_gamma import rise, slopes

_STEP = 0.1  # of the trapezoid rule in t; an error near 1e-12, 1e-10 where least binds
_NOTHING = -39.0  # terms below exp of this no longer count
_MOST_NODES = 4000
_FEW_SPARE = 20  # up to so many units to spare the integrand decays slowly and must bend right
_BEND_RIGHT, _MOST_RIGHT, _MOST_LEFT = 0.3, 0.5, -1.0


@dataclass(frozen=True)
class Share:
    """The law of a season's share: Beta laws as (a, a + b), times a factor known exactly."""

    betas: tuple[tuple[float, float], ...]
    log_known: float

    def log_moment(self, z: complex) -> complex:
        """Return ln E[P^z]."""
        return z * self.log_known + sum(rise(a, z) - rise(c, z) for a, c in self.betas)

    def log_slopes(self, z: float) -> tuple[float, float, float]:
        """Return the first three derivatives of ln E[P^z] at a real z; at 0 the cumulants of ln P."""
        first, second, third = self.log_known, 0.0, 0.0
        for a, c in self.betas:
            up, down = slopes(a + z), slopes(c + z)
            first, second, third = first + up[0] - down[0], second + up[1] - down[1], third + up[2] - down[2]
        return first, second, third

    def stiffness(self, most: float) -> float:
        """Return how fast E[P^z] grows to the left, for each unit, where it goes on to exp(most)."""
        logs = ((math.log(a / c), c) for a, c in self.betas)
        return -self.log_known - sum(log for log, weight in logs if -log * weight > most)


class Contour:
    """A path through the saddle of one (least, start), good for others near it.

    The terms that depend on neither are kept, so that a search pays two differences of
    log-gammas a node for each further try.
    """

    def __init__(self, share: Share, least: int, start: int) -> None:
        self._least, self._start = least, start
        self._saddle, self._scale, slope = _saddle(share, least, start)
        self._spread = math.sqrt(self._scale**-2 - self._saddle**-2)  # of ln P - ln U, seen from the saddle
        spare = start - least
        room = 2.0 + 0.3 * spare
        self._slope = max(_MOST_LEFT if spare > _FEW_SPARE else _BEND_RIGHT, min(_MOST_RIGHT, slope))
        # A bend to the left ends where known shares, or Γ(T-z), would make the integrand grow again.
        held = -self._slope * self._scale * (share.stiffness(room) / room + 1.0 / (least + 8.0))
        self._hold = max(0.0, held)
        self._nodes = self._lay(share)

    def _lay(self, share: Share) -> list[tuple[complex, complex]]:
        nodes: list[tuple[complex, complex]] = []
        for number in range(_MOST_NODES):
            z, dz = self._point(number * _STEP)
            half = 0.5 if number == 0 else 1.0
            log_weight = share.log_moment(z) + cmath.log(dz / z * (half * _STEP / math.pi))
            nodes.append((z, log_weight))
            if (log_weight + _log_needed(z, self._least, self._start)).real < _NOTHING:
                break
        return nodes

    def _point(self, t: float) -> tuple[complex, complex]:
        lift, sinh, cosh = math.cosh(t) - 1.0, math.sinh(t), math.cosh(t)
        held = 1.0 / (1.0 + self._hold * lift)
        z = self._saddle + self._scale * complex(self._slope * lift * held, sinh)
        return z, self._scale * complex(self._slope * sinh * held * held, cosh)

    def suits(self, least: int, start: int) -> bool:
        """Tell whether the path still passes near the saddle of `least` and `start`."""
        moved = math.log(start / self._start) - math.log(least / self._least)
        clear = least - self._saddle >= 0.8 * (self._least - self._saddle)
        spare = start - least >= 0.8 * (self._start - self._least)
        return clear and spare and abs(moved) <= 0.7 * self._spread

    def chance(self, least: int, start: int) -> float:
        """Return the chance that at least `least` of `start` are left."""
        terms = (cmath.exp(log + _log_needed(z, least, start)).imag for z, log in self._nodes)
        return min(1.0, max(0.0, math.fsum(terms)))


def _log_needed(z: complex, least: int, start: int) -> complex:
    """Return ln E[U^-z]: a product where few are to spare, else two differences of log-gammas."""
    if start - least > _FEW_SPARE:
        return rise(least, -z) - rise(start + 1, -z)
    ratio: complex = 1.0
    for unit in range(least, start + 1):
        ratio *= unit / (unit - z)
    return cmath.log(ratio)


def _saddle(share: Share, least: int, start: int) -> tuple[float, float, float]:
    """Return where the integrand is least on (0, least), its width there, and the slope of its valley."""
    low, high = 0.0, float(least)
    at = min(least / 2.0, 1.0)
    for _ in range(80):
        first, second, third = _slopes(share, least, start, at)
        if first > 0:
            high = at
        else:
            low = at
        width = 1.0 / math.sqrt(second)
        move = first / second
        if abs(move) < 0.02 * width:
            break
        newton = at - move
        at = newton if low < newton < high else (low + high) / 2.0 if low > 0 else high / 8.0
    return at, width, third * width / (3.0 * second)


def _slopes(share: Share, least: int, start: int, at: float) -> tuple[float, float, float]:
    own, low, high = share.log_slopes(at), slopes(least - at), slopes(start + 1 - at)
    return (
        own[0] - low[0] + high[0] - 1.0 / at,
        own[1] + low[1] - high[1] + 1.0 / at**2,
        own[2] - low[2] + high[2] - 2.0 / at**3,
    )
