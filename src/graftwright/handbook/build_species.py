"""From a checked file to a species."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from graftwright.handbook.build_sheet import made, stage_figures, stage_from
from graftwright.handbook.document import must_read
from graftwright.handbook.paper import Paper
from graftwright.handbook.rules import species_rules
from graftwright.handbook.schema_species import SPECIES
from graftwright.handbook.species import (
    Chill,
    Frost,
    Pollination,
    Response,
    Scionwood,
    Spacing,
    Species,
    Stock,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from graftwright.handbook.document import Document
    from graftwright.handbook.sheets import Stage, StageFigures
    from graftwright.handbook.values import Figure


def parse_species(text: str, where: str) -> Species:
    """Read a species file; raises the first complaint, with its line."""
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
        stage_from(row, partial(_seed_figures, genus, row, document.figures))
        for row in document.plain.get("seed", {}).get("stage", ())
    )


def _seed_figures(
    genus: str, row: Mapping[str, Any], figures: Mapping[str, Figure]
) -> dict[str, StageFigures]:
    return {genus: stage_figures(genus, row, f"seed.{row['key']}", figures)}
