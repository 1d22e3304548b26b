"""The law of how many will be left of units that stand here and there along a chain of stages.

Summed over all counts where that is quick enough, else over draws of the season's shares.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.special import betainc, gammaln, ndtr, ndtri

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from graftwright.science.shares import Entered, Floats, Shares

    Draws = tuple[Floats, Floats]
    Turns = NDArray[np.complex128]

_ROUNDS, _POINTS = 16, 256  # draws come in rounds, whose scatter tells the error
DRAWS = _ROUNDS * _POINTS
_SEED = 20_270_418
_EXACT_GIVEN = 200  # units up to which the law given the shares is exact
_ONE_THREAD = 1 << 18  # products so small are left to one thread; on a busy machine that is far quicker
_NOTHING = 1e-15


class Exact:
    """The law of what will be left, summed over all counts.

    Parameters
    ----------
    shares : sequence of Shares
        The season's law of each stage's share, in order.
    own : sequence of Entered
        Where the units stand, up to 1,000 waiting.
    done : int
        Units finished already.

    Examples
    --------
    >>> from graftwright.science.shares import Entered, season_shares
    >>> from graftwright.science.sizing import Stage
    >>> half = season_shares(Stage("take", 0.5), [], 2)
    >>> round(Exact([half], [Entered(0, waiting=2)], 3).at_least(4), 9)
    0.75
    """

    def __init__(self, shares: Sequence[Shares], own: Sequence[Entered], done: int) -> None:
        law = np.ones(1)
        for number, share in enumerate(shares):
            law = _pass(law, [each for each in own if each.stage == number and each.waiting], share)
        self.most = done + law.size - 1
        self._done = done
        self._tail = np.cumsum(law[::-1])[::-1]

    def at_least(self, count: int) -> float:
        """Chance that at least `count` are left."""
        at = count - self._done
        if at <= 0:
            return 1.0
        return min(1.0, float(self._tail[at])) if at < self._tail.size else 0.0

    def error(self, count: int) -> float:  # noqa: ARG002
        """None: it is exact."""
        return 0.0


def _pass(arriving: Floats, standing: Sequence[Entered], share: Shares) -> Floats:
    """Return the law of how many leave a stage: those arriving and those standing there, one season for all."""
    if not standing:
        return arriving if arriving.size == 1 else _mixed(_thinned(arriving, share), share)
    units = sum(each.waiting for each in standing)
    size = arriving.size + units
    turns = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)[:, None]
    passing = np.prod([_turned(each, share, turns) for each in standing], axis=0)
    if arriving.size > 1:
        passing *= np.fft.rfft(_thinned(arriving, share), n=size, axis=0)
    law: Floats = np.fft.irfft(_mixed(passing, share), n=size)
    return np.where(law > _NOTHING, law, 0.0)


def _mixed(columns: NDArray[Any], share: Shares) -> NDArray[Any]:
    """Return the mean of the columns; a sum and no matrix product, which would start threads."""
    mean: NDArray[Any] = np.einsum("kj,j->k", columns, share.weight)
    return mean


def _turned(each: Entered, share: Shares, turns: Turns) -> Turns:
    """Return the generating function of the units that pass, on the unit circle."""
    fate = each.fate(share.p, share.q)
    return _power(1.0 - fate + fate * turns, each.waiting)


def _power(base: Turns, exponent: int) -> Turns:
    """Return a whole power by squaring, several times as fast as a complex power."""
    power = np.ones_like(base) if exponent % 2 == 0 else base.copy()
    while exponent := exponent // 2:
        base = base * base
        if exponent % 2:
            power *= base
    return power


def _thinned(law: Floats, share: Shares) -> Floats:
    """Return the law of how many of those arriving pass, one column for each point of the share.

    P(k) = sum over m of law(k + m) C(k + m, k) p^k q^m: a matrix of what does not depend on p, times
    powers of q, times powers of p. A factor of 2 for each unit keeps both in range up to 1,000 units.
    """
    size, side = law.size, max(1, math.isqrt(_ONE_THREAD // share.p.size))
    padded = np.concatenate([law, np.zeros(size - 1)])
    arriving, choices = np.lib.stride_tricks.sliding_window_view(padded, size), _choices(size)
    units = np.arange(size)[:, None]
    with np.errstate(under="ignore"):
        failing, passing = (2.0 * share.q) ** units, (2.0 * share.p) ** units
        thinned = np.zeros_like(passing)
        for k in range(0, size, side):
            for m in range(0, size - k, side):
                if padded[k + m : k + m + 2 * side].any():
                    tile = np.s_[k : k + side, m : m + side]
                    thinned[k : k + side] += (arriving[tile] * choices[tile]) @ failing[m : m + side]
        thinned *= passing
    return thinned


def _choices(size: int) -> Floats:
    return _choices_table(1 << (size - 1).bit_length())[:size, :size]


@lru_cache(maxsize=12)
def _choices_table(size: int) -> Floats:
    """Return C(k + m, k) / 2^(k + m) for all k and m below `size`."""
    log = gammaln(np.arange(1.0, 2 * size))
    k, m = np.arange(size)[:, None], np.arange(size)[None, :]
    table: Floats = np.exp(log[k + m] - log[k] - log[m] - (k + m) * np.log(2.0))
    return table


class Drawn:
    """The law of what will be left, over 4,096 evenly spread draws of the season's shares.

    Given the shares it is exact up to 200 units waiting, and beyond them that of a binomial with the
    same mean and variance.

    Parameters
    ----------
    shares : sequence of (ndarray, ndarray)
        Draws of each stage's share and of 1 - share, in order.
    own : sequence of Entered
        Where the units stand.
    done : int
        Units finished already.

    References
    ----------
    Binomial approximation of a sum of binomials: Ehm 1991, Statistics & Probability Letters 11(1), 7-16,
    doi:10.1016/0167-7152(91)90170-V.

    Examples
    --------
    >>> from graftwright.science.shares import Entered
    >>> half = np.full(DRAWS, 0.5)
    >>> round(Drawn([(half, half)], [Entered(0, waiting=2)], 3).at_least(4), 9)
    0.75
    """

    def __init__(self, shares: Sequence[Draws], own: Sequence[Entered], done: int) -> None:
        self.most = done + sum(each.waiting for each in own)
        self._done = done
        self._groups = [each for each in own if each.waiting]
        self._chances = _ends(shares, self._groups)

    def at_least(self, count: int) -> float:
        """Chance that at least `count` are left."""
        return float(self.given_shares(count).mean())

    def error(self, count: int) -> float:
        """Standard error of that chance from drawing."""
        return scatter(self.given_shares(count))

    def given_shares(self, count: int) -> Floats:
        """Return the chance that at least `count` are left, for each draw of the shares."""
        need = count - self._done
        units = self.most - self._done
        if need <= 0 or need > units:
            return np.full(DRAWS, float(need <= 0))
        if units <= _EXACT_GIVEN:
            chance: Floats = self._summed(units)[:, need:].sum(axis=1)
            return chance
        return self._matched(need)

    def _summed(self, units: int) -> Floats:
        turns = np.exp(-2j * np.pi * np.arange((units + 1) // 2 + 1) / (units + 1))
        turned = np.ones((self._chances.shape[1], turns.size), dtype=complex)
        for each, chance in zip(self._groups, self._chances, strict=True):
            turned *= (1.0 + np.outer(chance, turns - 1.0)) ** each.waiting
        law: Floats = np.fft.irfft(turned, n=units + 1, axis=1)
        return law

    def _matched(self, need: int) -> Floats:
        units = np.array([each.waiting for each in self._groups])[:, None]
        mean = np.maximum((units * self._chances).sum(axis=0), 1e-300)
        p = np.clip((units * self._chances**2).sum(axis=0) / mean, 1e-15, 1.0 - 1e-15)
        n = mean / p
        chance: Floats = np.where(n > need - 1, betainc(need, np.maximum(n - need + 1, 1e-12), p), 0.0)
        return chance


def _ends(shares: Sequence[Draws], groups: Sequence[Entered]) -> Floats:
    """Return the chance of a unit of each group to pass all that is before it, for each draw."""
    later = np.ones(DRAWS)
    chances = np.empty((len(groups), DRAWS))
    for number, (p, q) in reversed(list(enumerate(shares))):
        for row, each in enumerate(groups):
            if each.stage == number:
                chances[row] = each.fate(p, q) * later
        later = later * p
    return chances


def scatter(chances: Floats) -> float:
    """Return the standard error of the mean over draws, from the scatter between their rounds.

    Parameters
    ----------
    chances : ndarray, shape (4096,)
        One value for each draw, round by round.

    Examples
    --------
    >>> scatter(np.full(DRAWS, 0.5))
    0.0
    """
    rounds = chances.reshape(_ROUNDS, _POINTS).mean(axis=1)
    return float(rounds.std(ddof=1) / _ROUNDS**0.5)


def spread(sway: Floats) -> Floats:
    """Return `DRAWS` points spread evenly over a cube, one row for each stage.

    One direction in even steps, the others in multiples of irrational ones, powers of the root above 1
    of x^d = x + 1, the golden ratio and its kin; shifted at random for each round. The even direction is
    turned to where good and bad seasons lie.

    Parameters
    ----------
    sway : ndarray, shape (stages,)
        How much each stage moves what is left: about the standard deviation of the log of its share.

    References
    ----------
    Randomly shifted lattices and their error: Dick, Kuo & Sloan 2013, Acta Numerica 22, 133-288,
    doi:10.1017/S0962492913000044.

    Examples
    --------
    >>> points = spread(np.array([0.2, 0.1]))
    >>> points.shape, bool(abs(points.mean() - 0.5) < 0.01)
    ((2, 4096), True)
    """
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / max(sway.size, 2))
    steps = np.concatenate([[1.0 / _POINTS], root ** -np.arange(1.0, sway.size)])
    shifts = np.random.default_rng(_SEED).random((_ROUNDS, 1, sway.size))
    points = (np.arange(_POINTS)[:, None] * steps + shifts) % 1.0
    normal = ndtri(points.reshape(-1, sway.size).T)
    mirror = sway / (np.linalg.norm(sway) or 1.0)
    mirror[0] -= 1.0
    length = mirror @ mirror
    turned = normal - np.outer(mirror, mirror @ normal) * (2.0 / length) if length else normal
    uniform: Floats = ndtr(turned)
    return uniform
