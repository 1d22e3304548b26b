"""A genus: chill, responses, the path of its seed, its wood, and where it may grow."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from graftwright.handbook.build_stage import made, stage_figures, stage_from
from graftwright.handbook.document import must_read
from graftwright.handbook.paper import Paper
from graftwright.handbook.rules import species_rules
from graftwright.handbook.schema_species import SPECIES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from graftwright.handbook.document import Document
    from graftwright.handbook.stages import Span, Stage, StageFigures
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
    why: str = ""


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


@lru_cache(maxsize=64)
def parse_species(text: str, where: str) -> Species:
    """Read a species file, once for each text; raises the first complaint, with its line."""
    return species_from(must_read(Paper(where, text), SPECIES, species_rules))


def species_from(document: Document) -> Species:
    """Make the species of a file that is in order."""
    plain, head = document.plain, document.plain["species"]
    return Species(
        genus=head["genus"],
        common=head["common"],
        version=head["version"],
        text=document.paper.text,
        where=document.paper.name,
        shown=document.figures,
        members=tuple((member["name"], member["common"]) for member in head.get("members", ())),
        caution=tuple(head.get("caution", ())),
        responses=_responses(plain.get("response", {}), document.figures),
        chill=made(Chill, plain.get("chill")),
        seed_stages=_seed_stages(head["genus"], document),
        scionwood=made(Scionwood, plain.get("scionwood")),
        frost=made(Frost, plain.get("frost")),
        spacing=made(Spacing, plain.get("spacing")),
        pollination=made(Pollination, plain.get("pollination")),
        stocks=tuple(Stock(**row) for row in plain.get("stock", ())),
        plant_health=tuple(row["says"] for row in plain.get("plant_health", ())),
    )


def _responses(blocks: Mapping[str, Any], figures: Mapping[str, Figure]) -> dict[str, Response]:
    return {
        name: Response(
            block["base"], block["optimum"], block["ceiling"], figures[f"response.{name}.optimum"].origin
        )
        for name, block in blocks.items()
    }


def _seed_stages(genus: str, document: Document) -> tuple[Stage, ...]:
    return tuple(
        stage_from(row, _seed_figures(genus, row, document.figures))
        for row in document.plain.get("seed", {}).get("stage", ())
    )


def _seed_figures(
    genus: str, row: Mapping[str, Any], figures: Mapping[str, Figure]
) -> dict[str, StageFigures]:
    return {genus: stage_figures(genus, row, f"seed.{row['key']}", figures)}
