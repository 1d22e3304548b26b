"""The stages that something walks, whatever page of the handbook they stand on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from graftwright.handbook.sheets import parse_sheet
from graftwright.handbook.species import parse_species

if TYPE_CHECKING:
    from graftwright.handbook.stages import Stage

SEED = "seed:"  # what the stored path of a genus' seed is called begins with


@dataclass(frozen=True)
class Course:
    """The stages that a batch or a lot of seed walks, whatever page of the handbook they stand on."""

    stages: tuple[Stage, ...]

    @property
    def path(self) -> tuple[str, ...]:
        """The keys of the stages."""
        return tuple(stage.key for stage in self.stages)

    def stage(self, key: str) -> Stage:
        """Return a stage by its key."""
        return self.stages[self.path.index(key)]


def course_of(version: str, text: str) -> Course:
    """Return the stages of a stored text: a method sheet, or the path of a genus' seed."""
    if version.startswith(SEED):
        return Course(parse_species(text, version).seed_stages)
    return Course(parse_sheet(text, version).stages)
