"""A path: the ordered stages that a counted unit walks, and the step that brings it to each."""

from __future__ import annotations

from dataclasses import dataclass

from graftwright.errors import Refusal

SEED_PATH = ("in hand", "chilling", "sprouting", "pulled")
WOOD_PATH = ("in hand",)
STOCK_PATH = ("in hand",)

# lot kind -> (the unit it is counted in, the path of that unit)
LOTS = {
    "seed": ("nut", SEED_PATH),
    "scionwood": ("bud", WOOD_PATH),
    "stock": ("stock", STOCK_PATH),
}

# step of the grower -> the stage it brings to, in the order of preference (a sheet has one of them)
STEP_TO = {
    "chill": ("chilling",),
    "bring-out": ("sprouting",),
    "return-to-cold": ("chilling",),
    "pull": ("pulled",),
    "pot": ("potted", "lined out"),
    "settle": ("settled",),
    "harden": ("hardening",),
    "plant": ("planted",),
    "store": ("cold hold", "dormant store"),
    "unwrap": ("unwrapped",),
    "head-back": ("headed back",),
}


class UnknownStage(Refusal):
    """A stage that this path does not have."""

    key = "stage"

    def __init__(self, stage: str, path: tuple[str, ...]) -> None:
        super().__init__(f"There is no stage '{stage}' here.", do=f"Its stages are: {' · '.join(path)}.")


@dataclass(frozen=True)
class Path:
    """The stages of one kind of unit, first to last."""

    stages: tuple[str, ...]

    def rank(self, stage: str) -> int:
        """Position of a stage; refuses one that the path does not have."""
        if stage not in self.stages:
            raise UnknownStage(stage, self.stages)
        return self.stages.index(stage)

    @property
    def first(self) -> str:
        """The stage a new unit stands at."""
        return self.stages[0]

    def step_stage(self, step: str) -> str | None:
        """Return the stage that a step of the grower brings to, or None where this path has none."""
        return next((stage for stage in STEP_TO[step] if stage in self.stages), None)
