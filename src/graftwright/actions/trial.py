"""Trials: how many grafts, who gets which arm, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.actions.counts import counts
from graftwright.errors import ValueComplaint
from graftwright.science.findings.table import sort_levels
from graftwright.science.trials import size as sizes
from graftwright.science.trials.intervals import wilson
from graftwright.science.trials.lay_out import Unit, lay_out
from graftwright.science.trials.read import APART, Grafts, Pair, compare_arms, layout_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from graftwright.science.trials.size import TrialSize

__all__ = ["Layout", "TrialAnswer", "answer_trial", "lay_out_trial", "size_trial"]


class BagsNotDescribed(ValueComplaint):
    """A layout with bags needs to know the bags."""

    def __init__(self, layout: str) -> None:
        super().__init__(
            f"The layout {layout} needs the grafts in a bag and how alike bag-mates are.",
            do="Add --per-bag 2 --alike 0.2, with your own figures.",
        )


@dataclass(frozen=True)
class Layout:
    """Who gets which arm; the seed makes it again."""

    unit: str
    arms: list[str]
    seed: int
    units: list[Unit]


@dataclass(frozen=True)
class Arm:
    """What one arm came to; the interval stands where grafts share nothing."""

    arm: str
    taken: int
    made: int
    rate: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class TrialAnswer:
    """The arms, how they were laid out, and each two compared once the planned number is there."""

    layout: str
    arms: list[Arm]
    comparisons: list[Pair]
    finished: bool | None
    notes: list[str]


def size_trial(
    rates: tuple[float, float], power: float, alpha: float, layout: str, bag: tuple[int, float] | None
) -> TrialSize:
    """Say how many grafts an arm needs; `bag` is how many a bag holds and how alike they fare."""
    if layout == APART:
        return sizes.apart(*rates, power, alpha)
    if bag is None:
        raise BagsNotDescribed(layout)
    per_bag, alike = bag
    design = sizes.bags if layout == "bags" else sizes.within
    return design(*rates, power, alpha, per_bag=per_bag, alike=alike)


def lay_out_trial(unit: str, arms: Sequence[str], blocks: int, each: int, seed: int) -> Layout:
    """Say which unit gets which arm."""
    return Layout(unit, list(arms), seed, lay_out(arms, blocks, each, seed))


def answer_trial(
    values: Mapping[str, Sequence[str]],
    lines: Sequence[int],
    names: Mapping[str, str],
    planned: int | None,
) -> TrialAnswer:
    """Read a trial from columns; `names` says which are arm, taken, made and, where there is one, bag."""
    taken, made = counts(values, lines, names["taken"], names["made"])
    bags = values[names["bag"]] if "bag" in names else [""] * len(lines)
    rows = [Grafts(*row) for row in zip(values[names["arm"]], bags, taken, made, strict=True)]
    order = sort_levels(row.arm for row in rows)
    rows.sort(key=lambda row: order.index(row.arm))
    layout = layout_of(rows, bagged="bag" in names)
    arms = [_arm(name, rows, layout) for name in order]
    short = [arm for arm in arms if planned is not None and arm.made < planned]
    return TrialAnswer(
        layout=layout,
        arms=arms,
        comparisons=[] if short else compare_arms(rows, layout),
        finished=None if planned is None else not short,
        notes=[_unfinished(arm, planned) for arm in short if planned is not None],
    )


def _arm(name: str, rows: Sequence[Grafts], layout: str) -> Arm:
    taken = sum(row.taken for row in rows if row.arm == name)
    made = sum(row.made for row in rows if row.arm == name)
    if not made:
        return Arm(name, 0, 0, None, None, None)
    interval = wilson(taken, made) if layout == APART else (None, None)
    return Arm(name, taken, made, taken / made, *interval)


def _unfinished(arm: Arm, planned: int) -> str:
    return (
        f"{arm.arm} has {arm.made} of the {planned} planned grafts. Looking before the end and stopping "
        "when it looks good raises false alarms, so nothing is compared yet."
    )
