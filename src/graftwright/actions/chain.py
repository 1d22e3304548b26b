"""From the stages of the handbook to the chain that sizing asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from graftwright.science.season import season_weight
from graftwright.science.sizing import Stage

if TYPE_CHECKING:
    from collections.abc import Iterable

    from graftwright.handbook.stages import Stage as Step


def chain(stages: Iterable[Step], genus: str, experience: str) -> tuple[Stage, ...]:
    """Return the shares that pass each stage of a genus, for a grower of this experience."""
    made = []
    for stage in stages:
        figures = stage.figures(genus)
        if figures and figures.survival:
            share = figures.survival.of(experience)
            made.append(Stage(stage.key, share.mean, season_weight(share.worth, share.rho)))
    return tuple(made)
