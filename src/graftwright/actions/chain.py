"""From the stages of the handbook to the chain that sizing asks for, and its answers, each worked out once."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from graftwright.science.season import season_weight
from graftwright.science.sizing import Stage, alive, how_many

if TYPE_CHECKING:
    from collections.abc import Iterable

    from graftwright.handbook.stages import Stage as Step
    from graftwright.science.sizing import Alive


def chain(stages: Iterable[Step], genus: str, experience: str) -> tuple[Stage, ...]:
    """Return the shares that pass each stage of a genus, for a grower of this experience."""
    made = []
    for stage in stages:
        figures = stage.figures(genus)
        if figures and figures.survival:
            share = figures.survival.of(experience)
            made.append(Stage(stage.key, share.mean, season_weight(share.worth, share.rho)))
    return tuple(made)


@lru_cache(maxsize=1024)
def to_start(want: int, sure: float, stages: tuple[Stage, ...]) -> int:
    """Return how many to start."""
    return how_many(want, sure, stages).start


@lru_cache(maxsize=1024)
def expected(start: int, stages: tuple[Stage, ...]) -> tuple[Alive, ...]:
    """Return what is left after each stage."""
    return tuple(alive(start, stages))
