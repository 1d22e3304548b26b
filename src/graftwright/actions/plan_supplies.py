"""Wood, sprouts and nuts: what scarce ones are shared into, and how many nuts a batch is given."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from graftwright.actions.chain import chain, to_start
from graftwright.science.sharing import Claim, share
from graftwright.science.sizing import chance

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from graftwright.actions.plan_greedy import Order
    from graftwright.actions.plan_parts import Batch
    from graftwright.actions.wish_file import Wishes
    from graftwright.science.sizing import Stage

SURE = 0.9  # that enough nuts sprout

Short = tuple["Order", int, tuple[int, ...]]  # an order, the grafts it is given, the wishes it shares with


def scarce_wood(orders: Sequence[Order], wishes: Wishes) -> Iterator[Short]:
    """Share the buds of each variety that has too few."""
    for claimants, there in _wood(orders, wishes):
        yield from _split(claimants, there)


def scarce_sprouts(orders: Sequence[Order], wishes: Wishes) -> Iterator[Short]:
    """Share the sprouts of each genus that has too few nuts."""
    for claimants, there in _sprouts(orders, wishes):
        yield from _split(claimants, there)


def too_few(orders: Sequence[Order], wishes: Wishes) -> bool:
    """Whether anything would have to be shared."""
    pools = (*_wood(orders, wishes), *_sprouts(orders, wishes))
    return any(sum(order.grafts for order in claimants) > there for claimants, there in pools)


def _wood(orders: Sequence[Order], wishes: Wishes) -> Iterator[tuple[list[Order], int]]:
    for variety, claimants in _grouped(orders, "variety").items():
        lots = [one.buds for one in wishes.wood if one.variety == variety]
        if lots:
            yield claimants, sum(lots) // _buds_each(claimants)


def _sprouts(orders: Sequence[Order], wishes: Wishes) -> Iterator[tuple[list[Order], int]]:
    for genus, claimants in _grouped(orders, "species").items():
        lots = [one.count for one in wishes.seed if one.species == genus]
        if lots:
            yield claimants, sprouts_of(sum(lots), seed_chain(claimants, wishes))


def _grouped(orders: Sequence[Order], by: str) -> dict[str, list[Order]]:
    groups: dict[str, list[Order]] = defaultdict(list)
    for order in orders:
        if order.grafts:
            groups[getattr(order.wish, by)].append(order)
    return groups


def _buds_each(claimants: Sequence[Order]) -> int:
    return max(int((order.sheet.buds_per_scion or (1, 1))[0]) for order in claimants)


def _split(claimants: Sequence[Order], grafts: int) -> Iterator[Short]:
    if sum(order.grafts for order in claimants) <= grafts:
        return
    claims = [Claim(order.wish.trees, order.chain, order.grafts) for order in claimants]
    for order, given in zip(claimants, share(grafts, claims), strict=True):
        if given < order.grafts:
            yield order, given, tuple(one.wish.number for one in claimants if one is not order)


def floated(wishes: Wishes, genus: str) -> bool:
    """Whether all the nuts of a genus that are in the file are floated."""
    lots = [one for one in wishes.seed if one.species == genus]
    return bool(lots) and all(one.floated for one in lots)


def seed_chain(claimants: Sequence[Order], wishes: Wishes) -> tuple[Stage, ...]:
    """Return the chain of the seed; where growers differ, the least practised counts.

    Floating is what happens to seed in hand, so nuts that are floated lose no more there.
    """
    ranks = ("first_time", "some", "practised")
    experience = min((order.wish.experience for order in claimants), key=ranks.index)
    species = claimants[0].species
    done = floated(wishes, species.genus)
    stages = [stage for stage in species.seed_stages if not (done and stage.ended_by == "chill")]
    return chain(stages, species.genus, experience)


@lru_cache(maxsize=64)
def sprouts_of(nuts: int, stages: tuple[Stage, ...]) -> int:
    """Return how many sprouts these nuts give nine times in ten."""
    low, high = 0, nuts
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if chance(middle, nuts, stages) >= SURE else (low, middle - 1)
    return low


def nuts_for(batches: Sequence[Batch], orders: Sequence[Order], wishes: Wishes) -> list[Batch]:
    """Give each batch its part of the nuts of its genus, which are one pool."""
    made = []
    for genus, claimants in _grouped(orders, "species").items():
        own = [batch for batch in batches if batch.species == genus]
        grafts = sum(batch.grafts for batch in own)
        if not grafts:
            continue
        nuts = to_start(grafts, SURE, seed_chain(claimants, wishes))
        before = 0
        for batch in own:
            upto = before + batch.grafts
            made.append(replace(batch, nuts=nuts * upto // grafts - nuts * before // grafts))
            before = upto
    return made
