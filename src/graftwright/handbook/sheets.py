"""A method sheet: a way to make and raise a graft, as an ordered path of stages."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from graftwright.handbook.build_stage import made, span, stage_figures, stage_from
from graftwright.handbook.document import must_read
from graftwright.handbook.paper import Paper
from graftwright.handbook.rules import sheet_rules
from graftwright.handbook.schema import ANY, SHEET
from graftwright.handbook.stages import Stage

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from graftwright.handbook.document import Document
    from graftwright.handbook.stages import StageFigures
    from graftwright.handbook.values import Figure, OwnValue

__all__ = ["Sheet", "Stage", "parse_sheet", "sheet_from"]

FIRST_TAKE_DAY = 30  # a graft may live on its reserves until then


@dataclass(frozen=True)
class PerPlace:
    """How many grafts one bag, box or pot holds."""

    kind: str
    units: int


@dataclass(frozen=True)
class Sheet:
    """A way to make and raise a graft, with all its figures and where each comes from.

    `own` are the grower's values that were laid over it; `theirs` holds, under the same paths, the
    figures of the handbook that they stand in for.
    """

    key: str
    title: str
    version: int
    text: str
    where: str
    genera: tuple[str, ...]
    take_at: str
    stages: tuple[Stage, ...]
    shown: Mapping[str, Figure]
    about: str = ""
    take_from_day: int = FIRST_TAKE_DAY
    buds_per_scion: tuple[int, int] | None = None
    per_place: PerPlace | None = None
    union_at: str | None = None
    caution: tuple[str, ...] = ()
    own: tuple[OwnValue, ...] = ()
    theirs: Mapping[str, Figure] = field(default_factory=dict)

    @property
    def path(self) -> tuple[str, ...]:
        """The keys of the stages, in order."""
        return tuple(stage.key for stage in self.stages)

    def stage(self, key: str) -> Stage:
        """Find a stage by its key."""
        return self.stages[self.path.index(key)]

    def allows(self, genus: str) -> bool:
        """Whether the sheet is meant for this genus."""
        return ANY in self.genera or genus in self.genera

    def values(self) -> Iterator[Figure]:
        """Every figure, in the order of the file, with its source."""
        return iter(self.shown.values())


@lru_cache(maxsize=64)
def parse_sheet(text: str, where: str) -> Sheet:
    """Read a sheet, once for each text; raises the first complaint, with its line."""
    return sheet_from(must_read(Paper(where, text), SHEET, sheet_rules))


def sheet_from(document: Document) -> Sheet:
    """Make the sheet of a file that is in order."""
    head = document.plain["sheet"]
    words = {
        key: head[key]
        for key in ("key", "title", "version", "take_at", "about", "take_from_day", "union_at")
        if key in head
    }
    return Sheet(
        **words,
        text=document.paper.text,
        where=document.paper.name,
        genera=tuple(head["genera"]),
        stages=tuple(stage_from(row, _by_genus(row, document.figures)) for row in document.plain["stage"]),
        shown=document.figures,
        buds_per_scion=span(head.get("buds_per_scion")),
        per_place=made(PerPlace, head.get("per_place")),
        caution=tuple(head.get("caution", ())),
    )


def _by_genus(row: Mapping[str, Any], figures: Mapping[str, Figure]) -> dict[str, StageFigures]:
    return {
        genus: stage_figures(genus, block, f"{row['key']}.for.{genus}", figures)
        for genus, block in row.get("for", {}).items()
    }
