"""A genus: chill, responses, the path of its seed, its wood, and where it may grow."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from graftwright.handbook.sheets import Span, Stage
    from graftwright.handbook.values import Figure, Origin, OwnValue


@dataclass(frozen=True)
class Response:
    """Cardinal temperatures [°C] of a process that runs between base and ceiling."""

    base: float
    optimum: float
    ceiling: float
    origin: Origin


@dataclass(frozen=True)
class Chill:
    """What the seed asks of the cold; `sprouts_in_cold` says that roots may come out in it."""

    kind: str
    sprouts_in_cold: bool = False
    minimum_days: float | None = None
    days: Span | None = None
    temperature: Span | None = None
    portions: float | None = None
    medium: str | None = None


@dataclass(frozen=True)
class Scionwood:
    """How scionwood is cut and kept: days it keeps at a temperature [°C], diameter [mm]."""

    keeps_days: Span | None = None
    temperature: Span | None = None
    humidity: Span | None = None
    diameter: Span | None = None
    cut_before_budbreak_days: Span | None = None


@dataclass(frozen=True)
class Frost:
    """Temperatures [°C] that harm green shoots and dormant trees."""

    green_shoots: float | None = None
    dormant: float | None = None


@dataclass(frozen=True)
class Spacing:
    """Metres between trees in their permanent place."""

    apart: Span | None = None
    vigorous: float | None = None


@dataclass(frozen=True)
class Pollination:
    """Who pollinates whom, over how many metres."""

    self_fertile: bool | None = None
    by: str | None = None
    genotypes: int | None = None
    reach: float | None = None
    reach_most: float | None = None


@dataclass(frozen=True)
class Stock:
    """How a stock suits a scion."""

    scion: str
    stock: str
    fit: str
    says: str = ""


@dataclass(frozen=True)
class Species:
    """All that is known of a genus, with the source of every figure."""

    genus: str
    common: str
    version: int
    text: str
    where: str
    shown: Mapping[str, Figure]
    members: tuple[tuple[str, str], ...] = ()
    caution: tuple[str, ...] = ()
    responses: Mapping[str, Response] = field(default_factory=dict)
    chill: Chill | None = None
    seed_stages: tuple[Stage, ...] = ()
    scionwood: Scionwood | None = None
    frost: Frost | None = None
    spacing: Spacing | None = None
    pollination: Pollination | None = None
    stocks: tuple[Stock, ...] = ()
    plant_health: tuple[str, ...] = ()
    own: tuple[OwnValue, ...] = ()
    theirs: Mapping[str, Figure] = field(default_factory=dict)

    @property
    def seed_path(self) -> tuple[str, ...]:
        """The keys of the seed's stages, in order."""
        return tuple(stage.key for stage in self.seed_stages)

    def seed_stage(self, key: str) -> Stage:
        """Find a stage of the seed by its key."""
        return self.seed_stages[self.seed_path.index(key)]

    def values(self) -> Iterator[Figure]:
        """Every figure, in the order of the file, with its source."""
        return iter(self.shown.values())
