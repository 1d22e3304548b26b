"""What a person asks of the handbook: what is in it, what a sheet says and on whose word, is it in order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from graftwright.actions.handbook_page import Page, sheet_page, species_page
from graftwright.errors import ContentComplaint
from graftwright.handbook import check_handbook, untried
from graftwright.handbook.errors import NoSuchSheet

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from graftwright.errors import Trouble
    from graftwright.handbook import Handbook, Sheet, Species


class NotInOrder(ContentComplaint):
    """The handbook has more than one thing wrong; each is listed."""

    def __init__(self, troubles: Sequence[Trouble]) -> None:
        super().__init__(f"{len(troubles)} things are wrong in the handbook.", do="Mend them one by one.")
        self.troubles = tuple(troubles)

    def __str__(self) -> str:
        """Give one line for each thing, and the sentence last."""
        return "\n".join([*map(str, self.troubles), super().__str__()])

    def as_json(self) -> dict[str, object]:
        """Add each of the things to the error."""
        return {**super().as_json(), "problems": [trouble.as_json() for trouble in self.troubles]}


def list_handbook(handbook: Handbook) -> dict[str, Any]:
    """List the sheets, with the genera each can plan for, and the species."""
    return {
        "sheets": [_listed(sheet, handbook) for sheet in handbook.sheets.values()],
        "species": [
            {"genus": species.genus, "common": species.common, "version": species.version}
            for species in handbook.species.values()
        ],
    }


def _listed(sheet: Sheet, handbook: Handbook) -> dict[str, Any]:
    genera = handbook.species if sheet.allows("any") else sheet.genera
    return {
        "key": sheet.key,
        "title": sheet.title,
        "version": sheet.version,
        "path": list(sheet.path),
        "genera": list(sheet.genera),
        "plans_for": [one for one in genera if untried(sheet, handbook.species.get(one), one) is None],
        "own_values": len(sheet.own),
    }


def show(key: str, handbook: Handbook) -> Page:
    """Open a sheet by its key, or a species by its genus."""
    if key in handbook.species:
        return species_page(handbook.species[key], handbook)
    if key not in handbook.sheets:
        raise NoSuchSheet(key, [*handbook.sheets, *handbook.species])
    return sheet_page(handbook.sheets[key], handbook)


def check(own_folders: Sequence[Path]) -> dict[str, Any]:
    """Count what is there; raise everything that is wrong with it."""
    handbook, troubles = check_handbook(own_folders)
    if len(troubles) == 1:
        raise troubles[0]
    if troubles:
        raise NotInOrder(troubles)
    things: list[Sheet | Species] = [*handbook.sheets.values(), *handbook.species.values()]
    return {
        "sheets": len(handbook.sheets),
        "species": len(handbook.species),
        "sources": len(handbook.sources),
        "cautions": len(handbook.cautions),
        "figures": sum(len(thing.shown) for thing in things),
        "own_values": sum(len(thing.own) for thing in things),
    }
