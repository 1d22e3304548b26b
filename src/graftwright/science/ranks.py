"""The chance that the k-th plant of a batch has a milestone behind it, for a given progress."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from graftwright.errors import ValueComplaint
from graftwright.science.chance import at_least, normal_below, normal_between
from graftwright.science.readings import MISREAD, limits

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from graftwright.science.chance import Floats
    from graftwright.science.clock import Clock
    from graftwright.science.posterior import Posterior
    from graftwright.science.readings import Reading

_NEGLIGIBLE = 1e-6


class NoSuchPlant(ValueComplaint):
    """A plant was asked for that the batch does not have."""

    def __init__(self, k: int, plants: int) -> None:
        super().__init__(
            "A batch has no such plant.",
            where=f"plant {k} of {plants}",
            do=f"Ask for one from 1 to {plants}." if plants else "Nothing is left to forecast.",
        )


def chance_there(known: Posterior, milestone: int) -> Callable[[NDArray[np.int64], Floats], Floats]:
    """Return a function: the chance that the k-th plant has a milestone behind it at a value of ln P_j.

    Assumes what `graftwright.science.posterior.posterior` assumes. The plants counted are those alive and
    those lost after they were there. Given u, the plants of one cell are independent and alike, so the k-th
    plant follows the binomial law of its cell. Where checks of some plants left cells that overlap, all
    plants not surely there are taken at their average chance, which widens the law a little. Where a
    misreading explains a cell better than its limits do, only what was seen last is believed.

    Parameters
    ----------
    known : Posterior
        The batch.
    milestone : int
        Its place on the clock, from 0.

    Returns
    -------
    callable
        Takes k, from 1 to the number counted, and ln P_j, both of shape (m,), and returns chances of shape
        (m,), averaged over u. It raises NoSuchPlant where a k is not among the plants.

    Notes
    -----
    H. A. David and H. N. Nagaraja (2003), *Order Statistics*, 3rd ed., Wiley, section 2.1.

    Examples
    --------
    >>> from graftwright.science.clock import Clock, Milestone, clock_progress
    >>> from graftwright.science.posterior import posterior
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.0)
    >>> known = posterior(clock, clock_progress(clock, [20.0] * 480), 3, [])
    >>> chance_there(known, 0)(np.array([1, 2, 3]), np.zeros(3)).round(9).tolist()
    [0.875, 0.5, 0.125]
    """
    plants = known.counted(milestone)
    # A check held to be wrong can take the last plant that counted with it; such a reading is silent here.
    heard = [
        (part, _blocks(known.clock, reading, milestone))
        for part, reading in zip(known.chances, known.readings, strict=True)
        if reading.cells.counted(milestone).any()
    ]
    whole = sum(part for part, _ in heard)

    def chance(k: NDArray[np.int64], log_progress: Floats) -> Floats:
        missing = k[(k < 1) | (k > plants)]
        if missing.size:
            raise NoSuchPlant(int(missing[0]), plants)
        there: Floats = np.sum(
            [part / whole * blocks.chance(k, log_progress) for part, blocks in heard], axis=0
        )
        return there

    return chance


@dataclass(frozen=True)
class _Blocks:
    """The cells of a reading on the scale of one milestone, in blocks that follow each other.

    Within a block cells overlap; a check of all plants leaves one cell a block. `members[b]` are the cells
    of block b, filled up with an empty last one; `through[b]` plants stand in blocks up to b. Arrays by
    cell and u: the limits, the chance between them, and the chance beyond the end nearer the middle.
    """

    u: Floats
    weight: Floats
    spread: float
    members: NDArray[np.intp]
    through: Floats
    plants: Floats
    low: Floats
    high: Floats
    width: Floats
    beyond: Floats

    def chance(self, k: NDArray[np.int64], log_progress: Floats) -> Floats:
        held = np.minimum(k, self.through[-1])
        block = np.searchsorted(self.through, held)
        cell = self.members[block]
        plants = self.plants[cell][:, :, None]
        share = self.share(cell, (log_progress[:, None] - self.u) / self.spread)
        sure = (plants * (share >= 1)).sum(axis=1)
        unsure = (plants * ((share > 0) & (share < 1))).sum(axis=1)
        average = ((plants * share).sum(axis=1) - sure) / np.maximum(unsure, 1)
        before = np.concatenate(([0.0], self.through))[block]
        there: Floats = at_least((held - before)[:, None] - sure, unsure, average) @ self.weight
        return there

    def share(self, cell: NDArray[np.intp], z: Floats) -> Floats:
        """Return the share of each cell's plants below z; in a cell too far out, all at its near end."""
        low, high, width = self.low[cell], self.high[cell], self.width[cell]
        tail = normal_below(-np.abs(z))
        below, above = np.where(z > 0, 1 - tail, tail), np.where(z > 0, tail, 1 - tail)
        inside = np.where(low > 0, self.beyond[cell] - above[:, None], below[:, None] - self.beyond[cell])
        share = np.where(width > 0, inside / np.where(width > 0, width, 1.0), low > 0)
        z = z[:, None]
        held: Floats = np.where(z >= high, 1.0, np.where(z <= low, 0.0, np.clip(share, 0.0, 1.0)))
        return held


def _blocks(clock: Clock, reading: Reading, milestone: int) -> _Blocks:
    plants = reading.cells.counted(milestone)
    low, high = _believed(clock, reading, milestone)
    order = np.argsort((normal_below(low) + normal_below(high)) @ reading.weight)
    order = order[plants[order] > 0]
    block = _block_of_each(low[order], high[order], reading.weight)
    nobody = np.full((1, len(reading.u)), np.inf)
    low, high = np.vstack((low[order], nobody)), np.vstack((high[order], nobody))
    return _Blocks(
        reading.u,
        reading.weight,
        clock.milestones[milestone].spread,
        _members(block),
        np.cumsum(np.bincount(block, plants[order])),
        np.append(plants[order], 0.0),
        low,
        high,
        normal_between(low, high),
        normal_below(-np.abs(low)),
    )


def _block_of_each(low: Floats, high: Floats, weight: Floats) -> NDArray[np.intp]:
    """Return the block of each cell in order; a new one begins where all before end, whatever u."""
    apart = np.maximum.accumulate(high)[:-1] <= np.minimum.accumulate(low[::-1])[::-1][1:]
    return np.concatenate(([0], np.cumsum(apart @ weight > 1 - _NEGLIGIBLE)))


def _members(block: NDArray[np.intp]) -> NDArray[np.intp]:
    size = np.bincount(block)
    members = np.full((len(size), size.max()), len(block))
    first = np.cumsum(size) - size
    members[block, np.arange(len(block)) - first[block]] = np.arange(len(block))
    return members


def _believed(clock: Clock, reading: Reading, milestone: int) -> tuple[Floats, Floats]:
    """Return the limits of each cell at each u; of a misreading, only where it stood at the last check.

    That is this milestone, reached by then or not, and what it still had before it.
    """
    known = reading.cells
    lower, upper = limits(clock, known, reading.u)
    misread = (1 - MISREAD) * normal_between(lower, upper) < MISREAD * known.anywhere
    own = np.arange(len(clock.milestones)) == milestone
    waiting = np.where(known.upper == np.inf, known.lower, -np.inf)
    there = np.where(own & (known.upper < np.inf), known.last, np.inf)
    safe_lower, safe_upper = limits(clock, replace(known, lower=waiting, upper=there), reading.u)
    return np.where(misread, safe_lower, lower), np.where(misread, safe_upper, upper)
