"""How many grafts an arm needs, for each way of giving arms to grafts and bags."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scipy.special import ndtri

from graftwright.science.trials.boschloo import boschloo_design
from graftwright.science.trials.simulate import Bench, bag_rejections, block_rejections, whole_bags
from graftwright.science.trials.troubles import NoLikeness, TooFewInABag

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True)
class TrialSize:
    """Grafts in each arm, power and size of the test that will be used, and the design effect."""

    per_arm: int
    power: float
    size: float
    test: str
    design_effect: float


def apart(usual: float, better: float, power: float, alpha: float) -> TrialSize:
    """Size a trial of grafts that share nothing.

    Parameters
    ----------
    usual, better : float
        Rates that the trial should tell apart [0-1].
    power, alpha : float
        Wanted chance of seeing it; chance of a false alarm, two-sided [0-1].

    Raises
    ------
    NotBetween, NothingToFind, TooManyNeeded
        What is asked cannot be answered.

    References
    ----------
    Boschloo (1970), Stat. Neerl. 24:1-35.

    Examples
    --------
    >>> apart(0.65, 0.85, 0.8, 0.05).per_arm
    74
    """
    design = boschloo_design(usual, better, power, alpha)
    return TrialSize(design.per_arm, design.power, design.size, "boschloo", 1.0)


def bags(usual: float, better: float, power: float, alpha: float, *, per_bag: int, alike: float) -> TrialSize:
    """Size a trial whose bags go whole to one arm.

    Parameters
    ----------
    usual, better : float
        Rates that the trial should tell apart [0-1].
    power, alpha : float
        Wanted chance of seeing it; chance of a false alarm, two-sided [0-1].
    per_bag : int
        Grafts in a bag [from 1].
    alike : float
        Correlation of bag-mates' fates [0 to below 1].

    Notes
    -----
    Starts from the design effect 1 + (m - 1) rho in whole bags and adds bags until the permutation
    test of bag totals, simulated 20,000 times with a fixed seed, has the power.

    Raises
    ------
    NotBetween, NothingToFind, TooManyNeeded, NoLikeness, TooFewInABag
        What is asked cannot be answered.

    References
    ----------
    Donner & Klar (2000), *Design and Analysis of Cluster Randomization Trials*, ch. 5.

    Examples
    --------
    >>> bags(0.3, 0.9, 0.8, 0.05, per_bag=2, alike=0.2).test
    'bag-permutation'
    """
    _check(per_bag, alike, least=1)
    effect = 1.0 + (per_bag - 1) * alike
    number = whole_bags(apart(usual, better, power, alpha).per_arm * effect, per_bag)
    bench = Bench(per_bag, alike, usual, better)
    number, reached = _enough(lambda bags: bag_rejections(bench, bags, alpha), number, (power, alpha), 1)
    false_alarms = bag_rejections(_alike(bench), number, alpha)
    return TrialSize(number * per_bag, reached, false_alarms, "bag-permutation", effect)


def within(
    usual: float, better: float, power: float, alpha: float, *, per_bag: int, alike: float
) -> TrialSize:
    """Size a trial with both arms in each bag.

    Parameters
    ----------
    usual, better : float
        Rates that the trial should tell apart [0-1].
    power, alpha : float
        Wanted chance of seeing it; chance of a false alarm, two-sided [0-1].
    per_bag : int
        Grafts in a bag, of both arms together [from 2].
    alike : float
        Correlation of bag-mates' fates [0 to below 1].

    Notes
    -----
    Starts from the factor 1 - rho in whole bags and adds bags until the exact block test, simulated
    20,000 times with a fixed seed, has the power.

    Raises
    ------
    NotBetween, NothingToFind, TooManyNeeded, NoLikeness, TooFewInABag
        What is asked cannot be answered.

    References
    ----------
    Donner & Klar (2000), *Design and Analysis of Cluster Randomization Trials*, ch. 5.

    Examples
    --------
    >>> within(0.3, 0.9, 0.8, 0.05, per_bag=2, alike=0.2).test
    'block-cmh'
    """
    _check(per_bag, alike, least=2)
    effect = 1.0 - alike
    step = 1 + per_bag % 2  # odd bags go in pairs, so that the arms stay equal
    number = whole_bags(apart(usual, better, power, alpha).per_arm * effect, per_bag * step / 2.0) * step
    bench = Bench(per_bag, alike, usual, better)
    number, reached = _enough(lambda bags: block_rejections(bench, bags, alpha), number, (power, alpha), step)
    false_alarms = block_rejections(_alike(bench), number, alpha)
    return TrialSize(number * per_bag // 2, reached, false_alarms, "block-cmh", effect)


def _enough(
    power_of: Callable[[int], float], number: int, wanted: tuple[float, float], step: int
) -> tuple[int, float]:
    """Add bags until the power is reached: one leap by the normal law of the shortfall, then singly."""
    power, alpha = wanted
    least, reached = number, power_of(number)
    if reached < power:
        limit = float(ndtri(1.0 - alpha / 2.0))
        factor = ((limit + float(ndtri(power))) / max(limit + float(ndtri(max(reached, 0.05))), 0.3)) ** 2
        number = max(least, step * round(number * factor / step))
        reached = power_of(number)
        while number > least + step and reached >= power and (fewer := power_of(number - step)) >= power:
            number, reached = number - step, fewer
    while reached < power:
        number += step
        reached = power_of(number)
    return number, reached


def _alike(bench: Bench) -> Bench:
    """Make the bench in which the arms do not differ."""
    mean = (bench.first + bench.second) / 2.0
    return replace(bench, first=mean, second=mean)


def _check(per_bag: int, alike: float, least: int) -> None:
    if per_bag < least:
        raise TooFewInABag(per_bag, least)
    if not 0.0 <= alike < 1.0:
        raise NoLikeness(alike)
