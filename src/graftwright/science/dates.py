"""Windows of a milestone, and when to look next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.science.laws import EARLY, LATE, LIKELY, Law, laws, laws_following
from graftwright.science.response import HOURS_A_DAY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from graftwright.science.chance import Floats
    from graftwright.science.posterior import Posterior


@dataclass(frozen=True)
class Window:
    """The days [d] by which one plant is there with chances of 10, 50 and 90 %; None: after the horizon."""

    earliest: float | None
    likely: float | None
    latest: float | None


@dataclass(frozen=True)
class Windows:
    """The first, 10 %, 50 % and 90 % plant; `stalled` where nothing moves at the horizon."""

    first: Window
    ten: Window
    fifty: Window
    ninety: Window
    stalled: bool


def marked_plants(plants: int) -> tuple[int, int, int, int]:
    """Return which plants in order are the first, 10 %, 50 % and 90 % plant of a number of them.

    Examples
    --------
    >>> marked_plants(40), marked_plants(2)
    ((1, 4, 20, 36), (1, 1, 1, 2))
    """
    return 1, -(-plants // 10), -(-plants // 2), -(-9 * plants // 10)


def windows(known: Posterior, milestone: int) -> Windows | None:
    """Return the windows of a milestone of a clock that runs; None where no plant is left.

    Assumes what `graftwright.science.laws.laws` assumes.

    Parameters
    ----------
    known : Posterior
        The batch.
    milestone : int
        Its place on the clock, from 0.

    Returns
    -------
    Windows or None
        Days since the start of the clock [d], unrounded.

    Notes
    -----
    As `graftwright.science.laws.laws`.

    Examples
    --------
    >>> from graftwright.science.clock import Clock, Milestone, clock_progress
    >>> from graftwright.science.posterior import posterior
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> fifty = windows(posterior(clock, clock_progress(clock, [20.0] * 720), 8, []), 0).fifty
    >>> round(fifty.earliest, 1), round(fifty.likely, 1), round(fifty.latest, 1)
    (11.5, 13.6, 16.1)
    """
    plants = known.counted(milestone)
    if plants == 0:
        return None
    return _windows(laws(known, milestone, marked_plants(plants)), known.progress[milestone])


def windows_following(start: Law, known: Posterior, milestone: int) -> Windows | None:
    """Return the windows of a milestone of a clock that starts later; None where no plant is left.

    Assumes what `graftwright.science.laws.laws_following` assumes.

    Parameters
    ----------
    start : Law
        When the clock starts, in days [d] of the count that the temperatures begin with.
    known : Posterior
        The plants that will start and their clock, without checks.
    milestone : int
        Its place on the clock, from 0.

    Returns
    -------
    Windows or None
        Days [d] in the count of `start`, unrounded.

    Notes
    -----
    As `graftwright.science.laws.laws_following`.

    Examples
    --------
    >>> import numpy as np
    >>> from graftwright.science.clock import Clock, Milestone, clock_progress
    >>> from graftwright.science.posterior import posterior
    >>> clock = Clock((Milestone("settled", 14.0, 0.2),), 0.1)
    >>> known = posterior(clock, clock_progress(clock, [20.0] * 480), 8, [])
    >>> later = windows_following(Law(np.array([10.0, 12.0]), np.array([0.0, 1.0])), known, 0)
    >>> later.ninety.latest is None, later.stalled
    (True, False)
    """
    plants = known.counted(milestone)
    if plants == 0:
        return None
    found = laws_following(start, known, milestone, marked_plants(plants))
    return _windows(found, known.progress[milestone])


def more_than_a_fifth(plants: int) -> int:
    """Return which plant in order makes the number of those there more than a fifth.

    Examples
    --------
    >>> [more_than_a_fifth(plants) for plants in (2, 5, 40)]
    [1, 2, 9]
    """
    return plants // 5 + 1


def look_by(law: Law, act_within: float) -> float | None:
    """Return the latest day on which a look is hardly ever too late; None where that is past the horizon.

    Assumes a look is too late when more than a fifth of the plants have been at a milestone for longer
    than they can wait, and accepts a chance of 10 % of that.

    Parameters
    ----------
    law : Law
        Of the plant that `more_than_a_fifth` names, at that milestone.
    act_within : float
        How long plants can wait there [d], 0 or more.

    Returns
    -------
    float or None
        Day in the count of the law [d], unrounded; it may lie in the past.

    Notes
    -----
    Common practice; the fifth and the 10 % are choices of this program.

    Examples
    --------
    >>> import numpy as np
    >>> look_by(Law(np.array([10.0, 20.0]), np.array([0.0, 1.0])), 3.0)
    14.0
    """
    reached = law.day_of(EARLY)
    return None if reached is None else reached + act_within


def _windows(found: Sequence[Law], gained: Floats) -> Windows:
    first, ten, fifty, ninety = (Window(*(law.day_of(p) for p in (EARLY, LIKELY, LATE))) for law in found)
    still = gained.size > 1 and gained[-1] <= gained[-min(HOURS_A_DAY + 1, gained.size)]
    return Windows(first, ten, fifty, ninety, stalled=bool(still and ninety.latest is None))
