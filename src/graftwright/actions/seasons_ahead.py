"""Wishes parted by seasons, each with the nuts and wood it can use: those in hand, else those of the next harvest."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from graftwright.actions.wanted import UNCOUNTED, of_season
from graftwright.actions.wish_file import Seed, Wood

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from graftwright.actions.wish_file import Wish, Wishes

A_SEASON = 180  # days; wishes further apart than that are met by different springs
# common practice: nuts are gathered in mid-October, dormant wood is cut at the end of January; six months later south
_HARVEST, _CUTTING = ((10, 15), (4, 15)), ((1, 31), (7, 31))
_HARVEST_BEFORE, _CUTTING_BEFORE = 240, 120  # days before the trees are wanted: later than that is of no use


def seasons(due: Sequence[Wish], wishes: Wishes, today: date, *, southern: bool) -> Iterator[Wishes]:
    """Yield the wishes of one season after another."""
    left = sorted(due, key=lambda wish: wish.by)
    while left:
        own = [wish for wish in left if (wish.by - left[0].by).days < A_SEASON]
        left = left[len(own) :]
        mine = replace(wishes, wishes=tuple(sorted(own, key=lambda wish: wish.number)))
        yield of_the_season(mine, own[0].by, today, southern=southern)


def of_the_season(wishes: Wishes, by: date, today: date, *, southern: bool) -> Wishes:
    """Leave out what will be too old by a day, and count on the next harvest for what is then missing."""
    wishes = of_season(wishes, by)
    gathered = _last(_HARVEST[southern], by, _HARVEST_BEFORE)
    cut = _last(_CUTTING[southern], by, _CUTTING_BEFORE)
    have_seed, have_wood = {one.species for one in wishes.seed}, {one.variety for one in wishes.wood}
    genera = sorted({wish.species for wish in wishes.wishes} - have_seed) if gathered > today else []
    varieties = sorted({wish.variety for wish in wishes.wishes} - have_wood) if cut > today else []
    notes = [f"Nuts of {genus} are counted on from {gathered}, as many as are needed." for genus in genera]
    notes += [f"Wood of {variety} is counted on from {cut}, as much as is needed." for variety in varieties]
    return replace(
        wishes, notes=(*wishes.notes, *notes),
        seed=(*wishes.seed, *(Seed(genus, UNCOUNTED, gathered) for genus in genera)),
        wood=(*wishes.wood, *(Wood(variety, UNCOUNTED, cut) for variety in varieties)),
    )  # fmt: skip


def _last(day: tuple[int, int], by: date, before: int) -> date:
    """Return the last such day that lies so many days before another."""
    same_year = date(by.year, *day)
    return same_year if (by - same_year).days >= before else date(by.year - 1, *day)
