"""Species and method sheets: cited values, their schema and their sources."""

from graftwright.handbook.load import Handbook, check_handbook, load_handbook
from graftwright.handbook.overlay import overlay
from graftwright.handbook.sheets import Sheet, parse_sheet
from graftwright.handbook.species import Species, parse_species
from graftwright.handbook.stages import Stage, StageFigures
from graftwright.handbook.untried import untried
from graftwright.handbook.values import Figure, Origin, OwnValue

__all__ = [
    "Figure",
    "Handbook",
    "Origin",
    "OwnValue",
    "Sheet",
    "Species",
    "Stage",
    "StageFigures",
    "check_handbook",
    "load_handbook",
    "overlay",
    "parse_sheet",
    "parse_species",
    "untried",
]
