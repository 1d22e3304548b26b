"""Whether a sheet can make plans for a genus, or only records."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graftwright.handbook.sheets import Sheet
    from graftwright.handbook.species import Species
    from graftwright.handbook.stages import Stage


def untried(sheet: Sheet, species: Species | None, genus: str) -> str | None:
    """Why the sheet gives no windows for a genus, as a sentence; None where it does."""
    if not sheet.allows(genus):
        return f"The sheet '{sheet.title}' is not meant for {genus}."
    for stage in sheet.stages[:-1]:
        reason = _missing(stage, species, genus)
        if reason:
            return f"Untried: {reason}, so there are checks but no windows."
    return None


def _missing(stage: Stage, species: Species | None, genus: str) -> str | None:
    figures = stage.figures(genus)
    if figures is None or figures.survival is None:
        return f"nobody has said what share of {genus} grafts pass the stage '{stage.key}'"
    if figures.pace is None and stage.ends == "by growth":
        return f"nobody has said how long {genus} takes for the stage '{stage.key}'"
    response = figures.pace.response if figures.pace else None
    if response and (species is None or response not in species.responses):
        return f"nobody has said how {genus} answers to temperature in '{stage.key}'"
    return None
